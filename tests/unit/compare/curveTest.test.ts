import { describe, expect, test } from 'vitest';
import { CurveTester, stepName } from '../../../src/compare/curveDifferences.ts';
import { type CurveTest, testCurves, testPairedCurves } from '../../../src/compare/curveTest.ts';
import { flipLabellings, splitLabellings } from '../../../src/compare/labellings.ts';
import { scoreOf, squareOfScore } from '../../../src/compare/maxStatistic.ts';
import { summarise, welch } from '../../../src/compare/twoSamples.ts';
import { CURVE_STEPS } from '../../../src/model/swingRecord.ts';
import { normalQuantile, tSurvival } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { smoothness } from '../../../src/numeric/randomField.ts';
import { slowLargestT, subsetsOf } from '../../support/slowStatistics.ts';
import { smoothCurve } from '../../support/smoothCurves.ts';

const OPTIONS = { seed: 1, resamples: 500 };

function test2(curves: readonly Float64Array[], nGroup: number): CurveTest {
  return testCurves(curves, nGroup, splitLabellings(nGroup, curves.length - nGroup, 1, 500))!;
}

describe('the largest t over a curve', () => {
  test('tables of sums give what visiting every split gives, for sizes even and uneven and with steps that curves lack', () => {
    const random = createRandom(4);
    for (const [n1, n2, gaps] of [
      [5, 5, 0],
      [4, 7, 0],
      [7, 4, 3],
      [9, 3, 2],
      [2, 6, 1],
    ] as const) {
      const curves = Array.from({ length: n1 + n2 }, () => smoothCurve(random, 12, 4));
      // the end of a curve is missing, as after a position that was not found
      for (let i = 0; i < gaps; i++) curves[random.int(n1 + n2)]!.fill(Number.NaN, 8 + i);
      const result = test2(curves, n1);
      const slow = slowLargestT(
        curves.map((curve) => [...curve]),
        n1,
      );
      expect(result.exact).toBe(true);
      // the same sums in another order: ten digits
      expect(result.largest / slow[0]!.t).toBeCloseTo(1, 10);
      expect(result.df / slow[0]!.df).toBeCloseTo(1, 10);
      const scores = slow.map(({ t, df }) => scoreOf(t * t, df));
      expect(result.p).toBe(scores.filter((score) => score >= scores[0]! * (1 - 1e-9)).length / scores.length);
      scores.sort((x, y) => x - y);
      // of mirrored splits one is counted: 5 + 5 have 126 of 252
      const counted = result.labellings;
      const kept = scores.filter((_, i) => i % (scores.length / counted) === 0);
      const critical = kept[counted - 1 - Math.floor(0.05 * counted)]!;
      expect(scoreOf(result.threshold * result.threshold, result.df) / critical).toBeCloseTo(1, 10);
    }
  });

  test('where curves may be exchanged the p is exact, whatever they lack: of all divisions no more than a share q has p ≤ q', () => {
    const random = createRandom(14);
    for (const gaps of [0, 4]) {
      const curves = Array.from({ length: 9 }, (_, i) => smoothCurve(random, 10, 4).map((x) => (i < 3 ? 3 * x : x)));
      for (let i = 0; i < gaps; i++) curves[i]!.fill(Number.NaN, 5 + i);
      const splits = subsetsOf(9, 4);
      const p = splits.map((split) => {
        const rest = curves.filter((_, i) => !split.includes(i));
        return test2([...split.map((i) => curves[i]!), ...rest], 4).p;
      });
      // without ties each rank occurs once
      expect(p.map((value) => Math.round(126 * value)).sort((x, y) => x - y)).toEqual(splits.map((_, i) => i + 1));
    }
  });

  test('a score is about the square of the normal deviate as rare as t', () => {
    // Wallace 1959 is an approximation: within 2 % at 4 degrees of freedom and above, for t that occur
    for (const df of [4, 8, 14, 30]) {
      for (const t of [1, 2, 4, 8]) {
        const deviate = -normalQuantile(tSurvival(t, df));
        expect(Math.abs(Math.sqrt(scoreOf(t * t, df)) / deviate - 1)).toBeLessThan(0.02);
        expect(squareOfScore(scoreOf(t * t, df), df)).toBeCloseTo(t * t, 9);
      }
    }
  });

  test('one step: t and degrees of freedom are those of the verdict, with a side that does not scatter too', () => {
    const sides = [
      [3, 5.5, 9, 4, 7.25],
      [2, 2.5, 1.5, 2.25, 2, 1.75, 2.5],
    ] as const;
    for (const [a, b] of [sides, [sides[0], [2, 2, 2, 2, 2, 2]]] as const) {
      const { t, df } = test2(
        [...a, ...b].map((x) => Float64Array.of(x)),
        5,
      );
      const of = welch(summarise(Float64Array.from(a)), summarise(Float64Array.from(b)));
      expect(t[0]! / (of.difference / of.se)).toBeCloseTo(1, 12);
      expect(df / of.df).toBeCloseTo(1, 12);
    }
  });

  test('two levels without any scatter are as far apart as can be, and no number is lost to a division by 0', () => {
    const levels = Array.from({ length: 11 }, (_, i) => new Float64Array(20).fill(i < 5 ? 2 / 3 : 0.1));
    const result = test2(levels, 5);
    // no scatter but the rounding of the means
    expect(result.largest).toBeGreaterThan(1e12);
    expect(result.p).toBe(1 / 462);
    expect(result.stretches).toEqual([{ from: 0, to: 19, sign: 1 }]);
    expect(Number.isFinite(result.threshold)).toBe(true);
  });

  test('two of ten thousand labellings at most are beyond every difference: curves far apart differ everywhere', () => {
    const random = createRandom(5);
    const curves = Array.from({ length: 16 }, (_, i) =>
      smoothCurve(random, 81, 20).map((value) => value + (i < 8 ? 9 : 0)),
    );
    const result = test2(curves, 8);
    expect(result.p).toBe(1 / 6435);
    expect(result.stretches).toEqual([{ from: 0, to: 80, sign: 1 }]);
  });

  test('a bump of one group is found where it is, and nowhere else; swapping the groups flips the sign and nothing else', () => {
    const random = createRandom(6);
    const bump = (step: number): number => -4 * Math.exp(-((step - 50) * (step - 50)) / 32);
    const group = Array.from({ length: 7 }, () => smoothCurve(random, 81, 25).map((value, step) => value + bump(step)));
    const reference = Array.from({ length: 9 }, () => smoothCurve(random, 81, 25));
    const one = test2([...group, ...reference], 7);
    const other = test2([...reference, ...group], 9);
    expect(one.stretches).toHaveLength(1);
    const [{ from, to, sign }] = one.stretches as [CurveTest['stretches'][number]];
    expect(sign).toBe(-1);
    // half of the bump's height lies within 4.7 steps of its middle
    expect(from).toBeGreaterThan(38);
    expect(from).toBeLessThan(50);
    expect(to).toBeGreaterThan(50);
    expect(to).toBeLessThan(62);
    expect(other.p).toBe(one.p);
    expect(other.stretches).toEqual([{ from, to, sign: 1 }]);
    // opposite t, up to the rounding of sums in another order
    for (const [step, t] of one.t.entries()) expect(other.t[step]! + t).toBeCloseTo(0, 10);
  });

  test('a step that is zero by definition is not tested, and its rounding names no stretch', () => {
    const random = createRandom(7);
    const curves = Array.from({ length: 12 }, (_, i) => {
      const curve = smoothCurve(random, 30, 8);
      curve[0] = i < 6 ? 1e-16 : 0;
      return curve;
    });
    const result = test2(curves, 6);
    expect(result.t[0]).toBeNaN();
    expect(result.largest).toBeLessThan(20);
    expect(
      test2(
        curves.map(() => new Float64Array(5)),
        6,
      ),
    ).toBeNull();
  });

  test('pairs: every change of sign counts once, also with a step that a pair lacks', () => {
    const random = createRandom(8);
    const differences = Array.from({ length: 7 }, () => smoothCurve(random, 9, 4).map((value) => value + 0.8));
    differences[2]!.fill(Number.NaN, 7);
    const result = testPairedCurves(differences, flipLabellings(7, 1, 100))!;
    const tOf = (x: readonly number[]): number => {
      const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
      const squares = x.reduce((sum, value) => sum + (value - mean) * (value - mean), 0);
      return Math.abs(mean) / Math.sqrt(squares / (x.length - 1) / x.length);
    };
    const largest = Array.from({ length: 128 }, (_, signs) =>
      Math.max(
        ...Array.from({ length: 9 }, (_value, step) =>
          tOf(
            differences
              .map((curve, i) => ((signs >> i) & 1 ? -curve[step]! : curve[step]!))
              .filter((value) => !Number.isNaN(value)),
          ),
        ),
      ),
    );
    expect(result.largest).toBeCloseTo(largest[0]!, 10);
    expect(result.p).toBe(largest.filter((t) => t >= largest[0]! * (1 - 1e-9)).length / 128);
  });

  test('from 20,000 labellings on they are drawn: the observed one is among them, and the seed alone decides', () => {
    const labels = splitLabellings(20, 20, 3, 999);
    expect([labels.exact, labels.count]).toEqual([false, 1000]);
    expect(splitLabellings(20, 20, 3, 999).masks).toEqual(labels.masks);
    expect(splitLabellings(20, 20, 4, 999).masks).not.toEqual(labels.masks);
    const bits = (l: number): number =>
      labels.masks
        .subarray(l * labels.chunks, (l + 1) * labels.chunks)
        .reduce((sum, mask) => sum + [...mask.toString(2)].filter((bit) => bit === '1').length, 0);
    expect(Array.from({ length: 1000 }, (_, l) => bits(l)).every((n) => n === 20)).toBe(true);
    expect(flipLabellings(16, 1, 99).count).toBe(100);
    expect(flipLabellings(15, 1, 99).count).toBe(1 << 14);
    expect(() => testCurves([new Float64Array(3)], 1, labels)).toThrow(RangeError);
  });

  test('the width of smooth residuals is that of the kernel that smoothed them', () => {
    const random = createRandom(9);
    for (const fwhm of [8, 20]) {
      const rows = Array.from({ length: 40 }, () => smoothCurve(random, 400, fwhm));
      const residuals = new Float64Array(40 * 400);
      for (const [i, row] of rows.entries()) residuals.set(row, 400 * i);
      // 40 curves of 400 steps hold 800 and more widths: the estimate errs by about 2 %
      expect(Math.abs(smoothness(residuals, 400) / fwhm - 1)).toBeLessThan(0.06);
    }
  });
});

