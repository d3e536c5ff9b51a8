/** Seeded damage to C3D files: the case runner of the hostile-file tests and of longer runs. */
import { FormatError } from '../../src/base/errors.ts';
import { forcePlatforms } from '../../src/c3d/forcePlatforms.ts';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { bytesOf, type RewriteOptions, rewriteSource } from '../../src/c3d/rewriteC3d.ts';
import type { C3dSelect } from '../../src/c3d/select.ts';
import type { C3dFile } from '../../src/c3d/types.ts';
import { type C3dBlock, walkC3d } from '../../src/c3d/walkC3d.ts';
import { type BuildSpec, buildC3d, ints, texts } from './c3dBuilder.ts';

/** Seeded numbers from 0 to 2^32 − 1 (mulberry32, a public-domain mixing function, from memory). */
function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (t ^ (t >>> 14)) >>> 0;
  };
}

const PROCESSORS = ['intel', 'dec', 'mips'] as const;

/** One trial in all six encodings, and rotation matrices alone and behind points. */
export function hostileOriginals(): Uint8Array[] {
  const out: Uint8Array[] = [
    buildC3d({ points: 0, frames: 20, rotations: 3 }),
    buildC3d({ processor: 'mips', form: 'integer', frames: 9, rotations: 2, rotationSamples: 3 }),
    buildC3d({ processor: 'dec', frames: 9, rotations: 2, channels: 2, samplesPerFrame: 2 }),
  ];
  for (const processor of PROCESSORS) {
    for (const form of ['float', 'integer'] as const) {
      const spec: BuildSpec = {
        processor,
        form,
        points: 3,
        frames: 12,
        firstFrame: 5,
        channels: 8,
        samplesPerFrame: 2,
        headerEvents: [{ label: 'RHS', time_s: 0.02 }],
        fields: {
          'POINT:DESCRIPTIONS': texts(['one', 'two', 'three']),
          'TRIAL:ACTUAL_START_FIELD': ints(5, 0),
          'TRIAL:ACTUAL_END_FIELD': ints(16, 0),
          'EVENT:USED': ints(1),
          'EVENT:LABELS': texts(['FS']),
          'EVENT:TIMES': { type: 'float', dims: [2, 1], values: [0, 0.06] },
          'FORCE_PLATFORM:USED': ints(1),
          'FORCE_PLATFORM:TYPE': { type: 'int16', dims: [1], values: [1 + (out.length % 4)] },
          'FORCE_PLATFORM:ZERO': ints(5, 8),
          'FORCE_PLATFORM:CORNERS': { type: 'float', dims: [3, 4, 1], values: [9, 9, 0, 0, 9, 0, 0, 0, 0, 9, 0, 0] },
          'FORCE_PLATFORM:ORIGIN': { type: 'float', dims: [3, 1], values: [0, 0, -3] },
          'FORCE_PLATFORM:CHANNEL': { type: 'int16', dims: [8, 1], values: [1, 2, 3, 4, 5, 6, 7, 8] },
          'FORCE_PLATFORM:CAL_MATRIX': {
            type: 'float',
            dims: [6, 6, 1],
            values: Array.from({ length: 36 }, (_, i) => (i % 7 === 0 ? 1 : 0)),
          },
        },
      };
      out.push(buildC3d(spec));
    }
  }
  return out;
}

/** Values that bounds are made of: the ends of bytes, of words, and what lies beside them. */
const EXTREME_WORDS = [0, 1, 127, 128, 255, 256, 32767, 32768, 65535];

/** Starts of all parameter records and of the fields within the header's pointers, from a plain walk of the chain; never past the file. */
export function parameterBoundaries(bytes: Uint8Array): number[] {
  const start = 512 * (Math.max(bytes[0] ?? 2, 2) - 1);
  const big = bytes[start + 3] === 86;
  const out: number[] = [start];
  let at = start + 4;
  while (at + 4 < bytes.length && out.length < 2000) {
    out.push(at);
    const length = Math.abs((bytes[at]! << 24) >> 24);
    if (length === 0) break;
    const offsetAt = at + 2 + length;
    if (offsetAt + 2 > bytes.length) break;
    const low = bytes[offsetAt + (big ? 1 : 0)]!;
    const high = bytes[offsetAt + (big ? 0 : 1)]!;
    out.push(at + 1, at + 2, offsetAt, offsetAt + 2, offsetAt + 3);
    const next = offsetAt + low + 256 * high;
    if (next <= at || low + 256 * high === 0) break;
    at = next;
  }
  return out.filter((cut) => cut < bytes.length);
}

/**
 * One to eight changes: bits, bytes, words set to extreme values in either byte order, filled and copied stretches, blocks of 512 moved,
 * a cut end, a cut at a boundary of a parameter; half of them near header and parameters.
 */
