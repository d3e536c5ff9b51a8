/** How tracks move with what they are made of, to first order. */

import type { MadeOf, Track } from '../../model/track.ts';

/** 3 × 3: how a track changes with its input number k at a frame. */
export function byInput(track: Track<3> | Track<9>, madeOf: MadeOf, k: number, frame: number, A: Float64Array): void {
  const { data, clock } = track;
  switch (madeOf.kind) {
    case 'mean':
      A.fill(0);
      for (let c = 0; c < 9; c += 4) A[c] = madeOf.weights[k]!;
      return;
    case 'carried':
      // R (θ × place) = −R [place]× θ
      A.fill(0);
      if (k === 0) for (let c = 0; c < 9; c += 4) A[c] = 1;
      else turned(madeOf.pose.data, 9 * frame, madeOf.place, A);
      return;
    case 'frame': {
      // θ = turns · Rᵀ · δ
      const J = madeOf.turns ?? madeOf.turnsAt(frame);
      for (let r = 0; r < 3; r++) {
        for (let c = 0; c < 3; c++) {
          let sum = 0;
          for (let i = 0; i < 3; i++) sum += J[9 * k + 3 * r + i]! * data[9 * frame + 3 * c + i]!;
          A[3 * r + c] = sum;
        }
      }
      return;
    }
    case 'line': {
      // (I − d dᵀ) / length, by the far end; minus that by the near one
      const factor = (k === 0 ? -1 : 1) / madeOf.length_m;
      for (let r = 0; r < 3; r++) {
        for (let c = 0; c < 3; c++) {
          const along = data[r * clock.frames + frame]! * data[c * clock.frames + frame]!;
          A[3 * r + c] = factor * ((r === c ? 1 : 0) - along);
        }
      }
    }
  }
}

/** −R [place]×: R times the rows 0 z −y, −z 0 x, y −x 0. */
function turned(R: Float64Array, at: number, [x, y, z]: readonly [number, number, number], A: Float64Array): void {
  for (let r = 0; r < 3; r++) {
    const o = at + 3 * r;
    A[3 * r] = y * R[o + 2]! - z * R[o + 1]!;
    A[3 * r + 1] = z * R[o]! - x * R[o + 2]!;
    A[3 * r + 2] = x * R[o + 1]! - y * R[o]!;
  }
}
