// The generator knows where its faces are; it shares no code with the program and works from axes of its own.
import { describe, expect, it } from 'vitest';
import { DRIVER, IRON_7, IRON_9, makeClub } from '../../../samples/generator/club.ts';
import { type FaceOptions, makeFaceTrial } from '../../../samples/generator/clubFace.ts';
import { clubPoints } from '../../../src/intake/clubPoints.ts';
import type { ClubLandmark } from '../../../src/model/landmarks.ts';
import { calibrateFace } from '../../../src/stages/calibrateFace.ts';
import { clubPlan, trialPlan } from '../../support/plans.ts';
import { exactFile } from '../../support/truthCases.ts';

const DEGREES = 180 / Math.PI;
const CLEAN: FaceOptions = { rate_Hz: 240, noise_mm: 0, rounding: false, hand: 'right' };

function pointsOf(spec = DRIVER, options = CLEAN, seed = 1): Map<ClubLandmark, Float64Array> {
  const file = exactFile(makeFaceTrial(seed, spec, options).content);
  const taken = clubPoints(file, { trial: trialPlan({ role: 'calibration', units: null }), club: clubPlan() }).value;
  if (!taken.ok) throw new Error(taken.why.needed);
  return new Map(taken.value);
}

function faceOf(points: ReadonlyMap<ClubLandmark, Float64Array>, height_m = 0) {
  const { value } = calibrateFace(points, { height_m });
  if (!value.ok) throw new Error(value.why.needed);
  return value.value;
}

function whyNot(points: ReadonlyMap<ClubLandmark, Float64Array>): string {
  const { value } = calibrateFace(points, { height_m: 0 });
  return value.ok ? '' : value.why.needed;
}

const degreesBetween = (a: readonly number[], b: readonly number[]): number =>
  Math.acos(Math.min(1, a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!)) * DEGREES;

const apart_mm = (a: readonly number[], b_mm: readonly number[]): number =>
  Math.hypot(...a.map((x, c) => 1000 * x - b_mm[c]!));

describe('the face of a club, from markers on it', () => {
  const MIRRORED = { up: '+Y', target: '-Z', mirrored: true } as const;
  it.each([
    ['right-handed', DRIVER, CLEAN, 1],
    ['left-handed: a mirror image, z with the other sign', IRON_7, { ...CLEAN, hand: 'left' }, -1],
    ['right-handed in left-handed file axes: z with the other sign too', IRON_9, { ...CLEAN, lab: MIRRORED }, -1],
    ['left-handed in left-handed file axes: as the right-handed', DRIVER, { ...CLEAN, hand: 'left', lab: MIRRORED }, 1],
  ] as const)('%s', (_, spec, options, sign) => {
    const club = makeClub(spec);
    const found = faceOf(pointsOf(spec, options));
    // File axes hold 64-bit numbers here: what is left is rounding.
    const [cx, cy, cz] = club.face_mm;
    expect(apart_mm(found.centre_m!, [cx, cy, sign * cz])).toBeLessThan(1e-6);
    const [nx, ny, nz] = club.faceNormal;
    expect(degreesBetween(found.normal, [nx, ny, sign * nz])).toBeLessThan(1e-4);
    expect(found.frames).toBe(120);
    expect(found.scatter_m).toBeLessThan(1e-12);
  });

  it('the height of the markers is taken off along the normal', () => {
    const found = faceOf(pointsOf(DRIVER, { ...CLEAN, height_mm: 7 }), 0.007);
    expect(apart_mm(found.centre_m!, makeClub(DRIVER).face_mm)).toBeLessThan(1e-6);
    const raised = faceOf(pointsOf(DRIVER, { ...CLEAN, height_mm: 7 }));
    expect(apart_mm(raised.centre_m!, makeClub(DRIVER).face_mm)).toBeCloseTo(7, 6);
  });

  it('without a marker on the middle there is a normal and no centre', () => {
    const points = pointsOf();
    points.set('CLUB_FACE_3', points.get('CLUB_FACE')!);
    points.delete('CLUB_FACE');
    const found = faceOf(points);
    expect(found.centre_m).toBeNull();
    expect(degreesBetween(found.normal, makeClub(DRIVER).faceNormal)).toBeLessThan(1e-4);
  });

  it('with 1 mm of noise the normal is within its own ± as often as it says', () => {
    // Half a second of the club by hand. 40 trials: 95 % leaves fewer than 33 within in 1 of 100 such runs (binomial).
    let within = 0;
    let square = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const found = faceOf(pointsOf(IRON_7, { ...CLEAN, noise_mm: 1 }, seed));
      const off = degreesBetween(found.normal, makeClub(IRON_7).faceNormal);
      if (off < found.normalWithin_rad * DEGREES) within += 1;
      square += (off * off) / 40;
      expect(apart_mm(found.centre_m!, makeClub(IRON_7).face_mm)).toBeLessThan(1);
    }
    expect(within).toBeGreaterThanOrEqual(33);
    // 1 mm is 2 mm in the frame of markers 60 mm apart; over √120 frames and 10 and 18 mm of face that is 1.2° at worst.
    expect(Math.sqrt(square)).toBeLessThan(1.2);
    expect(within).toBeLessThan(40);
  });
});

