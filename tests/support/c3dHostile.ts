/** Seeded damage to C3D files: the case runner of the hostile-file tests and of longer runs. */
import { FormatError } from '../../src/base/errors.ts';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
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

/** One trial in all six encodings. */
export function hostileOriginals(): Uint8Array[] {
  const out: Uint8Array[] = [];
  for (const processor of PROCESSORS) {
    for (const form of ['float', 'integer'] as const) {
      const spec: BuildSpec = {
        processor,
        form,
        points: 3,
        frames: 12,
        firstFrame: 5,
        channels: 2,
        samplesPerFrame: 2,
        headerEvents: [{ label: 'RHS', time_s: 0.02 }],
        fields: {
          'POINT:DESCRIPTIONS': texts(['one', 'two', 'three']),
          'TRIAL:ACTUAL_START_FIELD': ints(5, 0),
          'TRIAL:ACTUAL_END_FIELD': ints(16, 0),
          'EVENT:USED': ints(1),
          'EVENT:LABELS': texts(['FS']),
          'EVENT:TIMES': { type: 'float', dims: [2, 1], values: [0, 0.06] },
          'ROTATION:USED': ints(0),
        },
      };
      out.push(buildC3d(spec));
    }
  }
  return out;
}

/** One to eight changes: bytes, extreme words, swapped stretches, a cut or doubled end; half of them near header and parameters. */
function mutate(original: Uint8Array, next: () => number): Uint8Array {
  let bytes = original.slice();
  const place = (): number => {
    const roll = next() % 4;
    const span = roll === 0 ? 24 : roll === 1 ? 512 : roll === 2 ? 2048 : bytes.length;
    return (roll === 2 ? 512 : 0) + (next() % Math.max(1, Math.min(span, bytes.length) - (roll === 2 ? 512 : 0)));
  };
  for (let change = 1 + (next() % 8); change > 0; change -= 1) {
    const at = Math.min(place(), bytes.length - 1);
    const kind = next() % 7;
    if (bytes.length < 2) break;
    if (kind <= 2) bytes[at] = next() & 0xff;
    else if (kind === 3) bytes[at] = [0, 1, 0x7f, 0x80, 0xff][next() % 5]!;
    else if (kind === 4) bytes.fill([0, 0xff][next() % 2]!, at, at + 1 + (next() % 6));
    else if (kind === 5)
      bytes = bytes.slice(0, next() % 3 === 0 ? next() % bytes.length : bytes.length - (next() % 64));
    else bytes.copyWithin(at, place() % bytes.length, Math.min(bytes.length, at + (next() % 200)));
  }
  return bytes;
}

export interface HostileResult {
  readonly cases: number;
  readonly refused: number;
  readonly read: number;
  /** Cases with any other exception, an array longer than the bytes allow, or more than half a second. */
  readonly faults: string[];
}

/** Runs seeded mutations, for tests and for longer runs elsewhere. */
export function runHostileCases(cases: number, seed: number, sources = hostileOriginals()): HostileResult {
  const next = numbers(seed);
  let refused = 0;
  const faults: string[] = [];
  for (let i = 0; i < cases; i += 1) {
    const bytes = mutate(sources[i % sources.length]!, next);
    const strict = i % 5 === 0;
    const start = performance.now();
    try {
      const c = readC3d(bytesSource(bytes), { strict });
      const stored = c.xyz.length + c.word4.length + c.analog.data.length;
      if (stored > bytes.length) faults.push(`case ${i}: ${stored} values from ${bytes.length} bytes`);
      if (c.xyz.length !== 3 * c.points * c.frames) faults.push(`case ${i}: columns of another length than said`);
      if (c.labels.length !== c.points) faults.push(`case ${i}: ${c.labels.length} labels for ${c.points} points`);
    } catch (error) {
      refused += 1;
      if (!(error instanceof FormatError)) faults.push(`case ${i}: ${String(error)}`);
      else if (error.problem.offset !== null && !(error.problem.offset >= 0)) faults.push(`case ${i}: offset`);
    }
    const took = performance.now() - start;
    if (took > 500) faults.push(`case ${i}: ${Math.round(took)} ms`);
  }
  return { cases, refused, read: cases - refused, faults };
}
