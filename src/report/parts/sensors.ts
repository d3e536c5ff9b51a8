import type { SensorNote } from '../../model/motion.ts';
import { SENSOR_PLACES } from '../../model/sensors.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { counted, listed, plain } from '../sentences/numbers.ts';
import { NO_PLACES, zeroText } from '../sentences/zero.ts';
import type { PlayerView } from '../views.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** How the orientations of the sensors were made, and how far they can be trusted: a line for each sensor. */

const DEGREE = Math.PI / 180;

const METHODS: Readonly<Record<NonNullable<SensorNote['method']>, string>> = {
  'strap-down': 'integrated from the still address, tilt from gravity there',
  file: 'orientations of the file',
  inclination: 'filter with tilt from gravity (inclination)',
  mahony: 'filter with tilt from gravity (Mahony 2008)',
  madgwick: 'filter with tilt from gravity (Madgwick 2011)',
};

const FLAGS: Readonly<Record<string, string>> = {
  'gyro-clipped': 'gyro at its range limit',
  'acc-clipped': 'accelerometer at its range limit',
  'closing-tilt': 'tilt at the finish larger than the bound',
};

/** The sensors of all swings by place, from pelvis to club, and name. */
function bySensor(records: readonly SwingRecord[]): ReadonlyMap<string, readonly SensorNote[]> {
  const notes = new Map<string, SensorNote[]>();
  const all = records.flatMap(({ sensors }) => sensors ?? []);
  for (const note of SENSOR_PLACES.flatMap((place) => all.filter((one) => one.place === place))) {
    const key = `${note.place} ${note.name}`;
    notes.set(key, [...(notes.get(key) ?? []), note]);
  }
  return notes;
}

function known(notes: readonly SensorNote[], read: (note: SensorNote) => number | null): readonly number[] {
  return notes.map(read).filter((value): value is number => value !== null && Number.isFinite(value));
}

/** '0.2° to 0.5°' of radians, or one number where they round alike; null without any. */
function range(values: readonly number[], decimals: number, unit: string): string | null {
  if (values.length === 0) return null;
  const low = plain(Math.min(...values) / DEGREE, decimals);
  const high = plain(Math.max(...values) / DEGREE, decimals);
  return low === high ? `${low}${unit}` : `${low}${unit} to ${high}${unit}`;
}

/** Words that some of the swings have, with how many where not all do. */
function shared(texts: readonly string[], swings: number): readonly string[] {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  return [...counts].map(([text, count]) => (count === swings ? text : `${text} in ${count} of ${swings}`));
}

/** One sensor in one sentence: method, bias, drift, closing tilt, doubts, and why it gives nothing. */
export function sensorText(notes: readonly SensorNote[]): string {
  const swings = notes.length;
  const methods = notes.flatMap(({ method }) => (method === null ? [] : [METHODS[method]]));
  const bias = range(
    known(notes, (note) => note.bias_radPerS),
    2,
    '°/s',
  );
  const drift = range(
    known(notes, (note) => note.driftBound_rad),
    2,
    '°',
  );
  const tilt = range(
    known(notes, (note) => note.closingTilt_rad),
    1,
    '°',
  );
  const flags = notes.flatMap((note) => note.flags).map((flag) => FLAGS[flag] ?? flag.replaceAll('-', ' '));
  const reasons = notes.flatMap(({ reason }) => (reason === '' ? [] : [`gives nothing: needs ${reason}`]));
  return [
    ...shared(methods, swings),
    ...(bias === null ? [] : [`bias taken off ${bias}`]),
    ...(drift === null ? [] : [`drift at most ${drift} (95 %)`]),
    ...(tilt === null ? [] : [`tilt at the finish off by ${tilt}`]),
    ...shared(flags, swings),
    ...shared(reasons, swings),
  ].join('; ');
}

const FITTED: ReadonlySet<string> = new Set(['mounting-quality', 'mounting-doubtful', 'mounting-missing']);

/** What was found of how the sensors sit on the body, as the still poses of the part tell it. */
function calibrationTexts({ outcomes }: PlayerView): readonly string[] {
  return outcomes
    .filter(({ role, status }) => role === 'static' && status === 'used')
    .flatMap(({ diagnostics }) => diagnostics.filter(({ code }) => FITTED.has(code)))
    .map(({ code, message }) => (code === 'mounting-doubtful' ? `${message} (doubtful)` : message));
}

/** The block of the details; nothing for markers. */
export function drawSensors(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { part } = view.comparison;
  if (part.source !== 'sensors') return;
  const sensors = bySensor(view.records);
  drawHeading(sheet, flow, `Sensors (${counted(sensors.size, 'sensor')})`);
  drawParagraph(sheet, flow, 'zero', zeroText(part));
  drawParagraph(sheet, flow, 'absent', NO_PLACES);
  const fitted = calibrationTexts(view);
  if (fitted.length > 0) drawParagraph(sheet, flow, 'calibration', `${fitted.join('; ')}.`);
  for (const notes of sensors.values()) {
    const { place, name } = notes[0]!;
    drawParagraph(sheet, flow, place.replaceAll('_', ' '), `sensor ${name}: ${sensorText(notes)}.`);
  }
  const without = view.records.filter((record) => (record.sensors ?? []).length === 0).map(({ head }) => head.trial);
  if (without.length > 0) drawParagraph(sheet, flow, '', `Nothing is known of the sensors of ${listed(without)}.`);
  flow.y += 6;
}
