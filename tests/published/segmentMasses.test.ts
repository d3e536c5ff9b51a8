/** Masses and centres of mass of segments against published tables. B-numbers are rows of the project's check values. */

import { describe, expect, it } from 'vitest';
import type { Sex } from '../../src/model/dayPlan.ts';
import {
  type Axis,
  DE_LEVA,
  type EndId,
  endWeights,
  type MassRow,
  massPlan,
} from '../../src/stages/shared/segmentMasses.ts';

type Point = readonly number[];

/** The standing figure of the check values (m; X forward, Y up, Z right); right is the trail side of a right-hander. */
const FIGURE: Readonly<Partial<Record<EndId, Point>>> = {
  vertex: [0, 1.75, 0],
  mid_gonion: [0.02, 1.57, 0],
  suprasternale: [0.03, 1.43, 0],
  mid_hip: [0, 0.92, 0],
  trail_shoulder: [0, 1.42, 0.19],
  lead_shoulder: [0, 1.42, -0.19],
  trail_elbow: [0.05, 1.14, 0.22],
  lead_elbow: [0.05, 1.14, -0.22],
  trail_wrist: [0.25, 0.98, 0.15],
  lead_wrist: [0.25, 0.98, -0.12],
  trail_metacarpale: [0.31, 0.92, 0.1],
  lead_metacarpale: [0.31, 0.92, -0.07],
  trail_hip: [0, 0.92, 0.09],
  lead_hip: [0, 0.92, -0.09],
  trail_knee: [0.05, 0.5, 0.12],
  lead_knee: [0.05, 0.5, -0.12],
  trail_ankle: [0, 0.09, 0.13],
  lead_ankle: [0, 0.09, -0.13],
  trail_heel: [-0.05, 0.03, 0.13],
  lead_heel: [-0.05, 0.03, -0.13],
  trail_toe: [0.21, 0.02, 0.16],
  lead_toe: [0.21, 0.02, -0.16],
};

function centreOf(
  table: readonly MassRow[],
  sex: Sex | null,
  points: Readonly<Partial<Record<EndId, Point>>>,
): number[] {
  const plan = massPlan(table, sex, (end) => points[end] !== undefined);
  const centre = points[plan.parts[0]!.axis.from]!.map(() => 0);
  for (const [end, weight] of endWeights(plan)) {
    for (let c = 0; c < centre.length; c++) centre[c] = centre[c]! + weight * points[end]![c]!;
  }
  return centre;
}

function expectAll(found: readonly number[], expected: readonly number[], tolerance: number): void {
  expect(found.length).toBe(expected.length);
  expected.forEach((value, i) => {
    expect(Math.abs(found[i]! - value), `${found[i]} against ${value}`).toBeLessThanOrEqual(tolerance);
  });
}

describe('de Leva 1996 (J Biomech 29:1223-1230)', () => {
  it('mass fractions sum to 1 (male, B17) and 0.9999 (female, B18) as printed', () => {
    for (const [sex, total] of [
      ['male', 1],
      ['female', 0.9999],
    ] as const)
      expect(DE_LEVA.reduce((sum, row) => sum + row.mass[sex], 0)).toBeCloseTo(total, 12);
  });

  it.each([
    ['male', [0.027795797, 0.9904119304, 0.0004052964]],
    ['female', [0.02638374067, 0.9913834358, 0.0003567782778]],
  ] as const)('the whole-body centre of a standing figure, %s (B19, B20)', (sex, centre) => {
    expectAll(centreOf(DE_LEVA, sex, FIGURE), centre, 1e-9);
  });

  it.each(['female', 'male', null] as const)(
    'renormalised masses sum to 1 and so do the weights of the ends: %s',
    (sex) => {
      const plan = massPlan(DE_LEVA, sex, (end) => FIGURE[end] !== undefined);
      expect(plan.parts.reduce((sum, part) => sum + part.mass, 0)).toBeCloseTo(1, 14);
      expect([...endWeights(plan).values()].reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 14);
      expect(plan.missing).toEqual([]);
      expect(plan.covered).toBe(1);
    },
  );

  it('every segment’s centre lies between its ends; by other ends of head and trunk the body’s is 19 mm off, so the rule says which', () => {
    for (const { axes } of DE_LEVA)
      for (const { share } of axes)
        for (const value of [share.male, share.female]) {
          expect(value).toBeGreaterThanOrEqual(0);
          expect(value).toBeLessThan(1);
        }
    const { mid_gonion: _m, suprasternale: _s, ...rest } = FIGURE;
    // C7 of such a figure: 1.49 m high, 75 mm behind the jugular notch
    const other = centreOf(DE_LEVA, 'male', { ...rest, cervicale: [-0.045, 1.49, 0] });
    const preferred = centreOf(DE_LEVA, 'male', FIGURE);
    // by hand: trunk (−38.4, −4.1) mm · 0.4346, head (−34.5, −22.5) mm · 0.0694
    expectAll(
      other.map((v, c) => v - preferred[c]!),
      [-0.01908, -0.00334, 0],
      5e-5,
    );
  });
});