describe('stretches named by position', () => {
  const level = (value: number, random: ReturnType<typeof createRandom>): Float64Array =>
    smoothCurve(random, CURVE_STEPS, 20).map((x, step) => x + (step >= 30 && step <= 45 ? value : 0));
  const random = createRandom(10);
  const group = Array.from({ length: 6 }, () => level(12, random));
  const reference = Array.from({ length: 7 }, () => level(0, random));
  const tester = new CurveTester(OPTIONS);

  test('a step between two positions is named in words: a fraction of a position is a share of rotation, not of time', () => {
    expect([0, 30, 43, 45, 46, 47, 79, 80].map(stepName)).toEqual([
      'P1',
      'P4',
      'shortly after P5',
      'half-way P5–P6',
      'half-way P5–P6',
      'shortly before P6',
      'shortly before P9',
      'P9',
    ]);
  });

  test('a step up at the top is told from P4 on', () => {
    const { stretches, p } = tester.compare('pelvis.forward_bend', group, reference);
    expect(stretches).toEqual([{ from: 30, to: 45, sign: 1, name: 'P4 to half-way P5–P6' }]);
    expect(p).toBe(1 / 1716);
  });

  test('four of a side, curves without any step and curves that no sheet draws are not tested', () => {
    const none = { stretches: [], p: null, thresholdPermutation: null, thresholdRandomField: null };
    expect(tester.compare('pelvis.forward_bend', group.slice(0, 4), reference)).toMatchObject(none);
    const empty = group.map((curve, i) => (i < 2 ? curve.map(() => Number.NaN) : curve));
    expect(tester.compare('pelvis.forward_bend', empty, reference)).toMatchObject(none);
    expect(tester.compare('head.turn', group, reference)).toMatchObject(none);
  });
});
