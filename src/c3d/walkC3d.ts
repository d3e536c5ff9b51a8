/** A file of any size, in blocks of whole frames: never the whole in memory. */
import { Notes } from './diagnosticCodes.ts';
import { type Columns, decodeInto, eachStretch, framesPerStretch, tellOutside } from './frames.ts';
import { openC3d } from './head.ts';
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
}

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
  const { layout, picked } = opened;
  const points = picked.points.length;
  const analogPerFrame = picked.channels.length * layout.samplesPerFrame;
  const most = framesPerStretch(opened);
  const whole: Columns = {
    xyz: new Float64Array(3 * points * most),
    word4: new Int16Array(points * most),
    analog: new Float64Array(analogPerFrame * most),
  };
  const head: C3dHead = { ...opened.head, diagnostics: notes.list() };
  let outside = 0;
  eachStretch(source, opened, file, notes, (reader, from, count) => {
    const columns =
      count === most
        ? whole
        : {
            xyz: whole.xyz.subarray(0, 3 * points * count),
            word4: whole.word4.subarray(0, points * count),
            analog: whole.analog.subarray(0, analogPerFrame * count),
          };
    outside += decodeInto(columns, count, 0, reader, opened, count);
    options.onBlock({ from: from - picked.from, frames: count, ...columns }, head);
  });
  tellOutside(outside, layout, notes);
  return { ...opened.head, diagnostics: notes.list() };
}
