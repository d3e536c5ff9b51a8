import { describe, expect, it } from 'vitest';
import { MISSING } from '../../../src/model/track.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { findFaults } from '../../../src/stages/findFaults.ts';
import { noiseSource, type Point, snapshot, trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });
const FRAMES = 480;

/** 1 Hz, 300 mm: up to 1.9 m/s. */
function moving(f: number): Point {
  const t = f / 240;
  return [0.3 * Math.sin(2 * Math.PI * t), 1 + 0.3 * Math.cos(2 * Math.PI * t), 0.05 * t];
}

function noisy(at: (f: number) => Point, seed: number): (f: number) => Point {
  const next = noiseSource(seed);
  const made = Array.from({ length: FRAMES }, (_, f): Point => {
    const [x, y, z] = at(f);
    return [x + 0.001 * next(), y + 0.001 * next(), z + 0.001 * next()];
  });
  return (f) => made[f]!;
}

const held = (at: (f: number) => Point, from: number, to: number) => (f: number) =>
  at(f >= from && f < to ? from - 1 : f);

describe('a marker that sticks', () => {
  const C7 = noisy(moving, 1);
  const T8 = noisy(() => [0, 1, 0], 2);
  const made = trialOf({ C7: held(C7, 100, 112), T8: held(T8, 300, 310) }, { frames: FRAMES });

  it('is found with its frames, moving or still, and its samples count as missing', () => {
    const unchanged = snapshot(made);
    const { value, diagnostics } = findFaults(made, [], { repair: true }, ws);
    expect(value.faults).toMatchObject([
      { code: 'marker-sticks', markers: ['C7'], frames: [[100, 111]], action: 'removed' },
      { code: 'marker-sticks', markers: ['T8'], frames: [[300, 309]], action: 'removed' },
    ]);
    expect(value.faults[0]!.detail).toMatch(
      /^repeats its coordinates to the last digit in 12 frames, then \d+ mm in a frame$/,
    );
    expect(diagnostics.map(({ code, severity }) => [code, severity])).toEqual([
      ['marker-sticks', 'warning'],
      ['marker-sticks', 'warning'],
    ]);
    const { data, state } = value.trial.points.get('C7')!;
    expect([...state].flatMap((s, f) => (s === MISSING ? [f] : []))).toEqual(
      Array.from({ length: 12 }, (_, i) => 100 + i),
    );
    expect(data[FRAMES + 105]).toBeNaN();
    expect(unchanged()).toBe(true);
  });

  it('stays where nothing is to be repaired, and is said', () => {
    const { value } = findFaults(made, [], { repair: false }, ws);
    expect(value.trial).toBe(made);
    expect(value.faults.map(({ action }) => action)).toEqual(['kept', 'kept']);
  });
});

describe('labels swapped to the end of the trial', () => {
  // five markers of one segment, 1 Hz
  const corner = (dx: number, dy: number, dz: number, seed: number) =>
    noisy((f) => {
      const [x, y, z] = moving(f);
      return [x + dx, y + dy, z + dz];
    }, seed);
  const [ij, px, c7, t8] = [
    corner(0.1, 0.1, 0, 11),
    corner(0.1, -0.1, 0, 12),
    corner(-0.1, 0, 0.1, 13),
    corner(-0.1, 0, -0.1, 14),
  ];
  const from = (first: number, before: (f: number) => Point, after: (f: number) => Point) => (f: number) =>
    f < first ? before(f) : after(f);
  const t10 = corner(0, -0.15, 0.05, 15);
  const swappedFrom = (first: number) =>
    trialOf({ IJ: from(first, ij, px), PX: from(first, px, ij), C7: c7, T8: t8, T10: t10 }, { frames: FRAMES });
  /** As on the static trial. */
  const shape = {
    segment: 'thorax',
    landmarks: ['IJ', 'PX', 'C7', 'T8', 'T10'] as const,
    places_m: [0.1, 0.1, 0, 0.1, -0.1, 0, -0.1, 0, 0.1, -0.1, 0, -0.1, 0, -0.15, 0.05],
    residual_m: 0.001,
  };

  it('the lesser part is exchanged back, and the data are those before', () => {
    const { value, diagnostics } = findFaults(swappedFrom(400), [], { repair: true }, ws);
    expect(value.faults).toMatchObject([
      { code: 'labels-swapped', markers: ['IJ', 'PX'], frames: [[400, 479]], action: 'repaired' },
    ]);
    expect(diagnostics).toMatchObject([{ code: 'labels-swapped', severity: 'info' }]);
    for (const [id, at] of [
      ['IJ', ij],
      ['PX', px],
    ] as const) {
      const { data } = value.trial.points.get(id)!;
      for (let f = 0; f < FRAMES; f++) expect([0, 1, 2].map((c) => data[c * FRAMES + f])).toEqual([...at(f)]);
    }
  });

  it('half of the trial: kept and said, until the static trial shows which half', () => {
    const made = swappedFrom(240);
    const { value, diagnostics } = findFaults(made, [], { repair: true }, ws);
    expect(value.faults).toMatchObject([{ code: 'labels-swapped', action: 'kept' }]);
    expect(value.trial.points.get('IJ')).toBe(made.points.get('IJ'));
    expect(diagnostics).toMatchObject([{ severity: 'warning' }]);
    const told = findFaults(made, [shape], { repair: true }, ws).value.faults;
    expect(told).toMatchObject([{ code: 'labels-swapped', frames: [[240, 479]], action: 'repaired' }]);
  });
});

describe('what is no fault', () => {
  it('a noise-free marker that rests and goes', () => {
    const rest = (f: number): Point => {
      const t = Math.max(0, f - 240) / 240;
      return [0.5 * t * t * 9, 1, 0];
    };
    const still = (): Point => [0, 0.1, 0];
    const trial = trialOf(
      { C7: rest, T8: moving, IJ: still, BALL: (f) => (f < 200 ? [1, 0, 0] : [1 + f, 0, 0]) },
      { frames: FRAMES },
    );
    expect(findFaults(trial, [], { repair: true }, ws).value).toEqual({ trial, faults: [] });
  });

  it('a still marker stored in steps of a tenth of a millimetre', () => {
    const steps = (at: (f: number) => Point) => (f: number) =>
      at(f).map((x) => Math.round(10_000 * x) / 10_000) as unknown as Point;
    const quiet = noiseSource(3);
    const at: Point[] = Array.from({ length: FRAMES }, () => [0.00004 * quiet(), 1, 0]);
    const trial = trialOf({ C7: steps((f) => at[f]!), T8: steps(moving) }, { frames: FRAMES });
    expect(findFaults(trial, [], { repair: true }, ws).value.faults).toEqual([]);
  });
});
