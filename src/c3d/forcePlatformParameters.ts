/** The FORCE_PLATFORM group: which channels belong to which platform and where it lies. */
import type { C3dCode } from './diagnosticCodes.ts';
import { countOf, numberList, offsetOf, parameter } from './lookup.ts';
import type { C3dFile } from './types.ts';

/** A platform that can be computed. */
export interface Placed {
  readonly index: number;
  readonly type: 1 | 2 | 3 | 4;
  /** Columns of the file's analog data. */
  readonly channels: readonly number[];
  /** Per channel, taken off before anything else. */
  readonly zero: Float64Array;
  readonly centre: Float64Array;
  /** R_lab_platform, row-major. */
  readonly R: Float64Array;
  /** From the sensors' origin to the centre of the surface; for type 3 (a, b, the way up). */
  readonly origin: readonly number[];
  /** Type 4: 6 × 6, first index (row) fastest. */
  readonly calibration: readonly number[] | null;
}

type Tell = (code: C3dCode, message: string, offset: number) => void;

const GROUP = 'FORCE_PLATFORM';

/** Platforms beyond 255 do not fit the dimensions of the group's tables. */
const MOST_PLATFORMS = 255;

export function readPlatforms(file: C3dFile, momentFactor: number, tell: Tell): readonly Placed[] {
  const { groups } = file;
  const used = Math.min(countOf(groups, GROUP, 'USED') ?? 0, MOST_PLATFORMS);
  const at = (name: string): number => offsetOf(groups, GROUP, name, offsetOf(groups, GROUP, 'USED', 0));
  const types = numberList(groups, GROUP, 'TYPE');
  const corners = numberList(groups, GROUP, 'CORNERS');
  const origins = numberList(groups, GROUP, 'ORIGIN');
  const table = numberList(groups, GROUP, 'CHANNEL');
  const calibrations = numberList(groups, GROUP, 'CAL_MATRIX');
  const rows = parameter(groups, GROUP, 'CHANNEL')?.dimensions[0] ?? 6;
  const range = zeroRange(file, tell);
  const taken = new Set<number>();
  const out: Placed[] = [];
  for (let index = 0; index < used; index += 1) {
    const type = types[index];
    const name = `force platform ${index + 1}`;
    if (type !== 1 && type !== 2 && type !== 3 && type !== 4) {
      const found = type === undefined ? 'no type' : `type ${type}`;
      tell('force-plate-type-unknown', `${name} has ${found}`, at('TYPE'));
      continue;
    }
    const width = type === 3 ? 8 : 6;
    const numbers = table.slice(rows * index, rows * index + Math.min(rows, width));
    const channels = columnsOf(file, numbers, taken);
    const own = corners.slice(12 * index, 12 * index + 12);
    const origin = origins.slice(3 * index, 3 * index + 3);
    const calibration = type === 4 ? calibrations.slice(36 * index, 36 * index + 36) : null;
    const R = axesOf(own);
    const lack =
      channels === null || channels.length < width
        ? 'CHANNEL'
        : R === null
          ? 'CORNERS'
          : !allFinite(origin, 3)
            ? 'ORIGIN'
            : calibration !== null && !allFinite(calibration, 36)
              ? 'CAL_MATRIX'
              : null;
    if (lack !== null || channels === null || R === null) {
      tell('force-plate-incomplete', `${name} has no usable ${lack}`, at(lack ?? 'USED'));
      continue;
    }
    const centre = Float64Array.of(0, 1, 2).map(
      (axis) => (own[axis]! + own[3 + axis]! + own[6 + axis]! + own[9 + axis]!) / 4,
    );
    const upsideDown = type !== 1 && origin[2]! > 0;
    if (upsideDown) tell('force-plate-origin-sign', `ORIGIN of ${name} points into the platform`, at('ORIGIN'));
    tellFlat(file, channels, name, at('CHANNEL'), tell);
    if (type !== 1 && momentFactor === 1) tellUnits(file, type, channels, name, at('CHANNEL'), tell);
    out.push({
      index,
      type,
      channels,
      zero: zeroOf(file, type, channels, range),
      centre,
      R,
      origin: upsideDown ? (type === 3 ? [origin[0]!, origin[1]!, -origin[2]!] : origin.map((v) => -v)) : origin,
      calibration,
    });
  }
  return out;
}

function allFinite(values: readonly number[], length: number): boolean {
  return values.length === length && values.every((value) => Number.isFinite(value));
}

/**
 * Channel numbers from 1 as columns of the analog data that were read; null where one is not there or is taken already, so that the
 * results stay within a small multiple of the file.
 */
function columnsOf(file: C3dFile, numbers: readonly number[], taken: Set<number>): readonly number[] | null {
  const out: number[] = [];
  for (const number of numbers) {
    const channel = (number & 0xffff) - 1;
    const column = file.selection ? file.selection.channels.indexOf(channel) : channel;
    if (column < 0 || column >= file.analog.channels || taken.has(column)) return null;
    taken.add(column);
    out.push(column);
  }
  return out;
}

