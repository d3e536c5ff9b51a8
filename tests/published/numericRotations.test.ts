import { describe, expect, it } from 'vitest';
import { type AngleOrder, anglesFromRotation, rotationFromAngles } from '../../src/numeric/eulerAngles.ts';
import { fitPose } from '../../src/numeric/poseFit.ts';
import {
  angularVelocity,
  apply3,
  applyT3,
  basis,
  expRotation,
  fineAngularVelocity,
  helicalAxis,
  logRotation,
  meanRotation,
  mul3,
  mul3T,
  mulT3,
  quaternionFromRotation,
  rotationAngle,
} from '../../src/numeric/rotation.ts';
import { blend, cross, distance, dot, norm, normalize, subtract } from '../../src/numeric/vector.ts';
import { DEG, deg, worstDifference } from '../support/numericOracles.ts';

// Tolerances: values are printed to ten digits, so 1e-8 for angles in degrees leaves only rounding of the print.
const PRINTED = 1e-8;

function posture(order: AngleOrder, a: number, b: number, c: number): Float64Array {
  const m = new Float64Array(9);
  rotationFromAngles(a * DEG, b * DEG, c * DEG, order, m);
  return m;
}

function angles(m: Float64Array, order: AngleOrder): number[] {
  const out = new Float64Array(3);
  anglesFromRotation(m, 0, order, out);
  return deg(out);
}

function leg(
  mm: number[],
  lm: number[],
  fh: number[],
  mc: number[],
): { ajc: number[]; kjc: number[]; m: Float64Array } {
  const ajc = [0, 0, 0];
  const kjc = [0, 0, 0];
  blend(mm, lm, 0.5, ajc);
  blend(fh, mc, 0.5, kjc);
  const x = [0, 0, 0];
  const y = [0, 0, 0];
  const z = [0, 0, 0];
  subtract(kjc, ajc, y);
  normalize(y, y);
  subtract(mm, lm, z);
  cross(y, z, x);
  normalize(x, x);
  cross(x, y, z);
  return { ajc, kjc, m: basis<'lab', 'leg'>(x, y, z).m };
}

// Winter 2009, Biomechanics and Motor Control of Human Movement, p. 183: four markers of a leg, cm.
const fh = [5.05, 41.9, 15.41];
const mc = [8.29, 41.88, 26.52];
const now = leg([2.71, 10.22, 26.52], [2.92, 10.1, 18.85], fh, mc);
// The next frame of the same problem, 0.05 s later.
const later = leg([3.16, 10.04, 26.1], [2.95, 10.19, 18.41], [4.57, 42.13, 15.97], [8.42, 41.76, 26.9]);

