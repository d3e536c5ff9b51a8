import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  butterworthLowPass,
  type FilterKind,
  filterColumns,
  filterGain,
  filtfiltInto,
  padLength,
  zeroLag,
} from '../../../src/numeric/butterworth.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { slowFiltfilt, worstDifference } from '../../support/numericOracles.ts';

const KINDS: readonly FilterKind[] = ['butterworth', 'first-order', 'critically-damped'];
const SEED = { seed: 5, numRuns: 100 };
const signal = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 12, maxLength: 120 });

function run(x: ArrayLike<number>, fc_Hz = 12, pad?: number): Float64Array {
  const out = new Float64Array(x.length);
  const d = zeroLag(fc_Hz, 240);
  filtfiltInto(out, Float64Array.from(x), 0, x.length, d, pad);
  return out;
}

describe('zero-lag filter', () => {
  it('is the plain two-pass filter of the oracle, for every kind, cutoff, length and padding', () => {
    const random = createRandom(3);
    for (const kind of KINDS) {
      for (const n of [2, 3, 10, 11, 57, 400]) {
        for (const cutoff of [3, 12, 50, 110]) {
          const d = zeroLag(cutoff, 240, kind);
          const x = Array.from({ length: n }, () => random.normal());
          for (const pad of [0, Math.min(9, n - 1), padLength(d, n)]) {
            const out = new Float64Array(n);
            filtfiltInto(out, Float64Array.from(x), 0, n, d, pad);
            expect(worstDifference(out, slowFiltfilt(x, d, pad))).toBeLessThan(1e-11);
          }
        }
      }
    }
  });

  it('is linear', () => {
    fc.assert(
      fc.property(signal, fc.double({ min: -3, max: 3, noNaN: true }), (x, k) => {
        const y = x.map((v, i) => Math.cos(i) - v * v);
        const sum = run(x.map((v, i) => v + k * y[i]!));
        const a = run(x);
        const b = run(y);
        expect(
          worstDifference(
            sum,
            a.map((v, i) => v + k * b[i]!),
          ),
        ).toBeLessThan(1e-12);
      }),
      SEED,
    );
  });

  it('leaves constants and straight lines alone, ends included', () => {
    const flat = run(new Float64Array(50).fill(3.25));
    expect(worstDifference(flat, new Float64Array(50).fill(3.25))).toBeLessThan(1e-13);
    const line = Float64Array.from({ length: 600 }, (_, i) => 2 - 0.01 * i);
    // The steady state is that of a constant, so a slope leaves what the padding has not let die away.
    expect(worstDifference(run(line, 12, 200), line)).toBeLessThan(1e-9);
  });

  it('treats time the same both ways once the padding outlasts the filter', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 150, maxLength: 200 }), (x) => {
        const there = run(x, 20, 149);
        const back = run([...x].reverse(), 20, 149).reverse();
        // exp(−149 · π · 20 · √2 / (0.8 · 240)) of the start is left.
        expect(worstDifference(there, back)).toBeLessThan(1e-12);
      }),
      SEED,
    );
  });

  it('keeps a slow sine and passes 1/√2 of one at the cutoff, without delay', () => {
    for (const [f, gain] of [
      [0.5, 1],
      [12, Math.SQRT1_2],
    ] as const) {
      const x = Float64Array.from({ length: 2400 }, (_, i) => Math.sin((2 * Math.PI * f * i) / 240));
      const out = run(x);
      // Away from the ends. (0.5/12)⁴ = 3e-6 is what the filter itself takes from the slow one.
      for (let i = 600; i < 1800; i++) expect(Math.abs(out[i]! - gain * x[i]!)).toBeLessThan(5e-6);
    }
  });

  it('works in place, and on one sample', () => {
    const x = Float64Array.from({ length: 40 }, (_, i) => Math.sin(i));
    const apart = run(x);
    const d = zeroLag(12, 240);
    filtfiltInto(x, x, 0, 40, d);
    expect(worstDifference(x, apart)).toBe(0);
    const one = Float64Array.of(5);
    filtfiltInto(one, one, 0, 1, d);
    expect(one[0]).toBeCloseTo(5, 14);
    filtfiltInto(one, one, 0, 0, d);
  });

  it('does not overshoot a step when critically damped', () => {
    const x = new Float64Array(200).fill(1, 100);
    const out = new Float64Array(200);
    filtfiltInto(out, x, 0, 200, zeroLag(10, 240, 'critically-damped'));
    expect(Math.max(...out)).toBeLessThan(1 + 1e-9);
    filtfiltInto(out, x, 0, 200, zeroLag(10, 240));
    expect(Math.max(...out)).toBeGreaterThan(1.03);
  });

  it('refuses a cutoff at or beyond half the rate, zero, negative and NaN', () => {
    for (const bad of [0, -1, 120, 500, Number.NaN]) {
      expect(() => zeroLag(bad, 240)).toThrow(RangeError);
      expect(() => butterworthLowPass(bad, 240)).toThrow(/half the rate/);
    }
  });

  it.each(KINDS)('%s has gain 1 at rest and 1/√2 at the cutoff after two passes', (kind) => {
    const d = zeroLag(15, 500, kind);
    expect(filterGain(d, 0, 500)).toBeCloseTo(1, 12);
    const g = filterGain(d, 15, 500);
    expect(g * g).toBeCloseTo(Math.SQRT1_2, 12);
  });

  it('pads by one cutoff period, at least 9, never beyond the run', () => {
    const d = zeroLag(12, 240);
    expect(padLength(d, 1000)).toBe(20);
    expect(padLength(d, 15)).toBe(14);
    expect(padLength(zeroLag(100, 240), 1000)).toBe(9);
    expect(padLength(d, 1)).toBe(0);
  });
});

describe('planar columns', () => {
  it.each([1, 2, 3, 6, 7])('%i columns are filtered run by run as one by one, and nothing crosses a gap', (columns) => {
    const random = createRandom(columns);
    const frames = 100;
    const data = Float64Array.from({ length: columns * frames }, () => random.normal());
    const segments = [0, 30, 31, 32, 40, 100];
    for (let c = 0; c < columns; c++) data[c * frames + 30] = Number.NaN;
    const before = data.slice();
    const d = zeroLag(12, 240);
    filterColumns(data, frames, columns, segments, d, createWorkspace({ poison: true }));
    for (let c = 0; c < columns; c++) {
      const alone = before.slice(c * frames, (c + 1) * frames);
      for (let g = 0; g < segments.length; g += 2) filtfiltInto(alone, alone, segments[g]!, segments[g + 1]!, d);
      for (let f = 0; f < frames; f++) {
        if (f === 30) expect(data[c * frames + f]).toBeNaN();
        else expect(Math.abs(data[c * frames + f]! - alone[f]!)).toBe(0);
      }
      expect(data.slice(c * frames + 32, c * frames + 40)).toEqual(before.slice(c * frames + 32, c * frames + 40));
    }
  });

  it('takes the padding it is given', () => {
    const x = Float64Array.from({ length: 30 }, (_, i) => Math.sin(i) + (i > 15 ? 1 : 0));
    const pair = new Float64Array(60);
    pair.set(x);
    pair.set(x, 30);
    const d = zeroLag(12, 240);
    filterColumns(pair, 30, 2, [0, 30], d, createWorkspace({ poison: true }), 25);
    const slow = slowFiltfilt([...x], d, 25);
    expect(worstDifference(pair.subarray(0, 30), slow)).toBeLessThan(1e-12);
    expect(worstDifference(pair.subarray(30), slow)).toBeLessThan(1e-12);
  });
});
