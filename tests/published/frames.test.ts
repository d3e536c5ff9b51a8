/** Segment frames against published data and formulas. Lengths in the unit of the source (cm or mm). */

import { describe, expect, it } from 'vitest';
import { anglesFromRotation } from '../../src/numeric/eulerAngles.ts';
import { applyT3, mulT3 } from '../../src/numeric/rotation.ts';
import { forearmFrame, frameFromTop } from '../../src/stages/shared/limbFrames.ts';
import { frameFromYZ, pelvisFrame, thoraxFrame } from '../../src/stages/shared/segmentFrames.ts';

type Point = readonly [number, number, number];

function minus(a: Point, b: Point): Point {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function mid(a: Point, b: Point): Point {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
}

function frameOf(y: Point, z: Point): Float64Array {
  const R = new Float64Array(9);
  frameFromYZ(...y, ...z, R, 0);
  return R;
}

function degrees(R: Float64Array, order: 'ZXY' | 'YXZ'): number[] {
  const angles = new Float64Array(3);
  anglesFromRotation(R, 0, order, angles);
  return Array.from(angles, (angle) => (angle * 180) / Math.PI);
}

function expectAll(found: ArrayLike<number>, expected: readonly number[], tolerance: number): void {
  expect(found.length).toBe(expected.length);
  expected.forEach((value, i) => {
    expect(Math.abs(found[i]! - value), `element ${i}: ${found[i]} against ${value}`).toBeLessThanOrEqual(tolerance);
  });
}

describe('shank of Winter 2009, p. 183 (cm; printed to four decimals, recomputed to ten)', () => {
  const mm: Point = [2.71, 10.22, 26.52];
  const lm: Point = [2.92, 10.1, 18.85];
  const fh: Point = [5.05, 41.9, 15.41];
  const mc: Point = [8.29, 41.88, 26.52];
  const ankle = mid(mm, lm);
  const R = frameOf(minus(mid(fh, mc), ankle), minus(mm, lm));

  it('has the printed rotation matrix (A02)', () => {
    expectAll(
      R,
      [
        0.9924690324813974, 0.12043274757753122, -0.02238689072572462, -0.119004972452167, 0.9912661687769302,
        0.05682604306095594, 0.02903508390030686, -0.05373393666234864, 0.9981330712653844,
      ],
      1e-14,
    );
  });

  it('has the printed places of both condyles in the shank frame (A03)', () => {
    const local = (p: Point): Float64Array => {
      const out = new Float64Array(3);
      applyT3(R, 0, minus(p, ankle), out);
      return out;
    };
    expectAll(local(fh), [-1.770279773, 32.12286978, -5.507794187], 1e-8); // eight decimals are given
    expectAll(local(mc), [1.770279773, 31.89626252, 5.507794187], 1e-8);
  });

  it('has these angles in two orders (A04, recomputed)', () => {
    expectAll(degrees(R, 'ZXY'), [-6.927134974, -3.080211269, -1.666229497], 1e-8);
    expectAll(degrees(R, 'YXZ'), [-1.284858075, -3.257647306, -6.845795173], 1e-8);
  });
});

describe('pelvis of ISB 2002 (Wu 2002, J Biomech 35:543-548; mm)', () => {
  // lead ASIS (left of a right-hander), trail ASIS, lead PSIS, trail PSIS
  const p = Float64Array.of(0, 0, -125, 0, 0, 125, -150, 20, -45, -150, 20, 45);
  const R = new Float64Array(9);
  pelvisFrame(p, R, 0);
  const depth = Math.hypot(150, 20);

  it('has these axes, width and depth (B01): PSIS 20 mm higher over 150 mm tilt it forward by 7.6°', () => {
    expectAll(R, [0.9912279007, 0.1321637201, 0, -0.1321637201, 0.9912279007, 0, 0, 0, 1], 1e-9);
    expect(depth).toBeCloseTo(151.3274595, 7);
    expect(-degrees(R, 'YXZ')[2]!).toBeCloseTo(7.5946, 3);
  });
});

describe('thorax of ISB 2005 (Wu 2005, J Biomech 38:981-992; mm)', () => {
  const ij: Point = [0, 0, 0];
  const c7: Point = [-125, 50, -3];
  const t8: Point = [-190, -140, 4];
  const R = new Float64Array(9);
  thoraxFrame(Float64Array.of(...ij, 20, -170, 2, ...c7, ...t8), R, 0);

  it('has these axes and angles (B13)', () => {
    expectAll(
      R,
      [
        0.9921931396, 0.1239965877, -0.01332741136, -0.1236110041, 0.9919727013, 0.02665482271, 0.0165255353,
        -0.02479931753, 0.9995558516,
      ],
      1e-9,
    );
    expectAll(degrees(R, 'ZXY'), [-7.125016349, -1.421041913, -0.9471778599], 1e-8);
    expectAll(degrees(R, 'YXZ'), [-0.7638984609, -1.527389745, -7.103086844], 1e-8);
  });
});

it('humerus (first option) and forearm of ISB 2005 and the elbow between them (B16; mm)', () => {
  const gh: Point = [0, 1400, 200];
  const el: Point = [20, 1110, 245];
  const em: Point = [5, 1105, 180];
  const us: Point = [120, 900, 190];
  const rs: Point = [135, 905, 225];
  const elbow = mid(el, em);
  const humerus = frameOf(minus(gh, elbow), minus(el, em));
  const forearm = frameOf(minus(elbow, us), minus(rs, us));
  expectAll(
    humerus,
    [
      0.9733552343, -0.04265720957, 0.2252996901, 0.03189237334, 0.9981787039, 0.05120694854, -0.2270736982,
      -0.04265720957, 0.9729429059,
    ],
    1e-9,
  );
  expectAll(
    forearm,
    [
      0.7931968749, -0.4578874963, 0.4014694986, 0.454840166, 0.8838293534, 0.1093896589, -0.4049186844, 0.09583691784,
      0.9093163059,
    ],
    1e-9,
  );
  const ours = new Float64Array(18);
  frameFromTop(Float64Array.of(...gh, ...em, ...el), ours, 0);
  forearmFrame(1, 2)(Float64Array.of(...us, ...rs, ...el, ...em), ours, 9);
  expectAll(ours.subarray(0, 9), Array.from(humerus), 1e-15);
  expectAll(ours.subarray(9), Array.from(forearm), 1e-15);
  const R_humerus_forearm = new Float64Array(9);
  mulT3(humerus, 0, forearm, 0, R_humerus_forearm, 0);
  expectAll(degrees(R_humerus_forearm, 'ZXY'), [26.07430403, 2.025262731, 11.07447357], 1e-8);
});
