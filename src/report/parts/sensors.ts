import type { SensorNote } from '../../model/motion.ts';
import { SENSOR_PLACES } from '../../model/sensors.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { counted, listed, plain } from '../sentences/numbers.ts';
import { zeroText } from '../sentences/zero.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** How the orientations of the sensors were made, and how far they can be trusted: a line for each sensor. */

const DEGREE = Math.PI / 180;

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
function range(words: Words, values: readonly number[], decimals: number, unit: string): string | null {
  if (values.length === 0) return null;
  const low = plain(words, Math.min(...values) / DEGREE, decimals);
  const high = plain(words, Math.max(...values) / DEGREE, decimals);
  return low === high ? `${low}${unit}` : fill(words.range, { low: `${low}${unit}`, high: `${high}${unit}` });
}

/** Words that some of the swings have, with how many where not all do. */
function shared(words: Words, texts: readonly string[], swings: number): readonly string[] {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  return [...counts].map(([text, count]) =>
    count === swings ? text : fill(words.details.sensors.some, { text, n: count, of: swings }),
  );
}

/** One sensor in one sentence: method, bias, drift, closing tilt, doubts, and why it gives nothing. */
export function sensorText(words: Words, notes: readonly SensorNote[]): string {
  const said = words.details.sensors;
  const swings = notes.length;
  const methods = notes.flatMap(({ method }) => (method === null ? [] : [said.methods[method]]));
  const bias = range(
    words,
    known(notes, (note) => note.bias_radPerS),
    2,
    '°/s',
  );
  const drift = range(
    words,
    known(notes, (note) => note.driftBound_rad),
    2,
    '°',
  );
  const tilt = range(
    words,
    known(notes, (note) => note.closingTilt_rad),
    1,
    '°',
  );
  const flags = notes.flatMap((note) => note.flags).map((flag) => said.flags[flag] ?? flag.replaceAll('-', ' '));
  const reasons = notes.flatMap(({ reason }) => (reason === '' ? [] : [fill(said.nothing, { reason })]));
  return [
    ...shared(words, methods, swings),
    ...(bias === null ? [] : [fill(said.bias, { range: bias })]),
    ...(drift === null ? [] : [fill(said.drift, { range: drift })]),
    ...(tilt === null ? [] : [fill(said.tilt, { range: tilt })]),
    ...shared(words, flags, swings),
    ...shared(words, reasons, swings),
  ].join('; ');
}

const FITTED: ReadonlySet<string> = new Set(['mounting-quality', 'mounting-doubtful', 'mounting-missing']);

/** What was found of how the sensors sit on the body, as the still poses of the part tell it. */
function calibrationTexts({ details }: Words, { outcomes }: PlayerView): readonly string[] {
  return outcomes
    .filter(({ role, status }) => role === 'static' && status === 'used')
    .flatMap(({ diagnostics }) => diagnostics.filter(({ code }) => FITTED.has(code)))
    .map(({ code, message }) => (code === 'mounting-doubtful' ? fill(details.sensors.doubtful, { message }) : message));
}

/** The block of the details; nothing for markers. */
export function drawSensors(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { part } = view.comparison;
  if (part.source !== 'sensors') return;
  const { headings, terms, sensors: said } = sheet.words.details;
  const sensors = bySensor(view.records);
  drawHeading(sheet, flow, fill(headings.sensors, { sensors: counted(sheet.words, sensors.size, 'sensor') }));
  drawParagraph(sheet, flow, terms.zero, zeroText(sheet.words, part));
  drawParagraph(sheet, flow, terms.absent, sheet.words.zero.noPlaces);
  const fitted = calibrationTexts(sheet.words, view);
  if (fitted.length > 0) drawParagraph(sheet, flow, terms.calibration, `${fitted.join('; ')}.`);
  for (const notes of sensors.values()) {
    const { place, name } = notes[0]!;
    drawParagraph(sheet, flow, said.place(place), fill(said.sensor, { name, text: sensorText(sheet.words, notes) }));
  }
  const without = view.records.filter((record) => (record.sensors ?? []).length === 0).map(({ head }) => head.trial);
  if (without.length > 0) drawParagraph(sheet, flow, '', fill(said.unknown, { trials: listed(sheet.words, without) }));
  flow.y += 6;
}
