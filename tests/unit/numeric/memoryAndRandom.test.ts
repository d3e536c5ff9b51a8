import { describe, expect, it } from 'vitest';
import { createRandom, seedFromText } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';

describe('workspace', () => {
  it('lends arrays that do not overlap and stay valid while it grows', () => {
    const ws = createWorkspace();
    const loans = Array.from({ length: 300 }, (_, i) => ws.float64(1 + ((i * 7919) % 5000)).fill(i));
    const big = ws.float64(2_000_000).fill(-1);
    const bytes = ws.uint8(1000).fill(3);
    loans.push(ws.float64(10).fill(300));
    expect(loans.every((loan, i) => loan.every((v) => v === i))).toBe(true);
    expect(big.every((v) => v === -1) && bytes.every((v) => v === 3)).toBe(true);
  });

  it('reuses the same memory after a reset', () => {
    const ws = createWorkspace();
    const run = (): ArrayBufferLike[] => [10, 200_000, 5, 700_000].map((n) => ws.float64(n).buffer);
    const first = new Set(run());
    for (let i = 0; i < 5; i++) {
      ws.reset();
      for (const buffer of run()) expect(first.has(buffer)).toBe(true);
    }
  });

  it('poisons every loan on request, the second time too', () => {
    const ws = createWorkspace({ poison: true });
    for (let i = 0; i < 2; i++) {
      expect(ws.float64(100).every(Number.isNaN)).toBe(true);
      expect(ws.uint8(100).every((v) => v === 255)).toBe(true);
      ws.float64(50).fill(4);
      ws.reset();
    }
  });

  it('lends nothing for 0 and refuses what is no count', () => {
    const ws = createWorkspace();
    expect(ws.float64(0).length).toBe(0);
    for (const bad of [-1, 1.5, Number.NaN]) {
      expect(() => ws.float64(bad)).toThrow(RangeError);
      expect(() => ws.uint8(bad)).toThrow(RangeError);
    }
  });
});

describe('random numbers', () => {
  it('follow the published recurrence of xoshiro128** (Blackman & Vigna 2021), coded here with big integers', () => {
    const mask = (1n << 32n) - 1n;
    let z = 12345n;
    const fill = (): bigint => {
      z = (z + 0x9e3779b9n) & mask;
      let v = z;
      v = ((v ^ (v >> 16n)) * 0x85ebca6bn) & mask;
      v = ((v ^ (v >> 13n)) * 0xc2b2ae35n) & mask;
      return v ^ (v >> 16n);
    };
    const s = [fill(), fill(), fill(), fill()];
    const rotl = (x: bigint, k: bigint): bigint => ((x << k) | (x >> (32n - k))) & mask;
    const next = (): bigint => {
      const result = (rotl((s[1]! * 5n) & mask, 7n) * 9n) & mask;
      const t = (s[1]! << 9n) & mask;
      s[2]! ^= s[0]!;
      s[3]! ^= s[1]!;
      s[1]! ^= s[2]!;
      s[0]! ^= s[3]!;
      s[2]! ^= t;
      s[3] = rotl(s[3]!, 11n);
      return result;
    };
    const random = createRandom(12345);
    for (let i = 0; i < 1000; i++) expect(random.bits()).toBe(Number(next()));
  });

  it('are the same for the same seed and differ for neighbouring seeds', () => {
    const draw = (seed: number): number[] => {
      const r = createRandom(seed);
      return [r.uniform(), r.normal(), r.int(1000), r.normal()];
    };
    expect(draw(7)).toEqual(draw(7));
    expect(new Set(Array.from({ length: 200 }, (_, i) => draw(i)[0])).size).toBe(200);
    expect(seedFromText('a/b')).not.toBe(seedFromText('b/a'));
    // FNV-1a of the bytes 61 00 (hash of 'a' is e40c292c, then one multiplication for the zero byte).
    expect(seedFromText('a')).toBe(Math.imul(0xe40c292c, 0x01000193) >>> 0);
  });

  it('have the moments of their distributions', () => {
    const r = createRandom(99);
    const n = 200_000;
    let u1 = 0;
    let u2 = 0;
    let n1 = 0;
    let n2 = 0;
    let n4 = 0;
    for (let i = 0; i < n; i++) {
      const u = r.uniform();
      expect(u >= 0 && u < 1).toBe(true);
      u1 += u;
      u2 += u * u;
      const z = r.normal();
      n1 += z;
      n2 += z * z;
      n4 += z * z * z * z;
    }
    // Five standard errors of each mean.
    const five = 5 / Math.sqrt(n);
    expect(Math.abs(u1 / n - 1 / 2)).toBeLessThan(five * 0.289);
    expect(Math.abs(u2 / n - 1 / 3)).toBeLessThan(five * 0.299);
    expect(Math.abs(n1 / n)).toBeLessThan(five);
    expect(Math.abs(n2 / n - 1)).toBeLessThan(five * 1.42);
    expect(Math.abs(n4 / n - 3)).toBeLessThan(five * 9.8);
  });

  it('draw whole numbers evenly and shuffle every order as often', () => {
    const r = createRandom(1);
    const counts = [0, 0, 0, 0, 0, 0, 0];
    for (let i = 0; i < 70_000; i++) counts[r.int(7)]! += 1;
    // Chi-squared, 6 df: 99.9 % is 22.5 (any table).
    expect(counts.reduce((sum, c) => sum + (c - 10_000) * (c - 10_000), 0) / 10_000).toBeLessThan(22.5);
    const orders = new Map<string, number>();
    for (let i = 0; i < 24_000; i++) {
      const items = ['a', 'b', 'c', 'd'];
      r.shuffleInPlace(items);
      orders.set(items.join(''), (orders.get(items.join('')) ?? 0) + 1);
    }
    expect(orders.size).toBe(24);
    // 23 df: 99.9 % is 49.7.
    expect([...orders.values()].reduce((sum, c) => sum + (c - 1000) * (c - 1000), 0) / 1000).toBeLessThan(49.7);
    expect(r.int(1)).toBe(0);
    expect(r.int(4294967296)).toBeGreaterThan(0);
    for (const bad of [0, -3, 1.5, 4294967297, Number.NaN]) expect(() => r.int(bad)).toThrow(RangeError);
  });
});
