/** Reused memory: one arena per worker lends arrays for the length of a trial, because fresh pages cost more than the arithmetic. */

/** Lends arrays whose contents are undefined. Loans stay valid, and are never moved, until `reset`. */
export interface Workspace {
  /** `n` doubles, contents undefined. Throws RangeError where `n` is no whole number from 0 up. */
  float64(n: number): Float64Array;
  /** `n` bytes, contents undefined. Throws RangeError where `n` is no whole number from 0 up. */
  uint8(n: number): Uint8Array;
  /** Takes every loan back; the memory is lent again. Arrays lent before must not be used any more. */
  reset(): void;
}

interface Chunk<A> {
  readonly memory: A;
  used: number;
}

interface Lendable<A> {
  readonly length: number;
  subarray(begin: number, end: number): A;
}

/** Smallest chunk, in elements: 1 MiB of doubles. */
const SMALLEST_CHUNK = 131_072;

class Arena<A extends Lendable<A>> {
  readonly #chunks: Chunk<A>[] = [];
  readonly #make: (n: number) => A;
  #first = 0;
  #total = 0;

  constructor(make: (n: number) => A) {
    this.#make = make;
  }

  lend(n: number): A {
    if (!Number.isInteger(n) || n < 0) throw new RangeError(`a loan needs a whole number of elements, not ${n}`);
    for (let i = this.#first; i < this.#chunks.length; i++) {
      const chunk = this.#chunks[i]!;
      if (chunk.memory.length - chunk.used >= n) return take(chunk, n);
      if (i === this.#first && chunk.memory.length - chunk.used < 64) this.#first += 1;
    }
    const size = Math.max(n, SMALLEST_CHUNK, this.#total);
    const chunk: Chunk<A> = { memory: this.#make(size), used: 0 };
    this.#total += size;
    this.#chunks.push(chunk);
    return take(chunk, n);
  }

  reset(): void {
    for (const chunk of this.#chunks) chunk.used = 0;
    this.#first = 0;
  }
}

function take<A extends Lendable<A>>(chunk: Chunk<A>, n: number): A {
  const loan = chunk.memory.subarray(chunk.used, chunk.used + n);
  chunk.used += n;
  return loan;
}

/**
 * An arena of chunks that grow by doubling and are never given back.
 * With `poison` every loan is filled with NaN (bytes: 255), so that a test sees at once who reads before writing.
 */
export function createWorkspace(options: { readonly poison?: boolean } = {}): Workspace {
  const poison = options.poison === true;
  const doubles = new Arena<Float64Array>((n) => new Float64Array(n));
  const bytes = new Arena<Uint8Array>((n) => new Uint8Array(n));
  return {
    float64(n) {
      const loan = doubles.lend(n);
      return poison ? loan.fill(Number.NaN) : loan;
    },
    uint8(n) {
      const loan = bytes.lend(n);
      return poison ? loan.fill(255) : loan;
    },
    reset() {
      doubles.reset();
      bytes.reset();
    },
  };
}
