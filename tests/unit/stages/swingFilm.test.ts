import { describe, expect, it } from 'vitest';
import { absent, present } from '../../../src/model/availability.ts';
import { FILM_POINTS, filmBytes, packPlaces, unpackPlaces } from '../../../src/model/film.ts';
import type { Motion, PointId } from '../../../src/model/motion.ts';
import { CURVE_STEPS } from '../../../src/model/swingRecord.ts';
import type { Track } from '../../../src/model/track.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { type FilmInput, swingFilm } from '../../../src/stages/swingFilm.ts';
import { type Point, track } from './support.ts';

const ws = createWorkspace({ poison: true });
const RATE = 200;
const FRAMES = 400;
/** Rounded to half a millimetre, a coordinate is off by a quarter of one at most. */
const HALF_STEP_m = 0.00025;
/** Impact lies between these two frames. */
const BEFORE = 299;

const pelvisAt = (f: number): Point => [0.4 + 0.001 * f, 0.9, -3 - 0.0005 * f];
/** Straight to impact, and straight on from there another way: an interpolation across the two would show. */
const headAt = (f: number): Point => (f <= BEFORE ? [1, 0.01 * (300 - f), -3] : [1, 0, -3 + 0.02 * (f - 300)]);

function motionOf(tracks: Partial<Record<PointId, Track<3>>>, source: 'markers' | 'sensors' = 'markers'): Motion {
  const points = new Map(Object.entries(tracks).map(([id, one]) => [id as PointId, present(one)]));
  return { head: { source }, clock: { rate_Hz: RATE, frames: FRAMES }, points } as unknown as Motion;
}

function inputOf(motion: Motion, times_s: Float64Array): FilmInput {
  const impact = present({ before: BEFORE, after: BEFORE + 1 });
  return { motion, found: { moments: new Map(), impact }, curveBase: { times_s, shared: [] } } as unknown as FilmInput;
}

/** Steps between frames, from frame 20 on, the first two without a time. */
const TIMES = Float64Array.from({ length: CURVE_STEPS }, (_, i) => (i < 2 ? Number.NaN : (20.3 + 4.1 * i) / RATE));

describe('the film of a swing', () => {
  const tracks = {
    pelvis_centre: track(RATE, FRAMES, pelvisAt),
    head_point: track(RATE, FRAMES, headAt),
    lead_knee: track(RATE, FRAMES, (f) => (f < 200 ? [0.5, 0.5, -3] : null)),
    trail_knee: track(RATE, FRAMES, () => null),
  };
  const film = swingFilm(inputOf(motionOf(tracks), TIMES), ws).value!;
  const places = unpackPlaces(film.data);
  const at = (step: number, id: PointId): number[] => {
    const from = 3 * (film.points.length * step + film.points.indexOf(id));
    return [...places.subarray(from, from + 3)];
  };
  const first = pelvisAt(20.3 + 8.2);

  it('holds the points that are there at some step, in the order of the list', () => {
    expect(film.points).toEqual(['pelvis_centre', 'lead_knee', 'head_point']);
    expect(FILM_POINTS.length).toBeLessThanOrEqual(24);
    expect(places).toHaveLength(3 * 3 * CURVE_STEPS);
    expect(atob(film.data)).toHaveLength(filmBytes(3, CURVE_STEPS));
  });

  it('has every place to half a millimetre, from the pelvis centre of the first step, at the times of the steps', () => {
    for (let step = 2; step < CURVE_STEPS; step++) {
      const f = TIMES[step]! * RATE;
      // straight lines: interpolation adds nothing to the rounding
      for (const [id, truth] of [
        ['pelvis_centre', pelvisAt(f)],
        ['head_point', f < BEFORE + 1 ? [1, 0.01 * (300 - f), -3] : headAt(f)],
      ] as const) {
        const moved = [truth[0]! - first[0], truth[1]!, truth[2]! - first[2]];
        at(step, id).forEach((value, axis) => {
          expect(Math.abs(value - moved[axis]!), `${id} at step ${step}`).toBeLessThan(HALF_STEP_m + 1e-9);
        });
      }
    }
  });

  it('is missing where a step has no time or a point is not there, never zero', () => {
    expect(at(0, 'pelvis_centre')).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(at(10, 'lead_knee').every(Number.isFinite)).toBe(true);
    expect(at(60, 'lead_knee')).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  it('is not there for sensors, or where nothing is known', () => {
    expect(swingFilm(inputOf(motionOf(tracks, 'sensors'), TIMES), ws).value).toBeNull();
    expect(swingFilm(inputOf(motionOf({ trail_knee: tracks.trail_knee }), TIMES), ws).value).toBeNull();
    const lost = { points: new Map([['lead_knee', absent('landmark-missing', 'the knee')]]) };
    const none = { ...motionOf({}), ...lost } as unknown as Motion;
    expect(swingFilm(inputOf(none, TIMES), ws).value).toBeNull();
  });

  it('stands on the first place there is where no pelvis is known', () => {
    const { value } = swingFilm(inputOf(motionOf({ head_point: tracks.head_point }), TIMES), ws);
    const [x, y, z] = unpackPlaces(value!.data).subarray(6, 9);
    expect([x, z]).toEqual([0, 0]);
    expect(y).toBeCloseTo(0.01 * (300 - 28.5), 3);
  });
});

describe('places as text', () => {
  it('come back to half a millimetre from −16 m to 16 m; what is further is missing', () => {
    const given = Float64Array.from([0, 0.0005, -0.0005, 1.2345, -1.2345, 16.3835, -16.3835, 16.4, -16.4, Number.NaN]);
    const back = unpackPlaces(packPlaces(given));
    expect([...back]).toEqual([
      0,
      0.0005,
      -0.0005,
      1.2345,
      -1.2345,
      16.3835,
      -16.3835,
      Number.NaN,
      Number.NaN,
      Number.NaN,
    ]);
  });

  it('are 16-bit numbers, low byte first', () => {
    // 0.128 m is 256 steps, bytes 0 and 1; −0.0005 m is −1, bytes 255 and 255
    expect(packPlaces(Float64Array.from([0.128, -0.0005]))).toBe(btoa('\u0000\u0001\u00ff\u00ff'));
  });
});
