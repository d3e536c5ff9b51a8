import { describe, expect, test } from 'vitest';
import {
  anovaOf,
  columnsTest,
  errorOfMeasurement,
  intraclass,
  intraclassInterval,
  pairAgreement,
  rowsTest,
  swingsFor,
} from '../../src/compare/agreement.ts';
import { minimalDetectableChange } from '../../src/compare/effectSize.ts';

/** Check values D01–D10, D30, D42 and D43; the sources stand with each, the tolerances are those of the check values. */
const close = (actual: number, expected: number, tolerance: number): void =>
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(tolerance);

describe('six targets by four judges (Shrout & Fleiss 1979, Psychol Bull 86:420-428; data and results in open code)', () => {
  const anova = anovaOf([
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
  ]);

  test('D01: the mean squares', () => {
    const expected = [11.241666666666667, 6.263888888888889, 32.486111111111114, 1.0194444444444444];
    [anova.between, anova.within, anova.columns, anova.error].forEach((value, i) => {
      close(value, expected[i]!, 1e-9);
    });
  });

  test('D02: the six intraclass correlations', () => {
    const { single, mean } = intraclass(anova);
    const expected = [
      0.16574176840547, 0.28976377952756, 0.71484071484072, 0.44279713367927, 0.6200505475989, 0.90931554237707,
    ];
    [...single, ...mean].forEach((value, i) => {
      close(value, expected[i]!, 1e-9);
    });
  });

  test('D03: the intervals of case 1 and case 3', () => {
    const [low1, high1] = intraclassInterval(anova, 1);
    const [low3, high3] = intraclassInterval(anova, 3);
    close(low1, -0.13293232, 1e-7);
    close(high1, 0.72256006, 1e-7);
    close(low3, 0.34246477, 1e-7);
    close(high3, 0.94585826, 1e-7);
  });

  test('D04: F and p of case 3', () => {
    const { f, p } = rowsTest(anova);
    close(f, 11.02724796, 1e-8);
    close(p, 0.0001345665, 1e-8);
  });

  test('D05: the errors of measurement for consistency and agreement, and the change that is detectable (Weir 2005, from memory)', () => {
    const consistency = Math.sqrt(anova.error);
    close(consistency, 1.009675415, 1e-9);
    close(Math.sqrt(anova.error + (anova.columns - anova.error) / anova.n), 2.502776236, 1e-9);
    close(minimalDetectableChange(consistency), 2.798677465, 1e-9);
  });

  test('D43: by Spearman and Brown four judges are needed for 0.90', () => {
    close(swingsFor(0.9, intraclass(anova).single[2]), 3.5902173913, 1e-8);
  });
});

test('D42: from an SD of 4 and a reliability of 0.90: error of measurement, detectable change, and that of a mean of ten (Weir 2005, from memory)', () => {
  const error = errorOfMeasurement(4, 0.9);
  close(error, 1.2649110641, 1e-9);
  close(minimalDetectableChange(error), 3.5061545887, 1e-9);
  close(minimalDetectableChange(error / Math.sqrt(10)), 1.1087434329, 1e-9);
});

describe('two flow meters, seventeen subjects, two readings each (Bland & Altman 1986, Lancet 327:307-310; data in open code)', () => {
  const W1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
  const W2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
  const M1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];
  const M2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443];
  const less = (a: readonly number[], b: readonly number[]): number[] => a.map((x, i) => x - b[i]!);
  const methods = pairAgreement(less(W1, M1));
  const large = pairAgreement(less(W1, W2));
  const mini = pairAgreement(less(M1, M2));

  test('D06: bias and SD', () => {
    close(methods.bias, -2.117647059, 1e-9);
    close(methods.sd, 38.76512987360738, 1e-9);
  });

  test('D07: limits of agreement, with 1.96 SD and with the paper’s 2', () => {
    close(methods.limits[0], -78.0973016111, 1e-8);
    close(methods.limits[1], 73.8620074934, 1e-8);
    close(methods.bias - 2 * methods.sd, -79.64790681, 1e-8);
    close(methods.bias + 2 * methods.sd, 75.41261269, 1e-8);
  });

  test('D08: standard errors of bias and limits, interval of the bias', () => {
    close(methods.biasSe, 9.4019250035, 1e-8);
    close(methods.limitSe, 16.284611795, 1e-8);
    close(methods.biasInterval[0], -22.0488376976, 1e-8);
    close(methods.biasInterval[1], 17.813543579, 1e-8);
  });

  test('D09: coefficients of repeatability of both meters', () => {
    close(large.repeatability, 43.2937979528, 1e-8);
    close(mini.repeatability, 56.3163334368, 1e-8);
  });

  test('D10: within-subject SD and typical error of both (Hopkins 2000, Sports Med 30:1-15)', () => {
    close(large.withinSd, 15.3066690579, 1e-8);
    close(mini.withinSd, 19.9108306324, 1e-8);
    close(large.typicalError, 15.3612145277, 1e-8);
    close(mini.typicalError, 20.4158063044, 1e-8);
  });
});

test('D30: repeated measures with the Greenhouse–Geisser correction (data of a published example in open code)', () => {
  const { f, p, epsilon, pCorrected } = columnsTest([
    [76, 64, 34, 26],
    [60, 48, 46, 30],
    [58, 34, 32, 28],
    [46, 46, 32, 28],
    [30, 18, 36, 28],
  ]);
  close(f, 5.3571428571, 1e-8);
  close(p, 0.0142330423, 1e-8);
  close(epsilon, 0.4459613197, 1e-8);
  close(pCorrected, 0.05999477, 1e-8);
});
