import { beforeAll, describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import type { AngleTriple, SwingSeries } from '../../../src/model/swingSeries.ts';
import { parseOrders } from '../../../src/pipeline/orders.ts';
import { GAPS, LEFT, SENSORS, sampleSeries } from '../../support/sampleSeries.ts';

const RAD = Math.PI / 180;
const TRIALS = [LEFT, GAPS, SENSORS];
let records: ReadonlyMap<string, SwingRecord>;
let all: ReadonlyMap<string, SwingSeries>;

beforeAll(async () => {
  const { result, series } = await sampleSeries(parseOrders('XYZ,lead_elbow:ZXY,trail_wrist:ZXY'));
  records = new Map(result.records.map((record) => [record.head.trial, record]));
  all = series;
}, 120_000);

/** Of four neighbours, by the polynomial through them (Lagrange): slow and plain. */
function between(values: Float64Array, t: number): number {
  const first = Math.min(Math.max(Math.floor(t) - 1, 0), values.length - 4);
  let sum = 0;
  for (let i = 0; i < 4; i++) {
    let weight = 1;
    for (let j = 0; j < 4; j++) if (j !== i) weight *= (t - first - j) / (i - j);
    sum += weight * values[first + i]!;
  }
  return sum;
}

type Matrix = readonly [number, number, number, number, number, number, number, number, number];
const about: Readonly<Record<string, (c: number, s: number) => Matrix>> = {
  X: (c, s) => [1, 0, 0, 0, c, -s, 0, s, c],
  Y: (c, s) => [c, 0, s, 0, 1, 0, -s, 0, c],
  Z: (c, s) => [c, -s, 0, s, c, 0, 0, 0, 1],
};
function times(a: readonly number[], b: readonly number[]): number[] {
  return Array.from({ length: 9 }, (_, i) => {
    const [row, column] = [Math.floor(i / 3), i % 3];
    return [0, 1, 2].reduce((sum, k) => sum + a[3 * row + k]! * b[3 * k + column]!, 0);
  });
}
function turned(order: string, angles: readonly number[]): number[] {
  const parts = [...order].map((axis, i) => about[axis]!(Math.cos(angles[i]!), Math.sin(angles[i]!)));
  return times(times(parts[0]!, parts[1]!), parts[2]!);
}
const transposed = (m: readonly number[]): number[] => [0, 3, 6, 1, 4, 7, 2, 5, 8].map((i) => m[i]!);
const at = ({ values }: AngleTriple, frame: number): number[] => {
  const frames = values.length / 3;
  return [0, 1, 2].map((i) => values[i * frames + frame]!);
};

describe('a swing at every frame', () => {
  it('has every quantity that varies and has a value at a position', () => {
    const atAddress = /^(stance|ball|pelvis_line\.alignment|shoulder_line\.alignment|.*_foot\.flare)/;
    const varying = new Set(CATALOGUE.filter((row) => row.at !== 'swing').map(({ id }) => id));
    for (const trial of TRIALS) {
      const read = records.get(trial)!.cells.filter(({ value, quantity }) => value !== null && varying.has(quantity));
      const wanted = new Set(read.map(({ quantity }) => quantity).filter((id) => !atAddress.test(id)));
      const has = new Set(all.get(trial)!.quantities.map(({ quantity }) => quantity));
      expect(wanted.size, trial).toBeGreaterThan(8);
      expect(
        [...wanted].filter((id) => !has.has(id)),
        trial,
      ).toEqual([]);
    }
  });

  it('goes through the values of the tables at the positions', () => {
    // The tables interpolate rotations and points with six samples, this check numbers with four: at 240 Hz that parted them by up to
    // 0.007° (of a wrist at release), 0.001 mm, 0.03°/s and 0.00005 m/s (measured here); three times as much is allowed and more.
    const limits: Readonly<Record<string, number>> = {
      deg: 0.02 * RAD,
      mm: 5e-6,
      'deg/s': 0.1 * RAD,
      'm/s': 5e-4,
      '%': 5e-6,
    };
    let compared = 0;
    for (const trial of TRIALS) {
      const { cells, moments } = records.get(trial)!;
      const { clock, quantities } = all.get(trial)!;
      for (const { quantity, order, values, unit } of quantities) {
        for (const cell of cells) {
          if (cell.quantity !== quantity || cell.order !== order || cell.value === null) continue;
          const moment = cell.position === 'swing' ? undefined : moments[cell.position];
          if (moment?.found !== true || moment.window_s !== null || cell.flags.includes('near-singular')) continue;
          const value = between(values, moment.time_s * clock.rate_Hz);
          if (Number.isNaN(value)) continue;
          const where = `${trial} ${quantity} ${order} ${cell.position}`;
          expect(Math.abs(value - cell.value), where).toBeLessThan(limits[unit]!);
          compared += 1;
        }
      }
    }
    expect(compared).toBeGreaterThan(1000);
  });

  it('has angles in the order asked for that put together give the rotations', () => {
    const { angles, segments, clock } = all.get(GAPS)!;
    const poseAt = (name: string, frame: number): number[] => {
      const { pose } = segments.find(({ segment }) => segment === name)!;
      return Array.from(pose.subarray(9 * frame, 9 * frame + 9));
    };
    const raw = angles.filter(({ raw: isRaw }) => isRaw);
    expect(raw.map(({ rotation, order }) => `${rotation}.${order}`)).toContain('lead_elbow.ZXY');
    const pairs: Readonly<Record<string, readonly [string, string]>> = {
      lead_elbow: ['lead_upper_arm', 'lead_forearm'],
      trail_wrist: ['trail_forearm', 'trail_hand'],
      trunk: ['pelvis', 'thorax'],
      neck: ['thorax', 'head'],
    };
    for (const triple of raw) {
      for (let frame = 0; frame < clock.frames; frame += 7) {
        const pair = pairs[triple.rotation];
        const R = pair
          ? times(transposed(poseAt(pair[0], frame)), poseAt(pair[1], frame))
          : poseAt(triple.rotation, frame);
        if (R.some(Number.isNaN)) continue;
        const back = turned(triple.order, at(triple, frame));
        // products of cosines: rounding alone
        back.forEach((value, i) => {
          expect(Math.abs(value - R[i]!), `${triple.rotation} ${triple.order}`).toBeLessThan(1e-12);
        });
      }
    }
  });

  it('has the three angles of every rotation as its quantities are, and the one without a name with the sign of its fellows', () => {
    const { angles, quantities, clock } = all.get(GAPS)!;
    const main = angles.filter(({ raw }) => !raw);
    expect(main.map(({ rotation, order }) => `${rotation}.${order}`)).toEqual([
      ...['pelvis.YXZ', 'thorax.YXZ', 'head.YXZ', 'trunk.ZXY', 'neck.ZXY'],
      ...['lead', 'trail'].flatMap((side) => [`${side}_shoulder.YXY`, `${side}_elbow.ZXY`, `${side}_wrist.ZXY`]),
      ...['lead', 'trail'].flatMap((side) => [`${side}_hip.ZXY`, `${side}_knee.ZXY`, `${side}_ankle.ZXY`]),
    ]);
    for (const triple of main) {
      triple.parts.forEach((part, i) => {
        const series = quantities.find(({ quantity }) => quantity === `${triple.rotation}.${part}`);
        if (series === undefined) expect(part).toMatch(/^(minus )?(second|third) angle$/);
        else expect(triple.values.subarray(i * clock.frames, (i + 1) * clock.frames)).toEqual(series.values);
      });
    }
    const of = (rotation: string, isRaw: boolean): AngleTriple =>
      angles.find((one) => one.rotation === rotation && one.order === 'ZXY' && one.raw === isRaw)!;
    expect(of('lead_elbow', false).parts).toEqual(['flexion', 'minus second angle', 'pronation']);
    expect(of('trail_wrist', false).parts).toEqual(['flexion', 'ulnar_deviation', 'third angle']);
    for (const frame of [0, 100, 200]) {
      expect(at(of('lead_elbow', false), frame)[1]).toBe(-at(of('lead_elbow', true), frame)[1]!);
      expect(at(of('trail_wrist', false), frame)[2]).toBe(at(of('trail_wrist', true), frame)[2]);
    }
  });

  it('says which values rest on filled samples, frame by frame', () => {
    let flagged = 0;
    for (const trial of [LEFT, GAPS]) {
      const { points, quantities, clock } = all.get(trial)!;
      const { parts } = records.get(trial)!.origins!;
      for (const { id, reading } of CATALOGUE) {
        if (reading.kind !== 'orientation' && reading.kind !== 'joint') continue;
        const segments = reading.kind === 'joint' ? [reading.proximal, reading.distal] : [reading.segment];
        const markers = segments.flatMap((segment) => parts[segment]!.markers);
        const states = points.filter(({ landmark }) => markers.includes(landmark)).map(({ state }) => state);
        expect(states.length).toBeGreaterThan(2);
        const { filled } = quantities.find(({ quantity }) => quantity === id)!;
        for (let f = 0; f < clock.frames; f++) {
          // states of a track: 2 by a spline, 4 by components, 3 from the rest of its segment
          const has = (...which: number[]): boolean => states.some((state) => which.includes(state[f]!));
          const isAny = (filled?.[f] ?? 0) > 0;
          if (isAny !== has(2, 3, 4)) expect([trial, id, f, filled?.[f]]).toEqual([trial, id, f, has(2, 3, 4)]);
          if (isAny) flagged += 1;
        }
      }
    }
    expect(flagged).toBeGreaterThan(10);
  });

  it('has markers by the names of the file and the sides of the body, sensors none', () => {
    // heron swings left-handed: the trail side is the left
    const left = all.get(LEFT)!;
    expect(left.points.map(({ landmark }) => landmark)).toEqual(
      expect.arrayContaining(['L_ASIS', 'R_ASIS', 'CLUB_GRIP']),
    );
    const z = (name: string): number =>
      left.points.find(({ landmark }) => landmark === name)!.data[2 * left.clock.frames]!;
    expect(z('L_ASIS')).toBeGreaterThan(z('R_ASIS'));
    expect(left.segments.every(({ origin }) => origin !== null)).toBe(true);
    const sensors = all.get(SENSORS)!;
    expect([sensors.points, sensors.file]).toEqual([[], null]);
    expect(sensors.segments.map(({ segment, origin }) => [segment, origin])).toEqual(
      expect.arrayContaining([
        ['pelvis', null],
        ['thorax', null],
      ]),
    );
  });
});