describe('a recording that shows no face says why', () => {
  it('no three markers on the head', () => {
    const points = pointsOf();
    points.delete('CLUB_HEAD_2');
    expect(whyNot(points)).toBe('three markers on the head: CLUB_HEAD_2');
  });

  it('two markers on the face', () => {
    const points = pointsOf();
    points.delete('CLUB_FACE_2');
    expect(whyNot(points)).toMatch(/^three markers on the face .*; CLUB_FACE, CLUB_FACE_1 are$/);
  });

  it('markers seen in too few frames', () => {
    const points = pointsOf();
    points.get('CLUB_FACE')!.fill(Number.NaN, 9, 120);
    expect(whyNot(points)).toMatch(/in 10 frames or more; CLUB_FACE_1, CLUB_FACE_2 are$/);
  });

  it('markers on one line', () => {
    const points = pointsOf();
    const [a, b] = [points.get('CLUB_FACE')!, points.get('CLUB_FACE_1')!];
    points.set(
      'CLUB_FACE_2',
      a.map((x, i) => 2 * x - b[i]!),
    );
    expect(whyNot(points)).toBe('markers on the face that do not lie nearly on one line');
  });

  it('a marker that is not on the head', () => {
    const points = pointsOf();
    const loose = points.get('CLUB_FACE_1')!;
    for (let f = 0; f < 120; f++) loose[f]! += 0.01 * Math.sin(f / 10);
    expect(whyNot(points)).toMatch(/CLUB_FACE_1 moves by \d\.\d mm \(SD\) against the head, at most 5 mm/);
  });

  it('head markers in the plane of the face: nothing tells front from back', () => {
    const points = pointsOf();
    const [a, b, c] = (['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3'] as const).map((id) => points.get(id)!);
    const mix = (p: number, q: number) => a!.map((x, i) => x + p * (b![i]! - x) + q * (c![i]! - x));
    points.set('CLUB_FACE', mix(0.4, 0.3));
    points.set('CLUB_FACE_1', mix(0.6, 0.3));
    points.set('CLUB_FACE_2', mix(0.4, 0.6));
    expect(whyNot(points)).toMatch(
      /^head markers that lie behind the face, or face_normal in the day file: their mean is 0 mm/,
    );
  });

  it('a file without a unit of length', () => {
    const file = { ...exactFile(makeFaceTrial(1, DRIVER, CLEAN).content), units: [] };
    const trial = trialPlan({ role: 'calibration', units: null });
    const { value } = clubPoints(file, { trial, club: clubPlan() });
    expect(value.ok ? '' : value.why.needed).toMatch(/^a unit of length: .* set units in the day file$/);
    expect(clubPoints(file, { trial: { ...trial, units: 'mm' }, club: clubPlan() }).value.ok).toBe(true);
  });
});