describe('the leg of Winter 2009, p. 183', () => {
  it('has joint centres halfway between its markers (A01)', () => {
    expect(worstDifference(now.ajc, [2.815, 10.16, 22.685])).toBeLessThan(1e-12);
    expect(worstDifference(now.kjc, [6.67, 41.89, 20.965])).toBeLessThan(1e-12);
  });

  it('has the frame the book prints to four places (A02)', () => {
    const expected = [
      0.9924690324813974, 0.12043274757753122, -0.02238689072572462, -0.119004972452167, 0.9912661687769302,
      0.05682604306095594, 0.02903508390030686, -0.05373393666234864, 0.9981330712653844,
    ];
    expect(worstDifference(now.m, expected)).toBeLessThan(1e-10);
  });

  it('sees its knee markers at mirrored places in its own frame (A03)', () => {
    const out = [0, 0, 0];
    subtract(fh, now.ajc, out);
    applyT3(now.m, 0, out, out);
    expect(worstDifference(out, [-1.770279773, 32.12286978, -5.507794187])).toBeLessThan(PRINTED);
    subtract(mc, now.ajc, out);
    applyT3(now.m, 0, out, out);
    expect(worstDifference(out, [1.770279773, 31.89626252, 5.507794187])).toBeLessThan(PRINTED);
  });

  it('reads differently in Z-X-Y and Y-X-Z (A04, angles recomputed from A02)', () => {
    expect(worstDifference(angles(now.m, 'ZXY'), [-6.927134974, -3.080211269, -1.666229497])).toBeLessThan(PRINTED);
    expect(worstDifference(angles(now.m, 'YXZ'), [-1.284858075, -3.257647306, -6.845795173])).toBeLessThan(PRINTED);
  });

  const step = new Float64Array(9);
  mul3T(later.m, 0, now.m, 0, step, 0);

  it('turns 3.76 degrees about one axis to the next frame (A05, answer recomputed)', () => {
    const v = new Float64Array(3);
    logRotation(step, 0, v);
    const axis = [0, 0, 0];
    const angle = normalize(v, axis) / DEG;
    const expected = [3.761521989136874, 0.52716529891615, 0.8333069601599402, 0.16642192694367536];
    expect(worstDifference([angle, ...axis], expected)).toBeLessThan(PRINTED);
  });

  it('has that mean angular velocity, in the lab and in the leg (A06, answer recomputed)', () => {
    const ms = new Float64Array(18);
    ms.set(now.m);
    ms.set(later.m, 9);
    const w = new Float64Array(6);
    angularVelocity(ms, 2, 20, w);
    const lab = [w[0]!, w[2]!, w[4]!];
    expect(worstDifference(lab, [0.6921779861, 1.094147765, 0.2185151308])).toBeLessThan(PRINTED);
    expect(norm(lab) / DEG).toBeCloseTo(75.23043978, 7);
    const own = [0, 0, 0];
    applyT3(now.m, 0, lab, own);
    expect(worstDifference(own, [0.5631007967, 1.156210881, 0.2647875537])).toBeLessThan(PRINTED);
  });

  it('moves along the finite helical axis of Spoor & Veldpaus 1980 (A07, recomputed)', () => {
    const d = [0, 0, 0];
    apply3(step, 0, now.ajc, d);
    subtract(later.ajc, d, d);
    const screw = helicalAxis(step, d);
    expect(screw.translation).toBeCloseTo(0.01745942995, 9);
    // The point is t / tan of a small angle away: rounding of the markers is amplified some 30 times.
    expect(worstDifference(screw.point, [-9.647283253, 2.75229775, 16.77786179])).toBeLessThan(1e-7);
    expect(Math.abs(dot(screw.point, screw.axis))).toBeLessThan(1e-12);
  });
});

describe('matrices and angles of the published teaching examples', () => {
  it('builds a frame from three points, rows global to local (A08), and reads its x-y-z angles (A09)', () => {
    const v1 = [-1, 1, 0];
    const v2 = [0, 0, 0];
    const v3 = [0, 0, 0];
    cross(v1, [-1, 0, 1], v2);
    cross(v1, v2, v3);
    for (const v of [v1, v2, v3]) normalize(v, v);
    const expected = [
      -0.7071067811865475, 0.7071067811865475, 0, 0.5773502691896258, 0.5773502691896258, 0.5773502691896258,
    ];
    expect(worstDifference([...v1, ...v2], expected)).toBeLessThan(1e-12);
    expect(worstDifference(v3, [0.408248290463863, 0.408248290463863, -0.816496580927726])).toBeLessThan(1e-12);
    // The source reads alpha = atan2(-R21, R22) and so on from these rows: intrinsic X-Y-Z of the transpose.
    const m = basis<'lab', 'body'>(v1, v2, v3).m;
    const out = angles(m, 'XYZ');
    expect(worstDifference(out, [-153.434948822922, 24.094842552110702, -140.76847951640775])).toBeLessThan(PRINTED);
  });

  it('writes X-Y-Z 45, 45, 45 as published (A10) and 10, 20, 30 by the formula (A11)', () => {
    const h = Math.SQRT1_2;
    const a10 = [
      0.5,
      -0.5,
      h,
      0.8535533905932737,
      0.14644660940672638,
      -0.5,
      0.14644660940672613,
      0.8535533905932737,
      0.5,
    ];
    expect(worstDifference(posture('XYZ', 45, 45, 45), a10)).toBeLessThan(1e-12);
    expect(worstDifference(angles(posture('XYZ', 45, 45, 45), 'XYZ'), [45, 45, 45])).toBeLessThan(1e-12 / DEG);
    const a11 = [
      0.8137976813493738, -0.46984631039295416, 0.3420201433256687, 0.5438381424823255, 0.8231729446455008,
      -0.16317591116653482, -0.20487412870286215, 0.3187957775971678, 0.9254165783983234,
    ];
    expect(worstDifference(posture('XYZ', 10, 20, 30), a11)).toBeLessThan(1e-12);
  });
});

