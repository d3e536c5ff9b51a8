// Expected values come from statics in the lab (M about O = (P − O) × F + T), written here apart from the code that is tested.
import { describe, expect, it } from 'vitest';
import { type ForcePlatform, type ForcePlatformOptions, forcePlatforms } from '../../../src/c3d/forcePlatforms.ts';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { C3dSelect } from '../../../src/c3d/select.ts';
import { type BuildSpec, buildC3d, type Field, ints, texts } from '../../support/c3dBuilder.ts';

type Vec = readonly [number, number, number];
const add = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const times = (a: Vec, k: number): Vec => [a[0] * k, a[1] * k, a[2] * k];
const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** A platform in the lab: centre of its surface, its axes (z into it), half its edges along x and y. */
interface Platform {
  readonly centre: Vec;
  readonly axes: readonly [Vec, Vec, Vec];
  readonly half: readonly [number, number];
}

/** Turned by `turn` about the vertical, tilted by `tilt`, its first corner moved on by `start` places. */
function platform(turn: number, tilt: number, start: number): Platform {
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  let x: Vec = [c, s, 0];
  let y: Vec = [s * Math.cos(tilt), -c * Math.cos(tilt), -Math.sin(tilt)];
  let half: readonly [number, number] = [300, 200];
  for (let i = 0; i < start; i += 1) {
    [x, y] = [y, times(x, -1)];
    half = [half[1], half[0]];
  }
  return { centre: [812, -340, 25], axes: [x, y, cross(x, y)], half };
}

function at({ centre, axes }: Platform, x: number, y: number, z = 0): Vec {
  return add(centre, add(times(axes[0], x), add(times(axes[1], y), times(axes[2], z))));
}

function corners(p: Platform): number[] {
  const [a, b] = p.half;
  return [at(p, a, b), at(p, -a, b), at(p, -a, -b), at(p, a, -b)].flat();
}

const inPlatform = (p: Platform, v: Vec): Vec => [dot(p.axes[0], v), dot(p.axes[1], v), dot(p.axes[2], v)];

const ORIGIN: Vec = [1.5, -2.5, -40];
const SENSORS: Vec = [120, 200, -55];
/** Upper triangle with a few couplings; row by row. */
const CALIBRATION = Array.from({ length: 6 }, (_, row) =>
  Array.from({ length: 6 }, (_, column) =>
    row === column ? 50 + 10 * row : column > row ? (row + 2 * column) % 5 : 0,
  ),
);

/** Channels of a force at a place on the surface and a free moment, by type. */
function channels(type: number, p: Platform, force: Vec, place: Vec, free: number): number[] {
  const f = inPlatform(p, force);
  const torque = times(p.axes[2], free);
  const about = (o: Vec): Vec => inPlatform(p, add(cross(minus(place, o), force), torque));
  if (type === 1) {
    const [x, y] = inPlatform(p, minus(place, p.centre));
    return [...f, x, y, free];
  }
  if (type === 3) {
    // Moments about the middle of the four sensors, shared out among them.
    const [mx, my, mz] = about(at(p, 0, 0, -SENSORS[2]));
    const [a, b] = SENSORS;
    const one = (sx: number, sy: number): number => f[2] / 4 + (sy * mx) / (4 * b) - (sx * my) / (4 * a);
    const k = mz / (4 * b);
    const j = mz / (4 * a);
    return [f[0] / 2 - k, f[0] / 2 + k, f[1] / 2 + j, f[1] / 2 - j, one(1, 1), one(-1, 1), one(-1, -1), one(1, -1)];
  }
  const wrench = [...f, ...about(at(p, -ORIGIN[0], -ORIGIN[1], -ORIGIN[2]))];
  if (type !== 4) return wrench;
  // Back substitution: raw channels whose product with the matrix is the wrench.
  const raw = Array<number>(6).fill(0);
  for (let row = 5; row >= 0; row -= 1) {
    let sum = wrench[row]!;
    for (let column = row + 1; column < 6; column += 1) sum -= CALIBRATION[row]![column]! * raw[column]!;
    raw[row] = sum / CALIBRATION[row]![row]!;
  }
  return raw;
}

