/** Joint centres by published regressions, mm. Formulas as in open code (standards A5, A6) but where "from memory" stands; B-numbers are rows of the project's check values. */

import { describe, expect, it } from 'vitest';
import type { HipMethod, Sex } from '../../src/model/dayPlan.ts';
import { cross, dot, norm, subtract } from '../../src/numeric/vector.ts';
import {
  bell1989,
  bell1990,
  bestHipCentre,
  davis,
  dumasHip,
  dumasLumbar,
  type HipCentre_mm,
  hara,
  harringtonOneVariable,
  harringtonTwoVariables,
  hipCentreBy,
  leardini,
} from '../../src/stages/shared/hipCentres.ts';
import { pelvisFrame, thoraxFrame } from '../../src/stages/shared/segmentFrames.ts';
import { neckCentre, shoulderCentre, shoulderCentreRab } from '../../src/stages/shared/shoulderCentres.ts';

type Point = readonly [number, number, number];

function expectAll(found: ArrayLike<number>, expected: readonly number[], tolerance: number): void {
  expect(found.length).toBe(expected.length);
  expected.forEach((value, i) => {
    expect(Math.abs(found[i]! - value), `element ${i}: ${found[i]} against ${value}`).toBeLessThanOrEqual(tolerance);
  });
}

const mean = (a: ArrayLike<number>, b: ArrayLike<number>): number[] => [0, 1, 2].map((c) => (a[c]! + b[c]!) / 2);

describe('hip centres in the pelvis of B01 (ASIS 250 mm apart, PSIS 90 mm, 150 mm behind and 20 mm up; leg 900 mm)', () => {
  // lead ASIS (left of a right-hander), trail ASIS, lead PSIS, trail PSIS; origin mid-ASIS
  const R = new Float64Array(9);
  pelvisFrame(Float64Array.of(0, 0, -125, 0, 0, 125, -150, 20, -45, -150, 20, 45), R, 0);
  const width = 250;
  const depth = Math.hypot(150, 20);
  const leg = 900;

  const rows: readonly (readonly [string, HipCentre_mm, Point, Point])[] = [
    [
      'Harrington 2007, two variables (B02)',
      harringtonTwoVariables(width, depth, leg),
      [-46.21859028, -83.1, 90.27168866],
      [-56.79596136, -76.26261772, 90.27168866],
    ],
    [
      'Harrington 2007, one variable (B03)',
      harringtonOneVariable(width, depth),
      [-46.21859028, -85.9, 89.8],
      [-57.16601977, -79.03805584, 89.8],
    ],
    ['Bell 1990 (B04)', bell1990(width), [-47.5, -75, 90], [-56.99560429, -68.06431585, 90]],
    ['Bell 1989 (B05)', bell1989(width), [-55, -75, 90], [-64.42981354, -67.07308795, 90]],
    ['Hara 2016 (B06)', hara(leg), [-45.7, -79.2, 85.4], [-55.76648169, -72.46536773, 85.4]],
    [
      'Leardini 1999 (B07; y and z from memory)',
      leardini(width, depth, leg),
      [-46.91151245, -86.4, 95],
      [-57.91894542, -79.44209062, 95],
    ],
    [
      'Davis 1991 (B08; distance to the trochanter from memory)',
      davis(width, leg),
      [-46.74547777, -96.76622744, 83.04994476],
      [-59.12440639, -89.73932825, 83.04994476],
    ],
    [
      'Dumas and Wojtusch 2018, male (B09)',
      dumasHip(width, 'male'),
      [-23.75, -92.5, 90.25],
      [-35.76680675, -88.54969246, 90.25],
    ],
    [
      'Dumas and Wojtusch 2018, female (B10)',
      dumasHip(width, 'female'),
      [-34.75, -84, 93],
      [-45.54692204, -78.67045438, 93],
    ],
    [
      'lumbar joint, Dumas and Wojtusch 2018, male (B11)',
      dumasLumbar(width, 'male'),
      [-83.75, -8, 0],
      [-84.07264644, 3.138888352, 0],
    ],
    [
      'lumbar joint, Dumas and Wojtusch 2018, female (B12)',
      dumasLumbar(width, 'female'),
      [-85, 12.25, 0],
      [-82.63536599, 23.37645799, 0],
    ],
  ];

  it.each(rows)(
    '%s lies where the formula puts it, in the pelvis and in the laboratory',
    (_name, centre, local, global) => {
      expectAll(centre, local, 1e-6); // the tolerance of the rows
      const out = [0, 1, 2].map((r) => R[3 * r]! * centre[0] + R[3 * r + 1]! * centre[1] + R[3 * r + 2]! * centre[2]);
      expectAll(out, global, 1e-6);
    },
  );

  it('without a sex the shares of Dumas and Wojtusch are the mean of both', () => {
    expectAll(dumasHip(width, null), mean(dumasHip(width, 'male'), dumasHip(width, 'female')), 1e-12);
    expectAll(dumasLumbar(width, null), mean(dumasLumbar(width, 'male'), dumasLumbar(width, 'female')), 1e-12);
  });

  it('the default is the regression that needs what there is', () => {
    expect(bestHipCentre(250, 150, 900).regression).toBe('Harrington 2007, two variables');
    expect(bestHipCentre(250, 150, null).regression).toBe('Harrington 2007, one variable');
    expect(bestHipCentre(250, null, 900).regression).toBe('Hara 2016');
    expect(bestHipCentre(250, null, null).regression).toBe('Bell 1990');
  });

  it.each<readonly [HipMethod, string | null, string | null, string | null]>([
    // all sizes · without PSIS · without malleolus
    ['harrington', 'Harrington 2007, two variables', null, 'Harrington 2007, one variable'],
    ['hara', 'Hara 2016', 'Hara 2016', null],
    ['bell', 'Bell 1990', 'Bell 1990', 'Bell 1990'],
    ['davis', 'Davis 1991', 'Davis 1991', null],
    ['leardini', 'Leardini 1999', null, null],
    [
      'dumas-wojtusch',
      'Dumas and Wojtusch 2018, female',
      'Dumas and Wojtusch 2018, female',
      'Dumas and Wojtusch 2018, female',
    ],
  ])('%s, chosen by name, is used under its name or not at all', (method, all, noDepth, noLeg) => {
    const sizes = { width_mm: 250, depth_mm: 150, leg_mm: 900, sex: 'female' as Sex };
    expect(hipCentreBy(method, sizes)?.regression ?? null).toBe(all);
    expect(hipCentreBy(method, { ...sizes, depth_mm: null })?.regression ?? null).toBe(noDepth);
    expect(hipCentreBy(method, { ...sizes, leg_mm: null })?.regression ?? null).toBe(noLeg);
  });
});

