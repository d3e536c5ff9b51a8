/** A file of any size, in blocks of whole frames: never the whole in memory. */
import { Notes } from './diagnosticCodes.ts';
import { asksForData, type Columns, decodeInto, FrameSource, framesPerStretch, tellOutside } from './frames.ts';
import { type Opened, openC3d } from './head.ts';
import {
  decodeRotations,
  noRotationFaults,
  type RotationColumns,
  type RotationScratch,
  samplesOf,
  tellRotations,
} from './rotations.ts';
import type { C3dSelect } from './select.ts';
import type { ByteSource, C3dHead } from './types.ts';

/**
 * Some whole frames. The arrays are the same for every block and change after the call that was given them.
 * `xyz[(3·point + axis)·frames + frame]`, `word4[point·frames + frame]`, `analog[channel·(frames·samplesPerFrame) + sample]`,
 * with `frames` of this block; the last block may have fewer.
 */
export interface C3dBlock {
  /** First frame of the block, counted from the first one of the walk. */
  readonly from: number;
  readonly frames: number;
  readonly xyz: Float64Array;
  readonly word4: Int16Array;
  readonly analog: Float64Array;
  /** As C3dRotations, with the samples of this block; null where none is read. */
  readonly rotations: RotationColumns | null;
}

/** How a file is walked through block by block, and what takes the blocks. */
export interface WalkC3dOptions {
  readonly file?: string;
  readonly strict?: boolean;
  readonly select?: C3dSelect;
  /** Called for every block in order, with the file's head as it is known before the data (its diagnostics so far). */
  readonly onBlock: (block: C3dBlock, head: C3dHead) => void;
}

/**
 * Decodes block by block what `readC3d` would decode at once, with the same values; about 1 MB of memory besides the parameters.
 * @returns the head with all diagnostics
 * @throws FormatError and RangeError as `readC3d`; blocks before a place that cannot be read have been given out by then
 */
export function walkC3d(source: ByteSource, options: WalkC3dOptions): C3dHead {
  const file = options.file ?? '';
  const notes = new Notes(file, options.strict ?? false);
  const opened = openC3d(source, options.select, file, notes);
  const head: C3dHead = { ...opened.head, diagnostics: notes.list() };
  for (const block of blocks(source, opened, file, notes)) options.onBlock(block, head);
  return { ...opened.head, diagnostics: notes.list() };
}

/** The picked frames in order, decoded one block after the other into the same arrays. */
export function* blocks(
  source: ByteSource,
  opened: Opened,
  file: string,
  notes: Notes,
): Generator<C3dBlock, void, undefined> {
  const { layout, picked } = opened;
  const points = picked.points.length;
  const analogPerFrame = picked.channels.length * layout.samplesPerFrame;
  const hasData = asksForData(opened);
  const turns = opened.head.rotationData === null ? null : layout.rotation;
  const turnBytes = turns === null ? 0 : turns.sampleBytes * turns.samplesPerFrame;
  if (!hasData && turns === null) return;
  const most = framesPerStretch(opened, (hasData ? layout.frameBytes : 0) + turnBytes);
  const stretches = new FrameSource(source, opened, most, file, notes);
  const whole: Columns = {
    xyz: new Float64Array(3 * points * most),
    word4: new Int16Array(points * most),
    analog: new Float64Array(analogPerFrame * most),
  };
  const rotating = turns === null ? null : rotationArrays(picked.rotations.length, most, turns);
  const faults = noRotationFaults();
  let outside = 0;
  for (let frame = picked.from; frame < picked.to; frame += most) {
    const count = Math.min(most, picked.to - frame);
    const columns =
      count === most
        ? whole
        : {
            xyz: whole.xyz.subarray(0, 3 * points * count),
            word4: whole.word4.subarray(0, points * count),
            analog: whole.analog.subarray(0, analogPerFrame * count),
          };
    if (hasData) {
      outside += decodeInto(columns, count, 0, stretches.read(frame, count), opened, count);
    }
    let rotations: RotationColumns | null = null;
    if (rotating !== null) {
      const [from, to] = samplesOf(opened, frame, frame + count);
      rotations = cutTo(rotating.whole, picked.rotations.length, to - from);
      decodeRotations(rotations, 0, source, opened, from, to - from, rotating.scratch, file, notes, faults);
    }
    yield { from: frame - picked.from, frames: count, ...columns, rotations };
  }
  tellOutside(outside, layout, notes);
  if (turns !== null) tellRotations(faults, opened, notes);
}

function rotationArrays(
  rotations: number,
  frames: number,
  { samplesPerFrame, samples, sampleBytes }: { samplesPerFrame: number; samples: number; sampleBytes: number },
): { readonly whole: RotationColumns; readonly scratch: RotationScratch } {
  const most = Math.min(samples, frames * samplesPerFrame);
  const whole = {
    frames: most,
    matrices: new Float64Array(9 * rotations * most),
    translations: new Float64Array(3 * rotations * most),
    reliability: new Float32Array(rotations * most),
  };
  return { whole, scratch: { bytes: new Uint8Array(most * sampleBytes), values: new Float64Array(most) } };
}

function cutTo(whole: RotationColumns, rotations: number, frames: number): RotationColumns {
  if (frames === whole.frames) return whole;
  return {
    frames,
    matrices: whole.matrices.subarray(0, 9 * rotations * frames),
    translations: whole.translations.subarray(0, 3 * rotations * frames),
    reliability: whole.reliability.subarray(0, rotations * frames),
  };
}
