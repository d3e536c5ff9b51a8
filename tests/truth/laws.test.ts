import { describe, expect, it } from 'vitest';
import { DEFAULT_FILTER } from '../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { type Conditions, NOISY, truthCase } from '../support/truthCases.ts';

const SEEDS = [1, 2, 3, 4, 5, 6];

function recordOf(seed: number, conditions: Conditions): SwingRecord {
  const one = truthCase(seed, conditions);
  return analyseTrial(one.trial, one.plan, createWorkspace());
}

/** Every number of a record, with what it is. */
function numbersOf(record: SwingRecord): Map<string, number> {
  const out = new Map<string, number>();
  for (const cell of record.cells) {
    if (cell.value !== null) out.set(`${cell.quantity}@${cell.position}`, cell.value);
    if (cell.plusMinus !== null) out.set(`± ${cell.quantity}@${cell.position}`, cell.plusMinus);
  }
  for (const [position, moment] of Object.entries(record.moments)) {
    if (moment.found) {
      out.set(`time ${position}`, moment.time_s);
      out.set(`sd ${position}`, moment.sd_s);
    }
  }
  for (const { quantity, values } of record.curves) {
    for (const [i, value] of values.entries()) out.set(`${quantity} curve ${i}`, value);
  }
  return out;
}

function expectAlike(a: SwingRecord, b: SwingRecord, tolerance: number): void {
  const one = numbersOf(a);
  const two = numbersOf(b);
  expect([...two.keys()]).toEqual([...one.keys()]);
  for (const [name, value] of one) {
    const other = two.get(name)!;
    if (Number.isNaN(value)) expect(other, name).toBeNaN();
    else expect(Math.abs(other - value), name).toBeLessThanOrEqual(tolerance * Math.max(1, Math.abs(value)));
  }
}

const CLEAN_FILTERED: Conditions = { rate_Hz: 240, noise_mm: 0, filter: DEFAULT_FILTER };

describe('a swing and its mirror image with the other hand', () => {
  it.each(SEEDS)('give the same results under lead and trail: seed %i', (seed) => {
    const right = recordOf(seed, { ...CLEAN_FILTERED, options: { hand: 'right' } });
    const left = recordOf(seed, { ...CLEAN_FILTERED, options: { hand: 'left' } });
    expectAlike(right, left, 1e-9);
  });
});

describe('a laboratory turned, moved about or mirrored', () => {
  const LABS = [
    { up: '+Y', target: '+X', mirrored: false },
    { up: '+Y', target: '-Z', mirrored: false },
    { up: '+Z', target: '-Y', mirrored: false },
    { up: '-X', target: '+Z', mirrored: false },
    { up: '+Z', target: '+X', mirrored: true },
  ] as const;

  it.each(LABS)('changes no result: up $up, target $target, mirrored $mirrored', (lab) => {
    for (const seed of SEEDS.slice(0, 3)) {
      const plain = recordOf(seed, CLEAN_FILTERED);
      const other = recordOf(seed, { ...CLEAN_FILTERED, options: { lab } });
      expectAlike(plain, other, 1e-9);
    }
  });
});

describe('memory that is used again', () => {
  it('trial A, then B, then A gives the same record, also when lent arrays start as NaN', () => {
    const ws = createWorkspace({ poison: true });
    const analysed = (seed: number): SwingRecord => {
      const one = truthCase(seed, NOISY);
      ws.reset();
      return analyseTrial(one.trial, one.plan, ws);
    };
    const first = analysed(1);
    const kept = JSON.stringify(first);
    analysed(2);
    expect(JSON.stringify(first)).toBe(kept);
    expect(JSON.stringify(analysed(1))).toBe(kept);
    expect(JSON.stringify(recordOf(1, NOISY))).toBe(kept);
  });
});
