/** How the data section is laid out: storage form, points, analog values and frames, settled by the size of the file. */
import { formatFixed } from '../base/format.ts';
import type { Notes } from './diagnosticCodes.ts';
import { wordAt } from './header.ts';
import { countOf, numberOf, offsetOf, parameter } from './lookup.ts';
import { type RotationLayout, settleRotations, startOfRotations } from './rotationLayout.ts';
import type { C3dGroup, C3dHeader } from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;
type Form = 'float' | 'integer';

export interface Layout {
  readonly form: Form;
  /** |POINT:SCALE|: integer coordinates and residuals are multiples of it. */
  readonly scale: number;
  readonly points: number;
  /** Analog values of a frame, read or not. */
  readonly analogPerFrame: number;
  /** 0 where the values cannot be told apart. */
  readonly channels: number;
  readonly samplesPerFrame: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly frameBytes: number;
  readonly dataOffset: number;
  readonly rotation: RotationLayout | null;
  readonly rate_Hz: number | null;
}

interface Candidate {
  readonly form: Form;
  readonly points: number;
  readonly analog: number;
}

interface Count {
  readonly frames: number;
  readonly source: string;
  readonly offset: number;
}

export function settleLayout(size: number, header: C3dHeader, groups: Groups, notes: Notes): Layout {
  const dataOffset = settleDataOffset(size, header, groups, notes);
  const rate_Hz = settleRate(header, groups, notes);
  const { forms, scale } = settleScale(header, groups, notes);
  const pointCounts = distinct([countOf(groups, 'POINT', 'USED'), header.points]);
  const analogCounts = analogCandidates(header, groups);
  const { firstFrame, counts } = frameCounts(header, groups, notes);
  const turns = startOfRotations(size, rate_Hz, groups);
  const dataEnd = turns !== null && turns.offset !== null && turns.offset > dataOffset ? turns.offset : size;
  const available = dataEnd - dataOffset;

  const candidates: Candidate[] = [];
  for (const form of forms) {
    for (const points of pointCounts) for (const analog of analogCounts) candidates.push({ form, points, analog });
  }
  const chosen = bestFit(candidates, counts, available);
  const { form, points, analog } = chosen;
  const frameBytes = bytesOf(chosen);
  if (pointCounts.length > 1) {
    const found = `the header says ${header.points} points, POINT:USED ${pointCounts[0]}; ${points} are read`;
    notes.add('point-count-disagrees', found, wordAt(2));
  }
  if (forms.length > 1 && scale !== null) {
    notes.add('storage-form-disagrees', `header and POINT:SCALE disagree; ${form} storage is read`, wordAt(7));
  }
  if (analogCounts.length > 1) {
    const found = `header word 3 says ${header.analogPerFrame} analog values, channels × samples are ${analogCounts[0]}`;
    notes.add('analog-count-disagrees', `${found}; ${analog} are read`, wordAt(3));
  }
  if (points === 0) notes.add('no-points', 'the file holds no points', wordAt(2));
  let frames: number;
  if (frameBytes === 0 && turns !== null) {
    const bytes = turns.sampleBytes * turns.samplesPerFrame;
    frames = settleFrames(counts, bytes, size - (turns.offset ?? dataOffset), size, notes);
  } else {
    // Matrices whose place is not given may be what follows the frames.
    frames = settleFrames(counts, frameBytes, available, dataEnd, notes, turns !== null && turns.offset === null);
  }
  const data = [dataOffset, dataOffset + frames * frameBytes] as const;
  const rotation = turns === null ? null : settleRotations(size, turns, frames, data, rate_Hz, groups, notes);
  const split = splitAnalog(analog, rate_Hz, header, groups, notes);
  return {
    form,
    scale: scale ?? 1,
    points,
    analogPerFrame: analog,
    ...split,
    frames,
    firstFrame,
    frameBytes,
    dataOffset,
    rotation,
    rate_Hz,
  };
}

/** Bytes of one frame: four words a point, one word an analog value, words of 2 or 4 bytes. */
function bytesOf(c: Candidate): number {
  return (4 * c.points + c.analog) * (c.form === 'float' ? 4 : 2);
}

/** Different values without null, in the order given. */
function distinct(values: readonly (number | null)[]): number[] {
  return [...new Set(values)].filter((value) => value !== null);
}

function blockOffset(block: number): number {
  return (block - 1) * 512;
}