interface Case {
  readonly type: number;
  readonly platform: Platform;
  readonly values: (sample: number) => readonly number[];
  readonly fields?: Readonly<Record<string, Field | null>>;
  readonly spec?: BuildSpec;
  readonly select?: C3dSelect;
  readonly options?: ForcePlatformOptions;
}

function run(c: Case) {
  const n = c.values(0).length;
  const spec: BuildSpec = {
    points: 1,
    frames: 4,
    channels: n,
    samplesPerFrame: 3,
    analog: (channel, s, f) => c.values(3 * f + s)[channel]!,
    ...c.spec,
    fields: {
      'FORCE_PLATFORM:USED': ints(1),
      'FORCE_PLATFORM:TYPE': { type: 'int16', dims: [1], values: [c.type] },
      'FORCE_PLATFORM:ZERO': ints(1, 0),
      'FORCE_PLATFORM:CORNERS': { type: 'float', dims: [3, 4, 1], values: corners(c.platform) },
      'FORCE_PLATFORM:ORIGIN': { type: 'float', dims: [3, 1], values: c.type === 3 ? SENSORS : ORIGIN },
      'FORCE_PLATFORM:CHANNEL': { type: 'int16', dims: [n, 1], values: Array.from({ length: n }, (_, i) => i + 1) },
      // First index (row) fastest.
      'FORCE_PLATFORM:CAL_MATRIX': {
        type: 'float',
        dims: [6, 6, 1],
        values: Array.from({ length: 36 }, (_, i) => CALIBRATION[i % 6]![Math.floor(i / 6)]!),
      },
      ...c.fields,
    },
  };
  const file = readC3d(bytesSource(buildC3d(spec)), c.select ? { select: c.select } : {});
  const { value, diagnostics } = forcePlatforms(file, c.options);
  return { file, value, codes: diagnostics.map((d) => d.code) };
}

const column = (p: ForcePlatform, data: Float64Array, i: number): Vec => [
  data[i]!,
  data[p.samples + i]!,
  data[2 * p.samples + i]!,
];
const PLACES = [0, 1, 2, 3].flatMap((start) => [
  [start, 0, 0],
  [start, 0.5, 0],
  [start, -2.2, 0.15],
]) as [number, number, number][];

describe('a force at a known place', () => {
  for (const type of [1, 2, 3, 4]) {
    it.each(PLACES)(
      `type ${type}, first corner %i, turned %f, tilted %f: place within 0.1 mm, force, moment and free moment`,
      (start, turn, tilt) => {
        const p = platform(turn, tilt, start);
        const place = (i: number): Vec => at(p, 12 * i - 60, 90 - 9 * i);
        const force = (i: number): Vec => [10 * i, 35 - 5 * i, 500 + i];
        const free = (i: number): number => 800 * i - 3000;
        const { value, codes } = run({
          type,
          platform: p,
          values: (i) => channels(type, p, force(i), place(i), free(i)),
        });
        expect(codes).toEqual([]);
        const found = value[0]!;
        expect([value.length, found.type, found.samples]).toEqual([1, type, 12]);
        for (let i = 0; i < 12; i += 1) {
          // 0.1 mm is the demand; channels are 32-bit floats (6e-8 of up to 5e5 N·mm over 500 N: under 0.001 mm).
          const miss = minus(column(found, found.centreOfPressure, i), place(i));
          expect(Math.hypot(...miss)).toBeLessThan(0.1);
          expect(Math.hypot(...minus(column(found, found.force, i), force(i)))).toBeLessThan(1e-3);
          const turning = times(p.axes[2], free(i));
          const moment = add(cross(minus(place(i), p.centre), force(i)), turning);
          expect(Math.hypot(...minus(column(found, found.moment, i), moment))).toBeLessThan(0.5);
          expect(Math.hypot(...minus(column(found, found.freeMoment, i), turning))).toBeLessThan(0.5);
        }
      },
    );
  }

  it('a block of 50 kg at rest: 490.3 N straight up, its centre of pressure beneath it, no free moment', () => {
    const p = platform(0.3, 0, 0);
    const place = at(p, 111, -73);
    const { value } = run({ type: 2, platform: p, values: () => channels(2, p, [0, 0, 490.3325], place, 0) });
    const [x, y, z] = column(value[0]!, value[0]!.centreOfPressure, 5);
    expect(Math.hypot(x - place[0], y - place[1], z - place[2])).toBeLessThan(0.1);
    expect(column(value[0]!, value[0]!.force, 5)[2]).toBeCloseTo(490.3325, 3);
    expect(Math.hypot(...column(value[0]!, value[0]!.freeMoment, 5))).toBeLessThan(0.1);
  });

  it('the sign of the channels does not move the centre of pressure', () => {
    const p = platform(0.3, 0, 1);
    const place = at(p, 111, -73);
    const { value } = run({ type: 2, platform: p, values: () => channels(2, p, [0, 0, -490], place, 0) });
    expect(Math.hypot(...minus(column(value[0]!, value[0]!.centreOfPressure, 0), place))).toBeLessThan(0.1);
  });
});