function mutate(original: Uint8Array, boundaries: readonly number[], next: () => number): Uint8Array {
  let bytes = original.slice();
  const place = (): number => {
    const roll = next() % 4;
    const span = roll === 0 ? 24 : roll === 1 ? 512 : roll === 2 ? 2048 : bytes.length;
    return (roll === 2 ? 512 : 0) + (next() % Math.max(1, Math.min(span, bytes.length) - (roll === 2 ? 512 : 0)));
  };
  for (let change = 1 + (next() % 8); change > 0; change -= 1) {
    if (bytes.length < 2) break;
    const at = Math.min(place(), bytes.length - 1);
    const kind = next() % 12;
    if (kind <= 1) bytes[at] = bytes[at]! ^ (1 << (next() % 8));
    else if (kind <= 3) bytes[at] = next() & 0xff;
    else if (kind <= 6) {
      const word = EXTREME_WORDS[next() % EXTREME_WORDS.length]!;
      const from = Math.min(kind === 6 ? at : at & ~1, bytes.length - 2);
      const big = next() % 3 === 0;
      bytes[from] = big ? word >> 8 : word & 0xff;
      bytes[from + 1] = big ? word & 0xff : word >> 8;
    } else if (kind === 7) bytes.fill([0, 0xff][next() % 2]!, at, at + 1 + (next() % 6));
    else if (kind === 8) bytes.copyWithin(at, place() % bytes.length, Math.min(bytes.length, at + (next() % 200)));
    else if (kind === 9) {
      const blocks = Math.ceil(bytes.length / 512);
      const from = 512 * (next() % blocks);
      bytes.copyWithin(512 * (next() % blocks), from, from + 512 * (1 + (next() % 4)));
    } else if (kind === 10) {
      bytes = bytes.slice(0, next() % 3 === 0 ? next() % bytes.length : bytes.length - (next() % 64));
    } else if (boundaries.length > 0) {
      // The file ends there, or only the chain of its parameters does.
      const boundary = boundaries[next() % boundaries.length]!;
      if (next() % 3 === 0) bytes = bytes.slice(0, boundary);
      else bytes.fill(0, boundary, boundary + 512);
    }
  }
  return bytes;
}

export interface HostileResult {
  readonly cases: number;
  readonly refused: number;
  readonly read: number;
  /** Cases that came through a selection, the walk in blocks, a rewriting, and with at least one force platform or rotation. */
  readonly selected: number;
  readonly walked: number;
  readonly rewritten: number;
  readonly turned: number;
  readonly platforms: number;
  /** Cases with any other exception, an array longer than the bytes allow, or more than half a second. */
  readonly faults: string[];
}

type Tell = (what: string) => void;

/** One damaged file through all readers. Returns what it came through; throws what they throw. */
function throughAll(
  bytes: Uint8Array,
  way: number,
  next: () => number,
  tell: Tell,
): 'select' | 'walk' | 'rewrite' | null {
  const strict = way % 5 === 0;
  const select: C3dSelect = {
    points: [0, next() % 40, 'one', 'P2', next() % 70_000],
    frames: [next() % 20, 20 + (next() % 400)],
    analog: next() % 2 === 0 ? [0, next() % 30, 'A1'] : next() % 2 === 0,
    rotations: next() % 2 === 0 ? [next() % 4, 'R1'] : next() % 2 === 0,
  };
  if (way % 4 === 1) {
    const c = readC3d(bytesSource(bytes), { strict, select });
    if (c.xyz.length !== 3 * c.points * c.frames) tell('selected columns of another length than said');
    if (valuesOf(c) > bytes.length) tell('more selected values than bytes');
    forcePlatforms(c);
    return 'select';
  }
  if (way % 4 === 2) {
    let frames = 0;
    const options = way % 8 === 2 ? { select } : {};
    const onBlock = (block: C3dBlock): void => {
      if (block.from !== frames) tell('blocks out of order');
      frames += block.frames;
      if (8 * (block.xyz.length + block.analog.length) > 16 * Math.max(bytes.length, 1))
        tell('a block beyond the file');
    };
    const head = walkC3d(bytesSource(bytes), { strict, ...options, onBlock });
    if (frames !== head.frames && frames !== 0) tell(`${frames} frames walked, ${head.frames} said`);
    return 'walk';
  }
  if (way % 8 === 3) {
    rewriteAll(bytes, strict, next, tell);
    return 'rewrite';
  }
  return null;
}

function valuesOf(c: C3dFile): number {
  const { matrices, translations, reliability } = c.rotationData ?? NO_ROTATIONS;
  const turned = matrices.length + translations.length + reliability.length;
  return c.xyz.length + c.word4.length + c.analog.data.length + turned;
}

const NO_ROTATIONS = { matrices: [], translations: [], reliability: [] };