function settleDataOffset(size: number, header: C3dHeader, groups: Groups, notes: Notes): number {
  const start = countOf(groups, 'POINT', 'DATA_START');
  const at = offsetOf(groups, 'POINT', 'DATA_START', wordAt(9));
  const inside = (block: number): boolean => block >= 2 && blockOffset(block) <= size;
  if (inside(header.dataBlock)) {
    if (start !== null && start !== header.dataBlock) {
      notes.add('data-start-disagrees', `POINT:DATA_START is ${start}, the header says ${header.dataBlock}`, at);
    }
    return blockOffset(header.dataBlock);
  }
  if (start !== null && inside(start)) {
    notes.add('data-block-from-parameter', `the header gives data block ${header.dataBlock}`, wordAt(9));
    return blockOffset(start);
  }
  const found = `the data begin at block ${header.dataBlock}, byte ${blockOffset(header.dataBlock)}`;
  return notes.fail(
    'data-block-outside-file',
    ['header', 'data block'],
    found,
    `a block inside ${size} bytes`,
    wordAt(9),
  );
}

function settleRate(header: C3dHeader, groups: Groups, notes: Notes): number | null {
  const usable = (rate: number | null): rate is number => rate !== null && rate > 0 && Number.isFinite(rate);
  const rate = numberOf(groups, 'POINT', 'RATE');
  const at = offsetOf(groups, 'POINT', 'RATE', wordAt(11));
  if (usable(rate)) {
    if (!usable(header.rate_Hz) || Math.abs(rate - header.rate_Hz) > 1e-4 * rate) {
      const found = `POINT:RATE is ${formatFixed(rate, 4)} Hz, the header says ${formatFixed(header.rate_Hz, 4)} Hz`;
      notes.add('rate-disagrees', found, at);
    }
    return rate;
  }
  if (usable(header.rate_Hz)) {
    notes.add('rate-from-header', `the header gives ${formatFixed(header.rate_Hz, 4)} Hz`, at);
    return header.rate_Hz;
  }
  notes.add('rate-missing', 'the file gives no frame rate', at);
  return null;
}

/** Scale null where there is none; two forms where the signs disagree or nothing tells. */
function settleScale(header: C3dHeader, groups: Groups, notes: Notes): { forms: Form[]; scale: number | null } {
  const usable = (scale: number | null): scale is number => scale !== null && scale !== 0 && Number.isFinite(scale);
  const formOf = (scale: number): Form => (scale > 0 ? 'integer' : 'float');
  const own = numberOf(groups, 'POINT', 'SCALE');
  const at = offsetOf(groups, 'POINT', 'SCALE', wordAt(7));
  if (usable(own) && usable(header.scale)) {
    if (Math.abs(Math.abs(own) - Math.abs(header.scale)) > 1e-4 * Math.abs(own)) {
      const found = `POINT:SCALE is ${formatFixed(own, 6)}, the header says ${formatFixed(header.scale, 6)}`;
      notes.add('point-scale-disagrees', found, at);
    }
    const forms = [...new Set([formOf(own), formOf(header.scale)])];
    return { forms, scale: Math.abs(own) };
  }
  const only = usable(own) ? own : usable(header.scale) ? header.scale : null;
  if (only === null) {
    notes.add('point-scale-zero', 'the scale of the coordinates is zero or no number', at);
    return { forms: ['float', 'integer'], scale: null };
  }
  if (own === null) notes.add('point-scale-missing', 'the scale of the header is used', wordAt(7));
  else notes.add('point-scale-disagrees', `only one scale is usable, ${formatFixed(only, 6)}`, at);
  return { forms: [formOf(only)], scale: Math.abs(only) };
}

function analogCandidates(header: C3dHeader, groups: Groups): number[] {
  const used = countOf(groups, 'ANALOG', 'USED');
  if (used === null || (header.analogSamplesPerFrame === 0 && header.analogPerFrame > 0))
    return [header.analogPerFrame];
  return distinct([used * header.analogSamplesPerFrame, header.analogPerFrame]);
}

/** Counts in the order TRIAL, LONG_FRAMES, FRAMES, header; those that cannot be (or say "more than fits") left out. */
function frameCounts(header: C3dHeader, groups: Groups, notes: Notes): { firstFrame: number; counts: Count[] } {
  const counts: Count[] = [];
  const start = longCount(groups, 'ACTUAL_START_FIELD');
  const end = longCount(groups, 'ACTUAL_END_FIELD');
  const add = (frames: number, source: string, offset: number): void => {
    if (frames > 0) counts.push({ frames, source, offset });
  };
  if (start !== null && end !== null) {
    add(end - start + 1, 'TRIAL', offsetOf(groups, 'TRIAL', 'ACTUAL_END_FIELD', 0));
  }
  const long = countOf(groups, 'POINT', 'LONG_FRAMES');
  if (long !== null) add(long, 'POINT:LONG_FRAMES', offsetOf(groups, 'POINT', 'LONG_FRAMES', 0));
  const own = countOf(groups, 'POINT', 'FRAMES');
  if (own !== null && (own !== 65535 || counts.length === 0)) {
    add(own, 'POINT:FRAMES', offsetOf(groups, 'POINT', 'FRAMES', 0));
  }
  if (header.lastFrame !== 65535 || counts.length === 0) {
    add(header.lastFrame - header.firstFrame + 1, 'the header', wordAt(5));
  }
  const firstFrame = start !== null && start > 0 ? start : header.firstFrame;
  if (firstFrame === 0) notes.add('first-frame-zero', 'the first frame has the number 0', wordAt(4));
  return { firstFrame, counts };
}