describe('worked formulas', () => {
  const flat: Platform = {
    centre: [0, 0, 0],
    axes: [
      [1, 0, 0],
      [0, -1, 0],
      [0, 0, -1],
    ],
    half: [300, 200],
  };

  it('type 3: eight sensor forces at their places add up to force and moment', () => {
    const raw = [11, -7, 5, 3, 140, 150, 90, 120];
    const { value } = run({ type: 3, platform: flat, values: () => raw });
    const [a, b, up] = SENSORS;
    // Sensors 1 to 4 at (a, b), (−a, b), (−a, −b), (a, −b), 55 mm beneath the surface; pairs along x act at y = ±b, along y at x = ±a.
    const acting: [Vec, Vec][] = [
      [
        [0, b, -up],
        [raw[0]!, 0, 0],
      ],
      [
        [0, -b, -up],
        [raw[1]!, 0, 0],
      ],
      [
        [a, 0, -up],
        [0, raw[2]!, 0],
      ],
      [
        [-a, 0, -up],
        [0, raw[3]!, 0],
      ],
      [
        [a, b, -up],
        [0, 0, raw[4]!],
      ],
      [
        [-a, b, -up],
        [0, 0, raw[5]!],
      ],
      [
        [-a, -b, -up],
        [0, 0, raw[6]!],
      ],
      [
        [a, -b, -up],
        [0, 0, raw[7]!],
      ],
    ];
    let force: Vec = [0, 0, 0];
    let moment: Vec = [0, 0, 0];
    for (const [where, f] of acting) {
      force = add(force, f);
      moment = add(moment, cross(where, f));
    }
    const lab = (v: Vec): Vec => [v[0], -v[1], -v[2]];
    const p = value[0]!;
    expect(Math.hypot(...minus(column(p, p.force, 0), lab(force)))).toBeLessThan(1e-9);
    expect(Math.hypot(...minus(column(p, p.moment, 0), lab(moment)))).toBeLessThan(1e-6);
  });

  it('type 2 by hand: F = (20, 10, 400), M = (4000, −6000, 900), surface 40 above the sensors', () => {
    const { value } = run({
      type: 2,
      platform: flat,
      values: () => [20, 10, 400, 4000, -6000, 900],
      fields: { 'FORCE_PLATFORM:ORIGIN': { type: 'float', dims: [3, 1], values: [0, 0, -40] } },
    });
    // About the surface: Mx = 4000 + (−40)·10 = 3600, My = −6000 − (−40)·20 = −5200; x = 5200/400 = 13, y = 3600/400 = 9;
    // free = 900 − 13·10 + 9·20 = 950. In the lab y and z are turned over.
    const p = value[0]!;
    expect(column(p, p.moment, 0)).toEqual([3600, 5200, -900]);
    expect(column(p, p.centreOfPressure, 0)).toEqual([13, -9, 0]);
    expect(column(p, p.freeMoment, 0).map((v) => v + 0)).toEqual([0, 0, -950]);
  });

  it('an ORIGIN that points into the platform is reversed and told', () => {
    const p = platform(0, 0, 0);
    const values = (): number[] => channels(2, p, [30, 40, 500], at(p, 50, 60), 0);
    const reversed: Field = { type: 'float', dims: [3, 1], values: ORIGIN.map((v) => -v) };
    const { value, codes } = run({ type: 2, platform: p, values, fields: { 'FORCE_PLATFORM:ORIGIN': reversed } });
    expect(codes).toEqual(['force-plate-origin-sign']);
    expect(Math.hypot(...minus(column(value[0]!, value[0]!.centreOfPressure, 0), at(p, 50, 60)))).toBeLessThan(0.1);
  });
});

