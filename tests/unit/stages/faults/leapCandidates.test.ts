import { describe, expect, it } from 'vitest';
import { MEASURED, type Track } from '../../../../src/model/track.ts';
import { createRandom } from '../../../../src/numeric/random.ts';
import { leapCandidates } from '../../../../src/stages/faults/leapCandidates.ts';

const FRAMES = 60;

/** A marker at rest with 0.1 mm of noise that steps by so much at a frame, along a direction. */
function stepping(size_m: number, at: number, along: readonly [number, number, number], seed: number): Track<3> {
  const random = createRandom(seed);
  const data = new Float64Array(3 * FRAMES);
  for (let c = 0; c < 3; c++) {
    for (let f = 0; f < FRAMES; f++) {
      data[c * FRAMES + f] = 1e-4 * random.normal() + (f >= at ? size_m * along[c]! : 0);
    }
  }
  const clock = { rate_Hz: 240, frames: FRAMES };
  const state = new Uint8Array(FRAMES).fill(MEASURED);
  return { dimension: 3, clock, data, state, noise: Number.NaN, provenance: 'made' };
}

const DIRECTIONS = [
  ['along one axis', [0, -1, 0]],
  ['along all three alike', [1 / Math.sqrt(3), -1 / Math.sqrt(3), 1 / Math.sqrt(3)]],
  ['along two', [0, 0.6, 0.8]],
] as const;

function framesOf(track: Track<3>): readonly number[] {
  const leaps = leapCandidates('lead_ASIS', track, new Float64Array(FRAMES), new Float64Array(FRAMES));
  return leaps.map(({ after }) => after);
}

// What counts begins at 8 mm; 0.1 mm of noise makes 0.2 mm of the unexplained part (root of 20/4), 9 mm is five of that above.
describe.each(DIRECTIONS)('a step of a marker seen in every frame, %s', (_name, along) => {
  it('of 9 mm is a leap at whichever frame, the first and the last too', () => {
    for (let at = 1; at < FRAMES; at++) expect(framesOf(stepping(0.009, at, along, at)), `frame ${at}`).toContain(at);
  });

  it('of 7 mm is none', () => {
    for (let at = 1; at < FRAMES; at++) expect(framesOf(stepping(0.007, at, along, at)), `frame ${at}`).toEqual([]);
  });
});