/** A 32-bit count in two unsigned 16-bit words, low + high × 65536 (the user guide prints × 65535, which is wrong), or one number. */
function longCount(groups: Groups, name: string): number | null {
  const field = parameter(groups, 'TRIAL', name);
  if (field?.type !== 'int16' || field.numbers.length < 2) return countOf(groups, 'TRIAL', name);
  return (field.numbers[0]! & 0xffff) + (field.numbers[1]! & 0xffff) * 65536;
}

/** Whether the frames end inside the last block of the data. */
function fills(frames: number, frameBytes: number, available: number): boolean {
  const rest = available - frames * frameBytes;
  return frameBytes > 0 && rest >= 0 && rest < 512;
}

/** The first candidate that fills the data exactly, otherwise the one that comes nearest. */
function bestFit(candidates: readonly Candidate[], counts: readonly Count[], available: number): Candidate {
  const first = candidates[0]!;
  if (candidates.length === 1) return first;
  for (const c of candidates) {
    if (counts.some(({ frames }) => fills(frames, bytesOf(c), available))) return c;
  }
  let best = first;
  let least = Number.POSITIVE_INFINITY;
  for (const c of candidates) {
    const distance = Math.abs(available - (counts[0]?.frames ?? 0) * bytesOf(c));
    if (bytesOf(c) > 0 && distance < least) {
      best = c;
      least = distance;
    }
  }
  return best;
}

/** Frames to read: never more whole frames than the bytes hold. */
function settleFrames(
  counts: readonly Count[],
  frameBytes: number,
  available: number,
  end: number,
  notes: Notes,
  followed = false,
): number {
  if (frameBytes === 0) return 0;
  const whole = Math.max(0, Math.floor(available / frameBytes));
  const first = counts[0];
  if (first === undefined) {
    notes.add('frame-count-disagrees', `the file gives no usable number of frames; it holds ${whole}`, wordAt(4));
    return whole;
  }
  const chosen =
    counts.find(({ frames }) => fills(frames, frameBytes, available)) ??
    counts.find(({ frames }) => frames <= whole) ??
    first;
  if (counts.some(({ frames }) => frames !== first.frames)) {
    const said = counts.map(({ frames, source }) => `${source} says ${frames}`).join(', ');
    notes.add(
      'frame-count-disagrees',
      `${said} frames; the file holds ${Math.min(chosen.frames, whole)}`,
      first.offset,
    );
  }
  if (chosen.frames > whole) {
    notes.add(
      'frames-missing',
      `${whole} of ${chosen.frames} frames are there, ${chosen.frames - whole} are missing`,
      end,
    );
    return whole;
  }
  const rest = available - chosen.frames * frameBytes;
  if (rest >= 512 && !followed) notes.add('bytes-after-data', `${rest} bytes follow the last frame`, end - rest);
  return chosen.frames;
}

function splitAnalog(
  total: number,
  rate_Hz: number | null,
  header: C3dHeader,
  groups: Groups,
  notes: Notes,
): { channels: number; samplesPerFrame: number } {
  let samplesPerFrame = header.analogSamplesPerFrame;
  if (total === 0) return { channels: 0, samplesPerFrame };
  const used = countOf(groups, 'ANALOG', 'USED') ?? 0;
  if (samplesPerFrame === 0 && used > 0 && total % used === 0) samplesPerFrame = total / used;
  if (samplesPerFrame === 0 || total % samplesPerFrame !== 0) {
    const found = `${total} analog values a frame do not divide by ${samplesPerFrame} samples`;
    notes.add('analog-does-not-divide', found, wordAt(10));
    return { channels: 0, samplesPerFrame };
  }
  const rate = numberOf(groups, 'ANALOG', 'RATE');
  if (rate !== null && rate_Hz !== null && !(Math.abs(rate - rate_Hz * samplesPerFrame) <= 1e-3 * Math.abs(rate))) {
    const found = `ANALOG:RATE is ${formatFixed(rate, 4)} Hz, ${samplesPerFrame} samples a frame are read`;
    notes.add('analog-rate-disagrees', found, offsetOf(groups, 'ANALOG', 'RATE', wordAt(10)));
  }
  return { channels: total / samplesPerFrame, samplesPerFrame };
}