/** Rewritten in some encoding, block by block: as long as said, not far beyond the file, and as Intel floats the same on reading. */
function rewriteAll(bytes: Uint8Array, strict: boolean, next: () => number, tell: Tell): void {
  const processor = PROCESSORS[next() % 3]!;
  const form = next() % 2 === 0 ? 'float' : 'integer';
  const removeNames = next() % 4 === 0;
  const cut = next() % 3 === 0 ? next() : null;
  const options = (frames: number): RewriteOptions => {
    const range = cut === null || frames < 2 ? {} : { frames: [cut % (frames - 1), 1 + (cut % (frames - 1))] as const };
    return { processor, form, removeNames, ...range };
  };
  const rewritten = rewriteSource(bytesSource(bytes), (head) => options(head.frames), { strict });
  // Integers become floats at most; parameters are at most the sector of the file, one record once.
  if (rewritten.size > 4 * bytes.length + 4096) tell(`${rewritten.size} bytes made of ${bytes.length}`);
  let size = 0;
  for (const piece of rewritten.chunks()) size += piece.length;
  if (size !== rewritten.size) tell(`${size} bytes written, ${rewritten.size} said`);
  const plain = rewriteSource(bytesSource(bytes), () => ({ processor: 'intel', form: 'float' }));
  const [a, b] = [readC3d(bytesSource(bytes)), readC3d(bytesSource(bytesOf(plain)))];
  // Analog values that were set aside are left out: then a file without points has as many frames as its rotations, or none.
  const turned = a.rotationData === null ? 0 : Math.floor(a.rotationData.frames / a.rotationData.samplesPerFrame);
  const empty = a.points === 0 && a.analog.channels === 0 && b.frames === turned;
  if (a.points !== b.points || (a.frames !== b.frames && !empty)) {
    tell(`${a.points} points, ${a.frames} frames; written again ${b.points}, ${b.frames}`);
  } else if (!a.xyz.every((value, i) => Object.is(Math.fround(value), b.xyz[i]))) tell('other coordinates');
}

/** Runs seeded mutations, for tests and for longer runs elsewhere. */
export function runHostileCases(cases: number, seed: number, sources = hostileOriginals()): HostileResult {
  const next = numbers(seed);
  const boundaries = sources.map(parameterBoundaries);
  const counts = none();
  const faults: string[] = [];
  for (let i = 0; i < cases; i += 1) {
    const which = i % sources.length;
    oneCase(mutate(sources[which]!, boundaries[which]!, next), `case ${i}`, next() % 40, next, counts, faults);
  }
  return { cases, ...counts, read: cases - counts.refused, faults };
}

/** Every file cut at every boundary of its parameters, and with the chain ended there but its data kept, through every reader. */
export function runBoundaryCuts(sources = hostileOriginals()): HostileResult {
  const next = numbers(1);
  const counts = none();
  const faults: string[] = [];
  let cases = 0;
  sources.forEach((bytes, file) => {
    for (const cut of parameterBoundaries(bytes)) {
      const ended = bytes.slice().fill(0, cut, Math.min(cut + 512, 512 * Math.ceil(cut / 512)));
      for (const way of [1, 2, 3, 4]) {
        cases += 2;
        oneCase(bytes.slice(0, cut), `file ${file} cut at ${cut}`, way, next, counts, faults);
        oneCase(ended, `file ${file} ended at ${cut}`, way, next, counts, faults);
      }
    }
  });
  return { cases, ...counts, read: cases - counts.refused, faults };
}

type Counts = Record<'refused' | 'selected' | 'walked' | 'rewritten' | 'platforms' | 'turned', number>;

function none(): Counts {
  return { refused: 0, selected: 0, walked: 0, rewritten: 0, platforms: 0, turned: 0 };
}

function oneCase(
  bytes: Uint8Array,
  name: string,
  way: number,
  next: () => number,
  counts: Counts,
  faults: string[],
): void {
  const tell: Tell = (what) => faults.push(`${name}: ${what}`);
  const start = process.cpuUsage();
  try {
    const through = throughAll(bytes, way, next, tell);
    if (through === 'select') counts.selected += 1;
    else if (through === 'walk') counts.walked += 1;
    else if (through === 'rewrite') counts.rewritten += 1;
    else {
      const c = readC3d(bytesSource(bytes), { strict: way % 5 === 0 });
      const stored = valuesOf(c);
      if (c.rotationData !== null) counts.turned += 1;
      if (stored > bytes.length) tell(`${stored} values from ${bytes.length} bytes`);
      if (c.xyz.length !== 3 * c.points * c.frames) tell('columns of another length than said');
      if (c.labels.length !== c.points) tell(`${c.labels.length} labels for ${c.points} points`);
      const { value } = forcePlatforms(c);
      if (value.length > 0) counts.platforms += 1;
      // Six words or more of a sample serve one platform, which has twelve values of it.
      if (value.reduce((sum, p) => sum + 4 * p.force.length, 0) > bytes.length) tell('platforms beyond the file');
    }
  } catch (error) {
    counts.refused += 1;
    if (!(error instanceof FormatError))
      tell(error instanceof Error ? `${error.message} ${error.stack}` : String(error));
    else if (error.problem.offset !== null && !(error.problem.offset >= 0)) tell('offset');
  }
  // Time of this process alone, so that a busy machine is no fault.
  const took = process.cpuUsage(start).user / 1000;
  if (took > 500) tell(`${Math.round(took)} ms`);
}
