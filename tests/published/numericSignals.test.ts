import { describe, expect, it } from 'vitest';
import {
  butterworthLowPass,
  DUAL_PASS,
  type FilterDesign,
  filterForwardInto,
  filterGain,
  filtfiltInto,
  zeroLag,
} from '../../src/numeric/butterworth.ts';
import { differentiate } from '../../src/numeric/derivative.ts';
import { gapFillCubic } from '../../src/numeric/interpolate.ts';
import { fitPlane } from '../../src/numeric/leastSquares.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { DEG, worstDifference } from '../support/numericOracles.ts';

// Tolerances follow the number of printed digits.
const C = DUAL_PASS.butterworth;

describe('low-pass designs', () => {
  it('corrects two passes by 0.802 (C01: Winter 2009) and 2.299 (C02: Robertson & Dowling 2003)', () => {
    expect(C).toBeCloseTo(0.8022432629231502, 12);
    expect(1 / C).toBeCloseTo(1.246504702770927, 12);
    expect(1 / DUAL_PASS['critically-damped']).toBeCloseTo(2.2989592227534716, 12);
  });

  const rows: [string, FilterDesign, number[], number[]][] = [
    // C03: published example (order 2, Wn = 0.1).
    [
      'C03',
      butterworthLowPass(0.1, 2),
      [0.0200833655642, 0.0401667311284, 0.0200833655642],
      [1, -1.5610180758, 0.641351538058],
    ],
    // C04: Winter's text prints 0.0976, 0.9428, -0.3333 for fc/fs = 1/8 (from memory); value recomputed.
    [
      'C04',
      butterworthLowPass(12.5, 100),
      [0.0976310729378, 0.195262145876, 0.0976310729378],
      [1, -0.942809041582, 0.333333333333],
    ],
    // C05, C07–C10: standard formula, recomputed. C06: published example with fc / C before the tangent.
    [
      'C05',
      butterworthLowPass(6, 60),
      [0.0674552738891, 0.134910547778, 0.0674552738891],
      [1, -1.14298050254, 0.412801598096],
    ],
    [
      'C06',
      butterworthLowPass(10 / C, 100),
      [0.0971852247167, 0.194370449433, 0.0971852247167],
      [1, -0.945570293236, 0.334311192102],
    ],
    [
      'C07',
      butterworthLowPass(10 / C, 250),
      [0.019981814817, 0.039963629634, 0.019981814817],
      [1, -1.56222055011, 0.642147809382],
    ],
    [
      'C08',
      butterworthLowPass(12 / C, 250),
      [0.0277212631549, 0.0554425263097, 0.0277212631549],
      [1, -1.4769077848, 0.587792837424],
    ],
    [
      'C09',
      butterworthLowPass(20 / C, 250),
      [0.0671386640141, 0.134277328028, 0.0671386640141],
      [1, -1.14525136006, 0.413806016115],
    ],
    [
      'C10',
      butterworthLowPass(15 / C, 500),
      [0.011796353525, 0.02359270705, 0.011796353525],
      [1, -1.67011623468, 0.717301648783],
    ],
  ];
  it.each(rows)('%s: second-order Butterworth coefficients', (_, design, b, a) => {
    expect(worstDifference(design.b, b)).toBeLessThan(1e-10);
    expect(worstDifference(design.a, a)).toBeLessThan(1e-10);
  });

  it('designs the critically damped filter of the published example (C11)', () => {
    const d = butterworthLowPass(10 / DUAL_PASS['critically-damped'], 100, 'critically-damped');
    expect(worstDifference(d.b, [0.21937845, 0.4387569, 0.21937845])).toBeLessThan(1e-8);
    expect(worstDifference(d.a, [1, -0.12648588, 0.00399967])).toBeLessThan(1e-8);
  });

  it('designs the first-order filter of the published example (C12)', () => {
    const d = butterworthLowPass(0.1, 2, 'first-order');
    expect(worstDifference(d.b, [0.13672874, 0.13672874, 0])).toBeLessThan(1e-8);
    expect(worstDifference(d.a, [1, -0.72654253, 0])).toBeLessThan(1e-8);
  });

  // C13, C14: Winter 2009 and Robertson & Dowling 2003 (formula from memory), gains recomputed.
  it.each([
    ['C13', 10, 100, 0.0944467438849, 0.962641308844, -0.340428284384, 0.7228769706],
    ['C14', 10, 250, 0.019877343437, 1.56346034319, -0.642969716938, 0.709538569],
  ])(
    '%s: corrected after the tangent, two passes have gain 1/√2 at the cutoff; before it, more',
    (_, fc, fs, a0, b1, b2, other) => {
      const d = zeroLag(fc, fs);
      expect(worstDifference([d.b[0], -d.a[1], -d.a[2]], [a0, b1, b2])).toBeLessThan(1e-10);
      const gain = filterGain(d, fc, fs);
      expect(gain * gain).toBeCloseTo(Math.SQRT1_2, 10);
      const before = filterGain(butterworthLowPass(fc / C, fs), fc, fs);
      expect(before * before).toBeCloseTo(other, 9);
    },
  );
});

