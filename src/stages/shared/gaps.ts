import { MISSING } from '../../model/track.ts';

/** Missing stretches as from0, to0, from1, to1 … (half open). */
export function gapsOf(state: Uint8Array, frames: number): number[] {
  const gaps: number[] = [];
  for (let f = 0; f < frames; f++) {
    if (state[f] !== MISSING) continue;
    const from = f;
    while (f < frames && state[f] === MISSING) f += 1;
    gaps.push(from, f);
  }
  return gaps;
}
