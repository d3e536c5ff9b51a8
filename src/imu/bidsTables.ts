/** The small tables beside a `*_motion.tsv`: `*_channels.tsv`, `*_events.tsv`, reference frames of `*_channels.json`. */

import { decodeText } from '../base/decodeText.ts';
import { isObject } from './bidsFiles.ts';
import { fail, type Notes, quoted } from './diagnosticCodes.ts';
import { isNumberText, splitCells, TAB } from './textLines.ts';
import type { BidsChannel, BidsEvent, BidsReferenceFrame, NamedBytes } from './types.ts';

/** Required columns of channels.tsv in their order (Brain Imaging Data Structure, motion). */
const REQUIRED = ['name', 'component', 'type', 'tracked_point', 'units'] as const;

export const CHANNEL_TYPES = [
  'ACCEL',
  'ANGACCEL',
  'GYRO',
  'JNTANG',
  'LATENCY',
  'MAGN',
  'MISC',
  'ORNT',
  'POS',
  'VEL',
] as const;

/** Names of older drafts. */
const OLD_TYPES: Readonly<Record<string, string>> = { ANGACC: 'ANGACCEL' };

const COMPONENTS = ['x', 'y', 'z', 'quat_x', 'quat_y', 'quat_z', 'quat_w'];

interface SmallTable {
  readonly header: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
}

function smallTable(file: NamedBytes): SmallTable {
  const lines = decodeText(file.bytes)
    .text.replace(/^\ufeff/, '')
    .split(/\r\n|\n|\r/);
  const rows = lines.flatMap((text, i) => (text.trim() === '' ? [] : [{ line: i + 1, cells: splitCells(text, TAB) }]));
  const header = rows.shift()?.cells ?? [];
  return { header, rows };
}

/** '' where the cell says n/a. */
function told(cell: string | undefined): string {
  return cell === undefined || /^n\/a$/i.test(cell) ? '' : cell;
}

/** Rows of `*_channels.tsv`. @throws FormatError where a required column is missing or a row has another number of cells */
export function readChannels(file: NamedBytes, notes: Notes): readonly BidsChannel[] {
  const { header, rows } = smallTable(file);
  const missing = REQUIRED.filter((name) => !header.includes(name));
  if (missing.length > 0) {
    const found = `${missing.length === 1 ? 'there is no column' : 'there are no columns'} ${missing.join(', ')}`;
    fail(file.path, 'bids-channels-unreadable', found, `columns ${REQUIRED.join(', ')}`, ['line 1']);
  }
  if (!REQUIRED.every((name, i) => header[i] === name)) {
    const message = `${file.path}: the columns start with ${header.slice(0, 5).map(quoted).join(', ')}, not with ${REQUIRED.join(', ')}`;
    notes.add('bids-channels-order', message);
  }
  const at = (cells: readonly string[], name: string): string => {
    const column = header.indexOf(name);
    return column < 0 ? '' : told(cells[column]);
  };
  const seen = new Map<string, number>();
  const channels = rows.map(({ line, cells }): BidsChannel => {
    if (cells.length !== header.length) {
      const found = `line ${line} has ${cells.length} cells`;
      fail(file.path, 'bids-channels-unreadable', found, `${header.length}, as the header`, [`line ${line}`]);
    }
    const where = `${file.path}, line ${line}`;
    const name = at(cells, 'name');
    const before = seen.get(name);
    if (before !== undefined) {
      notes.add('column-names-repeated', `${where}: a channel is called ${quoted(name)} as in line ${before}`);
    } else seen.set(name, line);
    const type = typeOf(at(cells, 'type'), where, notes);
    const units = at(cells, 'units');
    checkUnits(type, units, where, notes);
    return {
      name,
      component: componentOf(at(cells, 'component'), type, where, notes),
      type,
      trackedPoint: at(cells, 'tracked_point'),
      units,
      placement: at(cells, 'placement'),
      referenceFrame: at(cells, 'reference_frame'),
      samplingFrequency_Hz: rateOf(at(cells, 'sampling_frequency'), where, notes),
      status: at(cells, 'status'),
    };
  });
  if (channels.length === 0) fail(file.path, 'bids-channels-unreadable', 'there are no rows', 'one row per channel');
  return channels;
}

function typeOf(written: string, where: string, notes: Notes): string {
  const upper = written.toUpperCase();
  const type = OLD_TYPES[upper] ?? upper;
  if (!(CHANNEL_TYPES as readonly string[]).includes(type)) {
    notes.add('bids-type-unknown', `${where}: type ${quoted(written)} is none of ${CHANNEL_TYPES.join(', ')}`);
    return written;
  }
  if (type !== written) {
    notes.add('bids-type-written-differently', `${where}: type ${quoted(written)} is read as ${type}`);
  }
  return type;
}

