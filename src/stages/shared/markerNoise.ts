/** White noise of a marker from the recording itself. */

import { medianInPlace } from '../../numeric/select.ts';

/** Sixth differences of noise of variance v have variance 924 v; of a smooth motion they vanish. */
const SIXTH_DIFFERENCE = 924;
const BLOCK = 16;
/** Median over mean of a block's mean square: 48 differences of which 15.2 count as independent (1 − 2 / (9 · 15.2))³. */
const MEDIAN_OF_MEAN = 0.957;

/**
 * Standard deviation per axis of a marker's white noise, in the unit of `data` (planar, three columns), or NaN where fewer than three
 * blocks of 22 consecutive samples are present. Mean square of the sixth differences in blocks of 16 frames, their median over the
 * blocks: a fast downswing and a jump at impact fill few blocks and do not count. `scratch` needs frames / 16 places.
 * At 240 Hz a motion of 5 Hz and 0.3 m leaves 0.05 µm in it, one of 10 Hz 3 µm.
 */
export function whiteNoise(data: Float64Array, frames: number, scratch: Float64Array): number {
  let blocks = 0;
  for (let start = 3; start + BLOCK + 3 <= frames; start += BLOCK) {
    let sum = 0;
    for (let axis = 0; axis < 3; axis++) {
      const from = axis * frames + start;
      let x1 = data[from - 3]!;
      let x2 = data[from - 2]!;
      let x3 = data[from - 1]!;
      let x4 = data[from]!;
      let x5 = data[from + 1]!;
      let x6 = data[from + 2]!;
      for (let i = from + 3; i < from + 3 + BLOCK; i++) {
        const x7 = data[i]!;
        const d = x1 + x7 - 6 * (x2 + x6) + 15 * (x3 + x5) - 20 * x4;
        sum += d * d;
        x1 = x2;
        x2 = x3;
        x3 = x4;
        x4 = x5;
        x5 = x6;
        x6 = x7;
      }
    }
    if (Number.isNaN(sum)) continue;
    scratch[blocks] = sum;
    blocks += 1;
  }
  if (blocks < 3) return Number.NaN;
  const median = medianInPlace(scratch, blocks);
  return Math.sqrt(median / (3 * BLOCK * SIXTH_DIFFERENCE * MEDIAN_OF_MEAN));
}
