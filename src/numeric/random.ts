/** Seeded random numbers, the same on every machine: integer arithmetic only, no global state. */

export interface Random {
  /** 32 random bits, 0 … 2³² − 1. */
  bits(): number;
  /** Uniform in [0, 1), 53 bits. */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
  /** Uniform whole number from 0 to n − 1, without bias. Throws RangeError unless n is whole, 1 … 2³². */
  int(n: number): number;
  /** Fisher–Yates shuffle. */
  shuffleInPlace(items: { [index: number]: unknown; readonly length: number }): void;
}

/**
 * xoshiro128** (Blackman & Vigna 2021, ACM Trans Math Softw 47:36), state filled from `seed` by the 32-bit finaliser of MurmurHash3.
 * The seed is taken modulo 2³². Normal deviates by Marsaglia's polar method.
 */
export function createRandom(seed: number): Random {
  let state = seed >>> 0;
  const fill = (): number => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  let a = fill();
  let b = fill();
  let c = fill();
  let d = fill();
  let spare = Number.NaN;

  const bits = (): number => {
    const five = Math.imul(b, 5);
    const result = Math.imul((five << 7) | (five >>> 25), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = (d << 11) | (d >>> 21);
    return result;
  };
  const uniform = (): number => ((bits() >>> 5) * 67108864 + (bits() >>> 6)) / 9007199254740992;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * factor;
      return u * factor;
    }
  };
  const int = (n: number): number => {
    if (!(Number.isInteger(n) && n >= 1 && n <= 4294967296)) {
      throw new RangeError(`a random whole number needs a range from 1 to 2^32, not ${n}`);
    }
    const limit = 4294967296 - (4294967296 % n);
    for (;;) {
      const value = bits();
      if (value < limit) return value % n;
    }
  };
  return {
    bits,
    uniform,
    normal,
    int,
    shuffleInPlace(items) {
      for (let i = items.length - 1; i > 0; i--) {
        const j = int(i + 1);
        const kept = items[i];
        items[i] = items[j];
        items[j] = kept;
      }
    },
  };
}

/** A seed from text: 32-bit FNV-1a over its UTF-16 code units, low byte first. */
export function seedFromText(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    hash = Math.imul(hash ^ (unit & 0xff), 0x01000193);
    hash = Math.imul(hash ^ (unit >>> 8), 0x01000193);
  }
  return hash >>> 0;
}
