import { describe, expect, it } from 'vitest';
import { MISSING } from '../../../src/model/track.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { thoraxFrame } from '../../../src/stages/shared/segmentFrames.ts';
import { rotationTrack, weightedPoint } from '../../../src/stages/shared/tracks.ts';
import { noiseSource, type Point, track } from './support.ts';

const FRAMES = 21;
const noise = noiseSource(11);
const clock = { rate_Hz: 240, frames: FRAMES };
const some = Array.from({ length: 5 }, () =>
  track(240, FRAMES, (f) => (f === 4 ? null : [1e3 * noise(), noise(), 1e-3 * noise()])),
);

describe('a point that is made of others', () => {
  // The definition: one term after the other, in their order. Not a bit may differ, whatever is added in one pass.
  it.each([1, 2, 3, 4, 5])('is the sum of %i weighted points, term by term', (count) => {
    const tracks = some.slice(0, count);
    const weights = tracks.map((_, i) => 1 / (i + 3));
    const made = weightedPoint(tracks, weights, clock, 'test', createWorkspace({ poison: true }));
    for (let k = 0; k < 3 * FRAMES; k++) {
      let sum = 0;
      for (let i = 0; i < count; i++) sum += weights[i]! * tracks[i]!.data[k]!;
      expect(made.data[k]).toBe(sum);
    }
    expect(made.state[4]).toBe(MISSING);
  });
});

describe('the rotation of a segment', () => {
  const shape: readonly Point[] = [
    [0.09, 0.05, 0],
    [0.12, -0.14, 0],
    [-0.05, 0.07, 0],
    [-0.1, -0.13, 0.001],
  ];
  /** The shape, growing with time, so that the frame at which its noise is looked at shows in the noise. */
  const body = (isSeen: (frame: number) => boolean) =>
    shape.map((p) => ({
      ...track(240, FRAMES, (f) => (isSeen(f) ? [p[0] * (1 + f), p[1] * (1 + f), p[2]] : null)),
      noise: 0.001,
    }));
  const noiseOf = (isSeen: (frame: number) => boolean): number =>
    rotationTrack(body(isSeen), thoraxFrame, clock, 'test', createWorkspace({ poison: true })).noise;
  /** A shape (1 + f) times as large errs by an angle that much smaller. */
  const frameOfNoise = (isSeen: (frame: number) => boolean): number => noiseOf((f) => f === 0) / noiseOf(isSeen) - 1;

  // The turn is taken by steps of a micrometre on a decimetre: right to 1 in 10⁵ of itself.
  it('has its noise by the last frame of the first half, else by the first there is', () => {
    expect(frameOfNoise(() => true)).toBeCloseTo(10, 2);
    expect(frameOfNoise((f) => f !== 10 && f !== 9)).toBeCloseTo(8, 2);
    expect(frameOfNoise((f) => f > 13)).toBeCloseTo(14, 2);
    expect(noiseOf(() => false)).toBeNaN();
  });

  it('is missing where a point of it is', () => {
    const made = rotationTrack(
      body((f) => f !== 7),
      thoraxFrame,
      clock,
      'test',
      createWorkspace({ poison: true }),
    );
    for (let f = 0; f < FRAMES; f++) {
      expect(made.state[f] === MISSING).toBe(f === 7);
      expect(Number.isNaN(made.data[9 * f]!)).toBe(f === 7);
    }
  });
});