describe('one posture in several orders (recomputed with independent code; order effect of ISB 2005 Z-X-Y)', () => {
  const rows: [string, number[], number[], number[], number[]][] = [
    [
      'A12',
      [-35, 15, 30],
      [18.5688344, 28.06001299, -26.280819],
      [29.35024525, 16.32063606, -35.26050335],
      [-26.5012193, 28.87909402, 17.19212373],
    ],
    [
      'A13',
      [-10, -35, -95],
      [-94.12581766, -7.108944048, 35.6141687],
      [-119.9802126, -81.78586664, -84.62243747],
      [88.67258373, -54.68982167, -97.09518818],
    ],
    [
      'A14',
      [-20, 35, 30],
      [22.91980493, 39.6268684, -1.986994138],
      [41.95682889, 17.45484274, -17.0789913],
      [-1.677478167, 24.17820396, 38.9565794],
    ],
  ];
  it.each(rows)('%s: Z-X-Y read as Y-X-Z, X-Y-Z and Z-Y-X', (_, [a, b, c], yxz, xyz, zyx) => {
    const m = posture('ZXY', a!, b!, c!);
    expect(worstDifference(angles(m, 'YXZ'), yxz)).toBeLessThan(PRINTED);
    expect(worstDifference(angles(m, 'XYZ'), xyz)).toBeLessThan(PRINTED);
    expect(worstDifference(angles(m, 'ZYX'), zyx)).toBeLessThan(PRINTED);
  });

  it.each([
    ['A15', [-90, 0, -35], [0, 35, -90]],
    ['A16', [-95, -35, -5], [-34.53708842383395, 7.8525581179999095, -94.13286727236719]],
    ['A17', [30, 32, -35], [-45.776680485031825, 5.1141305092477145, 42.492431818296836]],
  ])('%s: turn first read as Z-X-Y, where side bend and bend trade places', (_, turnFirst, expected) => {
    const m = posture('YXZ', turnFirst[0]!, turnFirst[1]!, turnFirst[2]!);
    expect(worstDifference(angles(m, 'ZXY'), expected)).toBeLessThan(PRINTED);
  });

  it.each([
    ['A18', 30, 20, [-17.49524076, -9.84655194, 28.48123828]],
    ['A19', 20, 10, [-9.408043487, -3.404867321, 19.71974641]],
    ['A20', 45, 20, [-14.43275504, -13.99544536, 43.21917889]],
  ])(
    '%s: level hips read as oblique in the conventional order, asin(sin rot · sin tilt) (Baker 2001)',
    (_, rot, tilt, expected) => {
      const m = posture('YXZ', rot, 0, -tilt);
      expect(worstDifference(angles(m, 'ZXY'), expected)).toBeLessThan(PRINTED);
      expect(Math.abs(angles(m, 'YXZ')[1]!)).toBeLessThan(PRINTED);
      const oblique = Math.asin(Math.sin(rot * DEG) * Math.sin(tilt * DEG)) / DEG;
      expect(Math.abs(angles(m, 'ZXY')[1]!)).toBeCloseTo(oblique, 8);
    },
  );

  it('gives five different numbers for the turn between pelvis and thorax (A21; methods of Joyce 2010, Brown 2013, Kwon 2013)', () => {
    const pelvis = posture('ZXY', -20, -8, -45);
    const thorax = posture('ZXY', -30, -30, -90);
    expect(angles(thorax, 'ZXY')[2]! - angles(pelvis, 'ZXY')[2]!).toBeCloseTo(-45, 8);
    expect(angles(thorax, 'YXZ')[0]! - angles(pelvis, 'YXZ')[0]!).toBeCloseTo(-47.98558453, 7);
    const joint = new Float64Array(9);
    mulT3(pelvis, 0, thorax, 0, joint, 0);
    expect(worstDifference(angles(joint, 'ZXY'), [9.91816599, -21.8710541, -39.75493458])).toBeLessThan(PRINTED);
    expect(worstDifference(angles(joint, 'YXZ'), [-43.59424528, -9.901695147, 21.87822143])).toBeLessThan(PRINTED);
    expect(rotationAngle(joint, 0) / DEG).toBeCloseTo(47.78332264, 7);
  });
});