describe('shoulder and neck centres in the thorax of B13 (mm)', () => {
  const ij: Point = [0, 0, 0];
  const px: Point = [20, -170, 2];
  const c7: Point = [-125, 50, -3];
  const t8: Point = [-190, -140, 4];
  const acromion: Point = [-60, 40, 190];

  it('the shoulder lies forward and down from the acromion, by sex (B14, B15: Dumas and Wojtusch 2018)', () => {
    const male = [0, 0, 0];
    const female = [0, 0, 0];
    const both = [0, 0, 0];
    shoulderCentre(acromion, ij, c7, t8, 'male', male);
    shoulderCentre(acromion, ij, c7, t8, 'female', female);
    shoulderCentre(acromion, ij, c7, t8, null, both);
    expectAll(male, [-22.66113345, 15.9371765, 191.2578434], 1e-6);
    expectAll(female, [-16.74248676, 18.1489267, 191.2184186], 1e-6);
    expectAll(both, mean(male, female), 1e-12);
  });

  it.each([
    ['male', 0.55, 8],
    ['female', 0.53, 14],
  ] as const)(
    'the neck joint of %s: %d |C7 − IJ| from C7, raised by %d° from C7 → IJ (Dumas and Wojtusch 2018)',
    (sex, share, angle_deg) => {
      const centre = [0, 0, 0];
      neckCentre(ij, c7, t8, sex, centre);
      const fromC7 = [0, 0, 0];
      const toIj = [0, 0, 0];
      const toT8 = [0, 0, 0];
      subtract(centre, c7, fromC7);
      subtract(ij, c7, toIj);
      subtract(t8, c7, toT8);
      expect(norm(fromC7)).toBeCloseTo(share * norm(toIj), 10);
      const cosine = dot(fromC7, toIj) / (norm(fromC7) * norm(toIj));
      expect((Math.acos(cosine) * 180) / Math.PI).toBeCloseTo(angle_deg, 9);
      const normal = [0, 0, 0];
      cross(toIj, toT8, normal);
      expect(dot(fromC7, normal) / norm(normal)).toBeCloseTo(0, 10); // in the plane of C7, IJ and T8
      const up = [0, 0, 0];
      cross(toIj, normal, up); // in that plane, away from T8: (a × (a × b)) · b = (a·b)² − a²b² < 0
      expect(dot(up, toT8)).toBeLessThan(0);
      expect(dot(up, fromC7)).toBeGreaterThan(0);
    },
  );

  it('Rab 2002 (from memory): 17 % of the distance of the acromia straight down the thorax axis', () => {
    const R = new Float64Array(9);
    thoraxFrame(Float64Array.of(...ij, ...px, ...c7, ...t8), R, 0);
    const up = [R[1]!, R[4]!, R[7]!];
    const other: Point = [-60, 40, -190];
    const centre = [0, 0, 0];
    shoulderCentreRab(acromion, other, up, centre);
    // Y axis of B13 (0.1239965877, 0.9919727013, −0.02479931753) times 0.17 · 380 = 64.6 mm, by hand
    expectAll(centre, [-60 - 8.010179565, 40 - 64.08143651, 190 + 1.602035912], 1e-6);
  });
});
