import { describe, expect, test } from 'vitest';
import { chooseMethods } from '../../../src/compare/methods.ts';
import { resampleSwings } from '../../../src/compare/resampling.ts';
import { pairShares, thoraxShares } from '../../../src/compare/shares.ts';
import { DRIVER, IRONS, type SwingGroup, selectSwings } from '../../../src/compare/swings.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { angleNear, rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { createRandom, type Random } from '../../../src/numeric/random.ts';
import { angles, rows, slowShares } from '../../support/slowShares.ts';
import { twoGroups } from '../../support/swingRecords.ts';

const DEG = Math.PI / 180;

/** Y-X-Z written out, degrees, trade signs: turn, side bend (+ trail), forward bend (definitions 2). */
function posed(turn: number, sideBend: number, forwardBend: number): Float64Array {
  const out = new Float64Array(9);
  rotationFromAngles(turn * DEG, sideBend * DEG, -forwardBend * DEG, 'YXZ', out);
  return out;
}

function anyPose(random: Random): Float64Array {
  return posed(360 * random.uniform() - 180, 150 * random.uniform() - 75, 160 * random.uniform() - 80);
}

describe('shares of one pair', () => {
  test('on 1,000 random poses they equal the formula written out, and add up to the difference', () => {
    const random = createRandom(17);
    const pair = pairShares();
    const out = new Float64Array(6);
    let opposite = 0;
    for (let i = 0; i < 1000; i++) {
      const [pd, td, pi, ti] = [anyPose(random), anyPose(random), anyPose(random), anyPose(random)];
      pair(pd, td, pi, ti, out);
      const slow = slowShares(rows(pd), rows(td), rows(pi), rows(ti));
      const total = [0, 1, 2].map((c) => angleNear(angles(rows(td))[c]!, angles(rows(ti))[c]!) - angles(rows(ti))[c]!);
      for (let c = 0; c < 3; c++) {
        expect(Math.abs(out[2 * c]! + out[2 * c + 1]! - total[c]!)).toBeLessThan(1e-9);
        // asin of the oracle is poor near ±90°; a branch half a turn away from both sides may be taken either way.
        const off = Math.abs(out[2 * c]! - slow[2 * c]!);
        if (Math.abs(off - Math.PI) < 1e-6) opposite += 1;
        else expect(off).toBeLessThan(1e-6);
      }
    }
    expect(opposite).toBeLessThan(3);
  });

  test('a pelvis that turns alone under an unchanged trunk has the whole turn, a trunk alone has none of it in the pelvis', () => {
    const pair = pairShares();
    const out = new Float64Array(6);
    const [pelvis, thorax] = [posed(-45, 0, 0), posed(-90, 0, 0)];
    pair(posed(-35, 0, 0), posed(-80, 0, 0), pelvis, thorax, out);
    expect(out[0]! / DEG).toBeCloseTo(10, 10);
    expect(out[1]! / DEG).toBeCloseTo(0, 10);
    pair(pelvis, posed(-80, 0, 0), pelvis, thorax, out);
    expect(out[0]! / DEG).toBeCloseTo(0, 10);
    expect(out[1]! / DEG).toBeCloseTo(10, 10);
  });

  test('a turn past half a circle is followed, not wrapped', () => {
    const pair = pairShares();
    const out = new Float64Array(6);
    pair(posed(120, 0, 0), posed(-170, 0, 0), posed(110, 0, 0), posed(175, 0, 0), out);
    expect((out[0]! + out[1]!) / DEG).toBeCloseTo(15, 10);
    expect(out[0]! / DEG).toBeCloseTo(10, 10);
  });
});

function day(driver: readonly Float64Array[][], irons: readonly Float64Array[][]): [SwingGroup, SwingGroup] {
  const poses = new Map<string, readonly Float64Array[]>();
  const two = (n: number): string => String(n + 1).padStart(2, '0');
  driver.forEach((pair, i) => {
    poses.set(`wren-d${two(i)}`, pair);
  });
  irons.forEach((pair, i) => {
    poses.set(`wren-i${two(i)}`, pair);
  });
  const records: SwingRecord[] = twoGroups(
    driver.map(() => ({})),
    irons.map(() => ({})),
    (trial) => ({ poses: { P4: { pelvis: [...poses.get(trial)![0]!], thorax: [...poses.get(trial)![1]!] } } }),
  );
  return [selectSwings(records, 'wren', [], DRIVER), selectSwings(records, 'wren', [], IRONS)];
}

describe('shares of two groups', () => {
  const random = createRandom(23);
  const about = (value: number): number => value + 2 * random.normal();
  const driver = Array.from({ length: 6 }, () => [
    posed(about(-40), about(-8), about(20)),
    posed(about(-85), about(-33), about(8)),
  ]);
  const irons = Array.from({ length: 7 }, () => [
    posed(about(-45), about(-8), about(12)),
    posed(about(-92), about(-36), about(0)),
  ]);
  const [group, reference] = day(driver, irons);
  const shares = (departs: boolean): ReturnType<typeof thoraxShares> =>
    thoraxShares(group, reference, chooseMethods(group, reference), () => departs, 1, resampleSwings(6, 7, 1, 2000));

  test('the mean over all pairs adds up to the difference of the means within 1e-9', () => {
    const mean = (list: readonly Float64Array[][], c: number): number =>
      list.reduce((sum, pair) => sum + angles(rows(pair[1]!))[c]!, 0) / list.length / DEG;
    shares(false).forEach((share, c) => {
      expect(Math.abs(share.total_deg - (mean(driver, c) - mean(irons, c)))).toBeLessThan(1e-9);
      expect(Math.abs(share.pelvis_deg + share.trunk_deg - share.total_deg)).toBeLessThan(1e-9);
    });
  });

  test('percentages only where the difference departs and both shares have its sign', () => {
    for (const share of shares(false)) expect([share.pelvisPercent, share.trunkPercent]).toEqual([null, null]);
    let told = 0;
    for (const share of shares(true)) {
      const same = share.pelvis_deg * share.total_deg > 0 && share.trunk_deg * share.total_deg > 0;
      expect(share.pelvisPercent !== null).toBe(same);
      if (!same) continue;
      told += 1;
      expect(share.pelvisPercent! + share.trunkPercent!).toBeCloseTo(100, 10);
    }
    expect(told).toBeGreaterThan(0);
  });

  test('no percentages where one swing’s side bend reaches 80°', () => {
    const steep = driver.map((pair, i) => (i === 0 ? [pair[0]!, posed(-85, -81, 8)] : pair));
    const [a, b] = day(steep, irons);
    for (const share of thoraxShares(
      a,
      b,
      chooseMethods(a, b),
      () => true,
      1,
      resampleSwings(a.records.length, b.records.length, 1, 200),
    )) {
      expect(share.pelvisPercent).toBeNull();
    }
  });

  test('the bootstrap interval of the pelvis share is about ± 2 standard errors wide', () => {
    const [turn] = shares(false);
    // Pelvis and thorax turns scatter by 2° each and independently: about 2° √(1/6 + 1/7) = 1.1° for the mean of the shares at most.
    const width = turn!.pelvisHigh95_deg - turn!.pelvisLow95_deg;
    expect(width).toBeGreaterThan(1.5);
    expect(width).toBeLessThan(6);
  });
});