describe('zero-lag filtering of a step (reference values of a widely used implementation)', () => {
  const step = new Float64Array(20).fill(1, 10);
  const design = butterworthLowPass(0.2, 2);

  it('gives the forward-backward response with 9 reflected samples (C15)', () => {
    const expected = [
      -0.00189138197, -0.007748384369, -0.01687219798, -0.02794613444, -0.03650588776, -0.03338016025, -0.003989772774,
      0.06981544619, 0.2029727281, 0.3928725697, 0.6071274291, 0.797027244, 0.9301844753, 1.003989629, 1.033379962,
      1.036505694, 1.027946083, 1.016872529, 1.007749426, 1.001893464,
    ];
    const out = new Float64Array(20);
    filtfiltInto(out, step, 0, 20, design, 9);
    // Ten significant digits are printed, so values near 1 are known to 5e-10.
    expect(worstDifference(out, expected)).toBeLessThan(5e-10);
  });

  it('gives the single-pass response from rest (C16)', () => {
    const out = new Float64Array(20);
    filterForwardInto(out, step, 0, 20, design);
    const expected = [
      0.06745527389, 0.2794658845, 0.5613995078, 0.7961258234, 0.9480307753, 1.024759775, 1.049752919, 1.046645742,
      1.032777089, 1.018208137,
    ];
    expect(worstDifference(out.subarray(10), expected)).toBeLessThan(1e-9);
    expect(out.subarray(0, 10).every((v) => v === 0)).toBe(true);
  });

  it('starts from the steady state (C17)', () => {
    expect(worstDifference(design.steady, [0.9325447261, -0.3453463242])).toBeLessThan(1e-10);
  });
});

describe('derivatives and gaps', () => {
  it('differentiates sin(4πt) at 0.05 s with two and five points (C25, standard formula)', () => {
    const x = Float64Array.from({ length: 11 }, (_, i) => Math.sin(4 * Math.PI * 0.01 * i));
    const out = new Float64Array(11);
    differentiate(out, x, 0, 11, 100, 2);
    expect(out[5]).toBeCloseTo(10.13967159, 7);
    differentiate(out, x, 0, 11, 100, 5);
    expect(out[5]).toBeCloseTo(10.16632304, 7);
  });

  // C26–C29: 100·sin(2πt) mm at 100 Hz, reference values of a widely used not-a-knot spline.
  it.each([
    ['C26', 5, 6.703109761e-5],
    ['C27', 10, 0.003055915609],
    ['C28', 20, 0.05107745063],
    ['C29', 40, 1.051244765],
  ])('%s: fills %i missing samples of a 1 Hz sine with the cubic-spline error', (_, missing, expected) => {
    const truth = Float64Array.from({ length: 101 }, (__, i) => 100 * Math.sin(0.02 * Math.PI * i));
    const x = truth.slice();
    const good = new Uint8Array(101).fill(1);
    const from = 50 - Math.floor(missing / 2);
    x.fill(Number.NaN, from, from + missing);
    good.fill(0, from, from + missing);
    const filled = gapFillCubic(x, 101, 1, good, [from, from + missing], createWorkspace({ poison: true }));
    expect(filled).toBe(1);
    expect(worstDifference(x, truth)).toBeCloseTo(expected, 9);
  });
});

describe('plane through points', () => {
  it('finds the plane of a 1.6 m circle tilted 60 degrees (F08; the swing-plane idea of Kwon 2012)', () => {
    const points = new Float64Array(63);
    for (let i = 0; i < 21; i++) {
      const c = 1.6 * Math.cos((2 * Math.PI * i) / 21);
      const s = 1.6 * Math.sin((2 * Math.PI * i) / 21);
      points.set([c, s * Math.cos(60 * DEG), s * Math.sin(60 * DEG)], 3 * i);
    }
    const fit = fitPlane(points, 21)!;
    const sign = fit.normal[2]! < 0 ? -1 : 1;
    expect(
      worstDifference(
        fit.normal.map((v) => sign * v),
        [0, -0.8660254038, 0.5],
      ),
    ).toBeLessThan(1e-9);
    expect(Math.acos(Math.abs(fit.normal[2]!)) / DEG).toBeCloseTo(60, 9);
    expect(fit.rms).toBeLessThan(1e-12);
  });
});