function componentOf(written: string, type: string, where: string, notes: Notes): string {
  if (written === '') return '';
  const component = written.toLowerCase();
  if (!COMPONENTS.includes(component)) {
    const message = `${where}: component ${quoted(written)} is none of ${COMPONENTS.join(', ')}, n/a`;
    notes.add('bids-component-unknown', message);
    return written;
  }
  if (component !== written) {
    notes.add('bids-component-unknown', `${where}: component ${quoted(written)} is read as ${component}`);
  }
  if (component.startsWith('quat_') && type !== 'ORNT') {
    notes.add('bids-component-unknown', `${where}: component ${component} goes with type ORNT, not ${type}`);
  }
  return component;
}

function checkUnits(type: string, units: string, where: string, notes: Notes): void {
  const fits =
    type === 'LATENCY' ? /^s(ec(onds?)?)?$/i.test(units) : type === 'JNTANG' ? /^(deg(rees?)?|°)$/i.test(units) : true;
  if (!fits) {
    const expected = type === 'LATENCY' ? 's' : 'deg';
    const found = units === '' ? 'no units' : `units ${quoted(units)}`;
    notes.add('bids-unit-unexpected', `${where}: type ${type} with ${found}, the standard asks for ${expected}`);
  }
}

function rateOf(written: string, where: string, notes: Notes): number | null {
  if (written === '') return null;
  const rate = isNumberText(written, 46) ? Number(written) : Number.NaN;
  if (rate > 0 && rate < Number.POSITIVE_INFINITY) return rate;
  notes.add('bids-field-unreadable', `${where}: sampling_frequency ${quoted(written)} is no number above zero`);
  return null;
}

/** Events with a time; a file that is no table of events is told and left out. */
export function readEvents(file: NamedBytes, notes: Notes): readonly BidsEvent[] {
  const { header, rows } = smallTable(file);
  const onsetAt = header.indexOf('onset');
  if (onsetAt < 0) {
    notes.add('bids-field-unreadable', `${file.path}: there is no column onset`);
    return [];
  }
  const durationAt = header.indexOf('duration');
  const labelAt = ['trial_type', 'value', 'event', 'label', 'name']
    .map((name) => header.indexOf(name))
    .find((i) => i >= 0);
  return rows.flatMap(({ line, cells }): BidsEvent[] => {
    const number = (cell: string | undefined): number =>
      cell !== undefined && isNumberText(cell, 46) ? Number(cell) : Number.NaN;
    const onset_s = number(cells[onsetAt]);
    if (!Number.isFinite(onset_s)) {
      const found = quoted(cells[onsetAt] ?? '');
      notes.add('bids-field-unreadable', `${file.path}, line ${line}: onset ${found} is no number`);
      return [];
    }
    const duration = number(cells[durationAt]);
    return [
      {
        onset_s,
        duration_s: Number.isFinite(duration) ? duration : 0,
        label: labelAt === undefined ? '' : told(cells[labelAt]),
      },
    ];
  });
}

const AXES = /^(?:[APLRSI_]){3}$/;
const ORDERS = ['XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX'];
const RULES = ['left-hand', 'right-hand'];

/** Reference frames of `*_channels.json` (reference_frame, Levels). */
export function readFrames(
  json: ReadonlyMap<string, unknown>,
  file: string,
  notes: Notes,
): readonly BidsReferenceFrame[] {
  const column = json.get('reference_frame');
  if (column === undefined) return [];
  const levels = isObject(column) ? column['Levels'] : undefined;
  if (!isObject(levels)) {
    notes.add('bids-field-unreadable', `${file}: reference_frame has no Levels`);
    return [];
  }
  return Object.entries(levels).map(([name, level]): BidsReferenceFrame => {
    const entry = (key: string, valid: (text: string) => boolean, expected: string): string => {
      const value = isObject(level) ? level[key] : undefined;
      if (value === undefined || value === 'n/a') return '';
      if (typeof value === 'string' && valid(value)) return value;
      const found = typeof value === 'string' ? quoted(value) : typeof value;
      const message = `${file}: ${key} of reference frame ${quoted(name)} is ${found}, not ${expected}`;
      notes.add('bids-field-unreadable', message);
      return '';
    };
    return {
      name,
      spatialAxes: entry('SpatialAxes', (text) => AXES.test(text), 'three letters of A P L R S I or _'),
      rotationOrder: entry('RotationOrder', (text) => ORDERS.includes(text), `one of ${ORDERS.join(', ')}`),
      rotationRule: entry('RotationRule', (text) => RULES.includes(text), RULES.join(' or ')),
    };
  });
}