it('a lower limb after Dempster (Winter 2009, table 4.1): foot, leg, thigh and limb (B21; m)', () => {
  const axis = (from: EndId, to: EndId, share: number): Axis => ({
    from,
    to,
    share: { male: share, female: share },
    substitution: '',
  });
  const same = (mass: number) => ({ male: mass, female: mass });
  const foot: MassRow = { segment: 'lead foot', mass: same(0.0145), axes: [axis('lead_ankle', 'lead_toe', 0.5)] };
  const leg: MassRow = { segment: 'lead shank', mass: same(0.0465), axes: [axis('lead_knee', 'lead_ankle', 0.433)] };
  const thigh: MassRow = { segment: 'lead thigh', mass: same(0.1), axes: [axis('lead_hip', 'lead_knee', 0.433)] };
  const points = {
    lead_toe: [1.011, 0.013],
    lead_ankle: [0.849, 0.11],
    lead_knee: [0.864, 0.549],
    lead_hip: [0.721, 0.928],
  };
  expectAll(centreOf([foot], 'male', points), [0.93, 0.0615], 1e-9);
  expectAll(centreOf([leg], 'male', points), [0.857505, 0.358913], 1e-9);
  expectAll(centreOf([thigh], 'male', points), [0.782919, 0.763893], 1e-9);
  expectAll(centreOf([foot, leg, thigh], 'male', points), [0.8177073447, 0.5836677298], 1e-9);
});

it('masses of Dumas and Wojtusch 2018 sum to 1.002 (male) and 1.004 (female) and are renormalised like any table (B22)', () => {
  const rows: readonly MassRow[] = (
    [
      ['head', 0.067, 0.067],
      ['trunk', 0.304 + 0.029 + 0.142, 0.263 + 0.041 + 0.147], // thorax, abdomen, pelvis
      ...(['lead', 'trail'] as const).flatMap((side) => [
        [`${side} upper arm`, 0.024, 0.023],
        [`${side} forearm`, 0.017, 0.014],
        [`${side} hand`, 0.006, 0.005],
        [`${side} thigh`, 0.123, 0.146],
        [`${side} shank`, 0.048, 0.045],
        [`${side} foot`, 0.012, 0.01],
      ]),
    ] as [MassRow['segment'], number, number][]
  ).map(([segment, male, female]) => ({
    segment,
    mass: { male, female },
    axes: DE_LEVA.find((row) => row.segment === segment)!.axes,
  }));
  for (const [sex, total] of [
    ['male', 1.002],
    ['female', 1.004],
  ] as const) {
    expect(rows.reduce((sum, row) => sum + row.mass[sex], 0)).toBeCloseTo(total, 12);
    const { parts } = massPlan(rows, sex, (end) => FIGURE[end] !== undefined);
    expect(parts.reduce((sum, part) => sum + part.mass, 0)).toBeCloseTo(1, 14);
    expect(parts[0]!.mass).toBeCloseTo(0.067 / total, 14);
  }
});