describe('other descriptions of a rotation', () => {
  it('turns Z-X-Y (-35, 15, 30) into its quaternion and rotation vector (A22, standard formula)', () => {
    const m = posture('ZXY', -35, 15, 30);
    const q = new Float64Array(4);
    quaternionFromRotation(m, 0, q);
    expect(worstDifference(q, [0.9234973134, 0.1974058723, 0.2068157869, -0.2557554769])).toBeLessThan(1e-10);
    const v = new Float64Array(3);
    logRotation(m, 0, v);
    expect(worstDifference(deg(v), [23.21615522, 24.32281954, -30.07843069])).toBeLessThan(PRINTED);
  });

  it('measures the angular velocity that Cardan rates make (A23, closed form)', () => {
    // Angles (-35, 15, 30) degrees with rates (0.5, -1, 6) rad/s, sampled so finely that third differences vanish.
    const rate = 20_000;
    const ms = new Float64Array(27);
    for (let f = 0; f < 3; f++) {
      const t = (f - 1) / rate;
      rotationFromAngles(-35 * DEG + 0.5 * t, 15 * DEG - t, 30 * DEG + 6 * t, 'ZXY', ms, 9 * f);
    }
    const w = new Float64Array(9);
    angularVelocity(ms, 3, rate, w);
    const lab = [w[1]!, w[4]!, w[7]!];
    // Truncation 6 rad/s cubed / (6 · 20000²) = 1e-7.
    expect(worstDifference(lab, [2.505041715, 5.321017128, 2.052914271])).toBeLessThan(2e-7);
    const body = [0, 0, 0];
    applyT3(ms, 9, lab, body);
    expect(worstDifference(body, [-1.10750686, 6.129409523, -0.08174184813])).toBeLessThan(2e-7);
    expect(norm(lab)).toBeCloseTo(6.229198526, 6);
  });

  it('measures it of fourth order from frames a hundred times as far apart (A23, closed form)', () => {
    // Errors of both differences go with 6³ h² / 6; what their extrapolation leaves with 6⁵ h⁴ / 30, 1e-8 at 400 Hz, by geometry of order 1.
    const rate = 400;
    const ms = new Float64Array(45);
    for (let f = 0; f < 5; f++) {
      const t = (f - 2) / rate;
      rotationFromAngles(-35 * DEG + 0.5 * t, 15 * DEG - t, 30 * DEG + 6 * t, 'ZXY', ms, 9 * f);
    }
    const w = new Float64Array(3);
    fineAngularVelocity(ms, 5, rate, 2, 3, w);
    expect(worstDifference(w, [2.505041715, 5.321017128, 2.052914271])).toBeLessThan(1e-8);
    const plain = new Float64Array(15);
    angularVelocity(ms, 5, rate, plain);
    expect(worstDifference([plain[2]!, plain[7]!, plain[12]!], w)).toBeGreaterThan(1e-6);
  });

  it('agrees with the joint coordinate system of Grood & Suntay 1983 (A24)', () => {
    const m = posture('ZXY', 25, -8, 12);
    const e1 = [0, 0, 1];
    const e3 = [m[1]!, m[4]!, m[7]!];
    const e2 = [0, 0, 0];
    cross(e3, e1, e2);
    normalize(e2, e2);
    expect(worstDifference(e2, [0.906307787, 0.4226182617, 0])).toBeLessThan(1e-9);
    const alpha = Math.atan2(e2[1]!, e2[0]!);
    const beta = Math.PI / 2 - Math.acos(dot(e1, e3));
    const gamma = Math.atan2(dot(e2, [m[2]!, m[5]!, m[8]!]), dot(e2, [m[0]!, m[3]!, m[6]!]));
    expect(worstDifference(deg([alpha, beta, gamma]), [25, -8, 12])).toBeLessThan(1e-9);
    expect(worstDifference(angles(m, 'ZXY'), [25, -8, 12])).toBeLessThan(1e-9);
  });

  it('means three postures as Markley et al. 2007 (A25, recomputed)', () => {
    const ms = new Float64Array(27);
    [posture('ZXY', -35, 15, 30), posture('ZXY', -30, 12, 35), posture('ZXY', -33, 18, 28)].forEach((m, i) => {
      ms.set(m, 9 * i);
    });
    const expected = [-32.724636568143104, 14.961727960281486, 30.987612167696938];
    expect(worstDifference(angles(meanRotation(ms, 3), 'ZXY'), expected)).toBeLessThan(PRINTED);
  });

  it('carries a constant body rate (1, 2, 3) rad/s on for a second without error (A26, closed form)', () => {
    const step = new Float64Array(9);
    expRotation([0.01, 0.02, 0.03], step, 0);
    let m = posture('XYZ', 0, 0, 0);
    for (let i = 0; i < 100; i++) {
      const next = new Float64Array(9);
      mul3(m, 0, step, 0, next, 0);
      m = next;
    }
    const q = new Float64Array(4);
    quaternionFromRotation(m, 0, q);
    // q and −q are one rotation; ours has w ≥ 0.
    expect(worstDifference(q, [0.29555112749, -0.25532186005, -0.51064372009, -0.76596558014])).toBeLessThan(1e-9);
  });
});

