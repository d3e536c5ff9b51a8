/** Where the matrices of the ROTATION group lie and how many there are, settled by the size of the file. */
import { formatFixed } from '../base/format.ts';
import type { Notes } from './diagnosticCodes.ts';
import { countOf, numberOf, offsetOf } from './lookup.ts';
import type { C3dGroup } from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;

/** A 4 × 4 matrix and its reliability: always 32-bit floats, in files of integer storage too (from memory). */
export const ROTATION_FLOATS = 17;

export interface RotationLayout {
  /** Rotations stored, ROTATION:USED. */
  readonly used: number;
  readonly samplesPerFrame: number;
  /** Samples of every rotation that the bytes hold, at most frames × samplesPerFrame. */
  readonly samples: number;
  /** Bytes of one sample of all rotations. */
  readonly sampleBytes: number;
  readonly offset: number;
  readonly rate_Hz: number;
}

/** What is known before the frames are counted. */
export interface RotationStart {
  readonly used: number;
  readonly samplesPerFrame: number;
  readonly sampleBytes: number;
  /** Byte of ROTATION:DATA_START, null where it points to no place in the file. */
  readonly offset: number | null;
}

/** Null where the file has no rotations. RATIO, or else RATE over the frame rate where that is a whole number, or else 1. */
export function startOfRotations(size: number, rate_Hz: number | null, groups: Groups): RotationStart | null {
  const used = countOf(groups, 'ROTATION', 'USED') ?? 0;
  if (used === 0) return null;
  const block = countOf(groups, 'ROTATION', 'DATA_START') ?? 0;
  const offset = (block - 1) * 512;
  const ratio = countOf(groups, 'ROTATION', 'RATIO') ?? 0;
  const own = numberOf(groups, 'ROTATION', 'RATE') ?? 0;
  const fromRate = rate_Hz === null ? 1 : Math.round(own / rate_Hz);
  const whole = rate_Hz !== null && fromRate >= 1 && Math.abs(own - fromRate * rate_Hz) <= 1e-3 * own;
  return {
    used,
    samplesPerFrame: ratio >= 1 ? ratio : whole ? fromRate : 1,
    sampleBytes: 4 * ROTATION_FLOATS * used,
    offset: block >= 2 && offset <= size ? offset : null,
  };
}

/**
 * `frames` are those of the file, `data` the bytes [from, to) that points and analog values fill (from = to where there are none). A start
 * that the file does not give is taken to be the block after them.
 */
export function settleRotations(
  size: number,
  start: RotationStart,
  frames: number,
  data: readonly [from: number, to: number],
  rate_Hz: number | null,
  groups: Groups,
  notes: Notes,
): RotationLayout {
  const { used, samplesPerFrame, sampleBytes } = start;
  const at = offsetOf(groups, 'ROTATION', 'DATA_START', offsetOf(groups, 'ROTATION', 'USED', 0));
  const offset = start.offset ?? data[0] + Math.ceil((data[1] - data[0]) / 512) * 512;
  if (start.offset === null) {
    notes.add('rotation-start-unusable', 'ROTATION:DATA_START points to no block of the file', at);
  }
  // Matrices stored ahead of the points end where those begin.
  const end = offset < data[0] && data[1] > data[0] ? data[0] : size;
  const wanted = frames * samplesPerFrame;
  const samples = Math.min(wanted, Math.max(0, Math.floor((end - offset) / sampleBytes)));
  if (samples < wanted || (wanted === 0 && data[1] === data[0])) {
    notes.add('rotations-missing', `${samples} of ${wanted} samples of ${used} rotations are there`, at);
  }
  return { used, samplesPerFrame, samples, sampleBytes, offset, rate_Hz: settleRate(start, rate_Hz, groups, notes) };
}

function settleRate({ samplesPerFrame }: RotationStart, rate_Hz: number | null, groups: Groups, notes: Notes): number {
  const own = numberOf(groups, 'ROTATION', 'RATE');
  const usable = own !== null && own > 0 && Number.isFinite(own);
  if (rate_Hz === null) return usable ? own : Number.NaN;
  const rate = rate_Hz * samplesPerFrame;
  if (usable && Math.abs(own - rate) > 1e-3 * own) {
    const found = `ROTATION:RATE is ${formatFixed(own, 4)} Hz, ${samplesPerFrame} samples a frame are read`;
    notes.add('rotation-rate-disagrees', found, offsetOf(groups, 'ROTATION', 'RATE', 0));
  }
  return rate;
}