/** x from corners 2, 3 to 1, 4; z = x × (3, 4 → 1, 2); y = z × x; null where the corners span no plane. */
function axesOf(c: readonly number[]): Float64Array | null {
  if (!allFinite(c, 12)) return null;
  const x = [0, 1, 2].map((i) => c[i]! + c[9 + i]! - c[3 + i]! - c[6 + i]!);
  const across = [0, 1, 2].map((i) => c[i]! + c[3 + i]! - c[6 + i]! - c[9 + i]!);
  const unit = (v: number[]): number[] | null => {
    const length = Math.hypot(v[0]!, v[1]!, v[2]!);
    return length > 0 && Number.isFinite(length) ? v.map((value) => value / length) : null;
  };
  const ex = unit(x);
  const ea = unit(across);
  if (ex === null || ea === null) return null;
  const z = cross(ex, ea);
  // Edges of a platform under 0.6° (0.01) apart span no plane that could be trusted.
  if (Math.hypot(z[0]!, z[1]!, z[2]!) < 0.01) return null;
  const ez = unit(z)!;
  const ey = cross(ez, ex);
  return Float64Array.of(ex[0]!, ey[0]!, ez[0]!, ex[1]!, ey[1]!, ez[1]!, ex[2]!, ey[2]!, ez[2]!);
}

function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1]! * b[2]! - a[2]! * b[1]!, a[2]! * b[0]! - a[0]! * b[2]!, a[0]! * b[1]! - a[1]! * b[0]!];
}

/**
 * FORCE_PLATFORM:ZERO, first and last frame without load, numbered as the header numbers frames, as samples [from, to) of the file.
 * (1, 0), (0, 0) and other ranges that are none mean no offset. Source: C3D user guide, FORCE_PLATFORM:ZERO, from memory.
 */
function zeroRange(file: C3dFile, tell: Tell): readonly [number, number] {
  const [first = 0, last = 0] = numberList(file.groups, GROUP, 'ZERO').map((v) => v & 0xffff);
  if (first < 1 || last < first) return [0, 0];
  const from = first - Math.max(1, file.firstFrame);
  const to = last - Math.max(1, file.firstFrame) + 1;
  if (from < 0 || to > file.frames) {
    const found = `frames ${first} to ${last} should be without load, the file has ${file.frames} from ${file.firstFrame}`;
    tell('force-plate-zero-not-stored', found, offsetOf(file.groups, GROUP, 'ZERO', 0));
    return [0, 0];
  }
  const { samplesPerFrame } = file.analog;
  return [from * samplesPerFrame, to * samplesPerFrame];
}

/** Means over the range; the centre of pressure of type 1 has no zero. */
function zeroOf(
  file: C3dFile,
  type: Placed['type'],
  channels: readonly number[],
  range: readonly [number, number],
): Float64Array {
  const zero = new Float64Array(channels.length);
  const samples = file.frames * file.analog.samplesPerFrame;
  const count = range[1] - range[0];
  if (count <= 0) return zero;
  channels.forEach((column, c) => {
    if (type === 1 && (c === 3 || c === 4)) return;
    let sum = 0;
    for (let i = range[0]; i < range[1]; i += 1) sum += file.analog.data[column * samples + i]!;
    zero[c] = sum / count;
  });
  return zero;
}

/** Channels that hold one value throughout, not zero, beside others that do not; noise moves every channel that is recorded. */
function tellFlat(file: C3dFile, channels: readonly number[], name: string, offset: number, tell: Tell): void {
  const samples = file.frames * file.analog.samplesPerFrame;
  if (samples < 2) return;
  let varying = 0;
  const flat = channels.filter((column) => {
    const start = column * samples;
    const first = file.analog.data[start]!;
    for (let i = start + 1; i < start + samples; i += 1) {
      if (Object.is(file.analog.data[i], first)) continue;
      varying += 1;
      return false;
    }
    return first !== 0;
  });
  if (flat.length === 0 || varying === 0) return;
  const numbers = flat.map((column) => channels.indexOf(column) + 1).join(', ');
  const found = `channels ${numbers} of the ${channels.length} of ${name} hold one value throughout`;
  tell('force-plate-channel-flat', found, offset);
}

/** The file's own words: moments in N·m beside coordinates in mm, or the other way round. */
function tellUnits(
  file: C3dFile,
  type: Placed['type'],
  channels: readonly number[],
  name: string,
  offset: number,
  tell: Tell,
): void {
  if (type === 3 || type === 4) return;
  const moment = file.analog.units.length > 1 ? (file.analog.units[channels[type === 1 ? 5 : 3]!] ?? '') : '';
  const inMetres = /^n[\s.·*-]*m$/i.test(moment);
  const inMillimetres = /^nt?[\s.·*-]*mm$/i.test(moment);
  const points = (file.units[0] ?? '').toLowerCase();
  if ((inMetres && points === 'mm') || (inMillimetres && points === 'm')) {
    tell(
      'force-plate-units',
      `${name} has moments in ${inMetres ? 'N·m' : 'N·mm'}, its corners are in ${points}`,
      offset,
    );
  }
}