describe('zero, threshold, units and what is missing', () => {
  const p = platform(0.5, 0, 0);
  const loaded = channels(2, p, [20, -15, 500], at(p, 50, 60), 700);
  const drift = [3, -2, 12, 150, -90, 40];
  const drifting = (i: number): number[] => loaded.map((v, c) => (i < 6 ? 0 : v) + drift[c]!);

  it('ZERO takes off the mean of its frames, which count as the header counts', () => {
    for (const firstFrame of [1, 301]) {
      const { value, codes } = run({
        type: 2,
        platform: p,
        values: drifting,
        spec: { firstFrame },
        fields: { 'FORCE_PLATFORM:ZERO': ints(firstFrame, firstFrame + 1) },
      });
      const found = value[0]!;
      expect([codes, found.force[0], found.force[2 * 12]]).toEqual([[], 0, 0]);
      expect(Number.isNaN(found.centreOfPressure[0]!)).toBe(true);
      expect(Math.hypot(...minus(column(found, found.centreOfPressure, 9), at(p, 50, 60)))).toBeLessThan(0.1);
    }
  });

  it('channels that hold one value while others vary are told: they were not recorded', () => {
    const dead = [7, 7, 7];
    const { value, codes } = run({
      type: 2,
      platform: p,
      values: (i) => [...loaded.slice(0, 3).map((v) => v + i), ...dead],
    });
    expect([value.length, codes]).toEqual([1, ['force-plate-channel-flat']]);
    const none = run({ type: 2, platform: p, values: (i) => [...loaded.slice(0, 3).map((v) => v + i), 0, 0, 0] });
    expect(none.codes).toEqual([]);
  });

  it('ZERO frames that were trimmed away take nothing off and are told; (1, 0), (0, 0) and (0, 10) mean none', () => {
    const trimmed = run({
      type: 2,
      platform: p,
      values: () => loaded,
      spec: { firstFrame: 300 },
      fields: { 'FORCE_PLATFORM:ZERO': ints(1, 10) },
    });
    expect(trimmed.codes).toEqual(['force-plate-zero-not-stored']);
    expect(trimmed.value[0]!.force[2 * 12]).toBeCloseTo(500, 3);
    for (const range of [
      [1, 0],
      [0, 0],
      [0, 10],
    ]) {
      const { value, codes } = run({
        type: 2,
        platform: p,
        values: () => loaded,
        fields: { 'FORCE_PLATFORM:ZERO': ints(...range) },
      });
      expect([codes, Math.round(value[0]!.force[2 * 12]!)]).toEqual([[], 500]);
    }
  });

  it('the centre of pressure of type 1 has no zero, its forces have', () => {
    const raw = channels(1, p, [0, 0, 500], at(p, 50, 60), 0);
    const { value } = run({
      type: 1,
      platform: p,
      values: (i) => raw.map((v, c) => (c === 3 || c === 4 ? v : (i < 3 ? 0 : v) + 5)),
      fields: { 'FORCE_PLATFORM:ZERO': ints(1, 1) },
    });
    expect(Math.hypot(...minus(column(value[0]!, value[0]!.centreOfPressure, 8), at(p, 50, 60)))).toBeLessThan(0.1);
    expect(value[0]!.force[2 * 12 + 8]).toBeCloseTo(500, 3);
  });

  it('under the least force there is no centre of pressure and no free moment; force and moment stay', () => {
    const values = (): number[] => loaded.map((v) => v / 100);
    const none = run({ type: 2, platform: p, values }).value[0]!;
    expect([none.centreOfPressure[0], none.freeMoment[0], Math.round(none.force[24]!)]).toEqual([
      Number.NaN,
      Number.NaN,
      5,
    ]);
    const some = run({ type: 2, platform: p, values, options: { leastForce: 1 } }).value[0]!;
    expect(Math.hypot(...minus(column(some, some.centreOfPressure, 0), at(p, 50, 60)))).toBeLessThan(0.1);
  });

  it('moments in N·m beside corners in mm are told, and a factor of 1000 puts them right', () => {
    const values = (): number[] => loaded.map((v, c) => (c < 3 ? v : v / 1000));
    const fields = { 'ANALOG:UNITS': texts(['N', 'N', 'N', 'Nm', 'Nm', 'Nm']) };
    expect(run({ type: 2, platform: p, values, fields }).codes).toEqual(['force-plate-units']);
    const { value, codes } = run({ type: 2, platform: p, values, fields, options: { momentFactor: 1000 } });
    expect(codes).toEqual([]);
    expect(Math.hypot(...minus(column(value[0]!, value[0]!.centreOfPressure, 0), at(p, 50, 60)))).toBeLessThan(0.1);
  });

  it.each([0, 5, 6, 11, 21])('type %i is left out and told', (type) => {
    const { value, codes } = run({ type, platform: p, values: () => loaded });
    expect([value, codes]).toEqual([[], ['force-plate-type-unknown']]);
  });

  it.each<[string, Field | null]>([
    ['CORNERS', { type: 'float', dims: [3, 4, 1], values: Array(12).fill(7) }],
    ['CORNERS', null],
    ['ORIGIN', null],
    ['CHANNEL', null],
    ['CHANNEL', { type: 'int16', dims: [6, 1], values: [1, 2, 3, 4, 5, 7] }],
    ['CHANNEL', { type: 'int16', dims: [6, 1], values: [1, 1, 1, 1, 1, 1] }],
    ['CAL_MATRIX', null],
  ])('type 4 with unusable %s is left out and told', (name, field) => {
    const { value, codes } = run({
      type: 4,
      platform: p,
      values: () => loaded,
      fields: { [`FORCE_PLATFORM:${name}`]: field },
    });
    expect([value, codes]).toEqual([[], ['force-plate-incomplete']]);
  });

  it('a file without the group has no platform and nothing to tell', () => {
    const file = readC3d(bytesSource(buildC3d()));
    expect(forcePlatforms(file)).toEqual({ value: [], diagnostics: [] });
  });

  it('a selection of channels keeps the platform whose channels were read, whatever their order', () => {
    const select = { points: [], analog: [5, 4, 3, 2, 1, 0], frames: [1, 3] } as const;
    const { value } = run({ type: 2, platform: p, values: () => loaded, select });
    expect([value[0]!.samples, Math.round(value[0]!.force[2 * 6]!)]).toEqual([6, 500]);
    const part = run({ type: 2, platform: p, values: () => loaded, select: { analog: [0, 1, 2] } });
    expect([part.value, part.codes]).toEqual([[], ['force-plate-incomplete']]);
  });
});
