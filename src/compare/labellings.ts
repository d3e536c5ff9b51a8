import { createRandom, type Random } from '../numeric/random.ts';
import { choose } from './permutation.ts';

/** Labellings of whole curves, made once for every quantity with as many curves: which are taken to be the group's, or change their sign. */

/** Every labelling up to so many, otherwise random ones. Of two that always give the same |t| one is counted: 8 + 8 curves have 6,435. */
const MOST_LABELLINGS = 20_000;

export interface Labellings {
  /** 'split': the curves marked are the group's. 'flip': the differences marked change their sign. */
  readonly kind: 'split' | 'flip';
  readonly n: number;
  /** Labellings; the first is the observed one. */
  readonly count: number;
  readonly exact: boolean;
  /** Marks of `width` curves each, `chunks` of them a labelling; curve c is bit c mod width of chunk ⌊c / width⌋. */
  readonly masks: Uint8Array;
  readonly chunks: number;
  readonly width: number;
}

function emptyLabellings(kind: Labellings['kind'], n: number, count: number, exact: boolean): Labellings {
  const chunks = Math.max(1, Math.ceil(n / 8));
  return { kind, n, count, exact, masks: new Uint8Array(count * chunks), chunks, width: Math.ceil(n / chunks) };
}

function mark({ masks, chunks, width }: Labellings, labelling: number, curve: number): void {
  masks[labelling * chunks + Math.floor(curve / width)]! |= 1 << (curve % width);
}

/** The next subset of 0 … n − 1 of the same size in lexical order, in place; false after the last. */
function nextSubset(chosen: Uint16Array, n: number): boolean {
  const k = chosen.length;
  let i = k - 1;
  while (i >= 0 && chosen[i] === n - k + i) i -= 1;
  if (i < 0) return false;
  chosen[i]! += 1;
  for (let j = i + 1; j < k; j++) chosen[j] = chosen[j - 1]! + 1;
  return true;
}

/**
 * Splits of n₁ + n₂ curves, the group's first: all of them up to 20,000, where n₁ = n₂ one of each pair of mirror images; otherwise the
 * observed one and `samples` seeded random ones.
 */
export function splitLabellings(n1: number, n2: number, seed: number, samples: number): Labellings {
  const n = n1 + n2;
  const all = choose(n, n1) / (n1 === n2 ? 2 : 1);
  if (!(all <= MOST_LABELLINGS)) return randomSplits(n1, n, createRandom(seed), samples);
  const labels = emptyLabellings('split', n, all, true);
  const chosen = Uint16Array.from({ length: n1 }, (_, i) => i);
  for (let l = 0; l < labels.count; l++) {
    for (const curve of chosen) mark(labels, l, curve);
    nextSubset(chosen, n);
  }
  return labels;
}

function randomSplits(n1: number, n: number, random: Random, samples: number): Labellings {
  const labels = emptyLabellings('split', n, samples + 1, false);
  const deck = Uint16Array.from({ length: n }, (_, i) => i);
  for (let i = 0; i < n1; i++) mark(labels, 0, i);
  for (let l = 1; l < labels.count; l++) {
    for (let i = 0; i < n1; i++) {
      const j = i + random.int(n - i);
      const taken = deck[j]!;
      deck[j] = deck[i]!;
      deck[i] = taken;
      mark(labels, l, taken);
    }
  }
  return labels;
}

/** Signs of n differences: one of each pair of mirror images up to 20,000, otherwise none changed and `samples` seeded random ones. */
export function flipLabellings(n: number, seed: number, samples: number): Labellings {
  const exact = n <= 1 + Math.floor(Math.log2(MOST_LABELLINGS));
  const labels = emptyLabellings('flip', n, exact ? 1 << (n - 1) : samples + 1, exact);
  const random = createRandom(seed);
  for (let l = 1; l < labels.count; l++) {
    // the last difference keeps its sign where all are counted
    for (let i = 0; i < (exact ? n - 1 : n); i++) {
      if (exact ? (l >> i) & 1 : random.int(2) === 1) mark(labels, l, i);
    }
  }
  return labels;
}