describe('rigid pose (Söderkvist & Wedin 1993; Challis 1995)', () => {
  it('finds the quarter turn of a square (A27, published example)', () => {
    const fit = fitPose(
      Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0),
      Float64Array.of(0, 0, 0, 0, 1, 0, -1, 0, 0, -1, 1, 0),
      4,
    );
    expect(worstDifference(fit.R, [0, -1, 0, 1, 0, 0, 0, 0, 1])).toBeLessThan(1e-12);
    expect(worstDifference(fit.L, [0, 0, 0])).toBeLessThan(1e-12);
    expect(fit.rmsPerMarker).toBeLessThan(1e-12);
  });

  const model = Float64Array.of(0, 0, 0, 100, 0, 0, 0, 80, 0, 30, 40, 60);
  const noise = [1, -1, 0.5, -0.5, 1, -1, 0.5, 0.5, 1, -1, -0.5, -0.5];

  it('finds pose and both residuals of a noisy cluster (A28, recomputed)', () => {
    const R = posture('ZXY', 20, -10, 35);
    const measured = new Float64Array(12);
    for (let k = 0; k < 4; k++) {
      const p = [0, 0, 0];
      apply3(R, 0, model.subarray(3 * k, 3 * k + 3), p);
      for (let c = 0; c < 3; c++) measured[3 * k + c] = p[c]! + [10, -20, 30][c]! + noise[3 * k + c]!;
    }
    const fit = fitPose(model, measured, 4);
    expect(worstDifference(angles(fit.R, 'ZXY'), [20.50541275, -9.284914029, 35.46735028])).toBeLessThan(PRINTED);
    expect(worstDifference(fit.L, [10.42570105, -20.27468915, 29.92751266])).toBeLessThan(PRINTED);
    expect(fit.rmsPerCoordinate).toBeCloseTo(0.6142363979, 8);
    expect(fit.rmsPerMarker).toBeCloseTo(1.063888649, 8);
  });

  it('refuses markers on one line and says how flat they are (A29)', () => {
    const line = Float64Array.of(0, 0, 0, 100, 0, 0, 200, 0, 0, 300, 0, 0);
    const fit = fitPose(line, line, 4);
    expect(fit.status).toBe('near-line');
    expect(worstDifference(fit.modelSingularValues, [223.6067977, 0, 0])).toBeLessThan(1e-6);
    expect(fit.R.every(Number.isNaN)).toBe(true);
  });

  it('keeps the distances between markers', () => {
    const fit = fitPose(
      model,
      model.map((v, i) => v + noise[i]!),
      4,
    );
    const a = [0, 0, 0];
    const b = [0, 0, 0];
    apply3(fit.R, 0, model.subarray(3, 6), a);
    apply3(fit.R, 0, model.subarray(6, 9), b);
    expect(distance(a, b)).toBeCloseTo(distance(model.subarray(3, 6), model.subarray(6, 9)), 10);
  });
});
