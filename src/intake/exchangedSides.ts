/** Pairs of markers whose left and right are exchanged against the rest of the body, in the whole recording. */

import type { FileLandmark, SidedLandmark } from '../model/landmarks.ts';
import { dot, norm } from '../numeric/vector.ts';
import { cross, sub, type V } from './detectFacts.ts';
import type { Moment, PointSamples } from './pointSamples.ts';

/** A pair that is exchanged, and what shows it. */
export interface ExchangedPair {
  readonly name: SidedLandmark;
  readonly evidence: string;
}

/** Back and front of a part of the body, whose middles need not know left from right, and the pairs that turn with it. */
interface Part {
  readonly back: readonly FileLandmark[];
  readonly front: readonly FileLandmark[];
  readonly pairs: readonly SidedLandmark[];
}

const LEGS: readonly SidedLandmark[] = ['GT', 'FL', 'FM', 'KJC', 'LM', 'MM', 'AJC', 'HEEL', 'MT1', 'MT5', 'TOE'];
const BY_PELVIS: readonly SidedLandmark[] = ['ASIS', 'PSIS', 'HJC', ...LEGS];
const BOTH_ASIS: readonly FileLandmark[] = ['L_ASIS', 'R_ASIS'];
const PARTS: readonly Part[] = [
  { back: ['L_PSIS', 'R_PSIS'], front: BOTH_ASIS, pairs: BY_PELVIS },
  { back: ['SACRUM'], front: BOTH_ASIS, pairs: BY_PELVIS },
  { back: ['C7'], front: ['IJ'], pairs: ['AC', 'SJC'] },
  { back: ['T8'], front: ['PX'], pairs: ['AC', 'SJC'] },
  { back: ['L_EAR', 'R_EAR'], front: ['L_ORBIT', 'R_ORBIT'], pairs: ['EAR', 'ORBIT'] },
  {
    back: ['L_HEAD_BACK', 'R_HEAD_BACK'],
    front: ['L_HEAD_FRONT', 'R_HEAD_FRONT'],
    pairs: ['HEAD_BACK', 'HEAD_FRONT', 'EAR'],
  },
];

/** Pairs of an arm: the far ones keep their distance from the near ones of their own side or, at the hand, whose wrist bends, are near them. */
const CHAINS: readonly {
  readonly near: readonly SidedLandmark[];
  readonly far: readonly SidedLandmark[];
  readonly by: 'spread' | 'mean';
}[] = [
  { near: ['AC', 'SJC'], far: ['EL', 'EM', 'EJC'], by: 'spread' },
  { near: ['EL', 'EM', 'EJC'], far: ['RS', 'US', 'WJC'], by: 'spread' },
  { near: ['RS', 'US', 'WJC'], far: ['MC2', 'MC5', 'HAND'], by: 'mean' },
];

/** Mean cosine of left-to-right as named and as the body faces: true pairs give 0.6 to 1 over a swing, whose pelvis turns away from its feet. */
const CLEAR_COSINE = 0.4;
/** Pairs that are labelled together, one voice each in what the majority of the body is; so many must be there, and most must agree. */
const VOICES: readonly (readonly SidedLandmark[])[] = [
  ['ASIS', 'PSIS', 'HJC'],
  LEGS,
  ['AC', 'SJC'],
  ['EAR', 'ORBIT', 'HEAD_BACK', 'HEAD_FRONT'],
];
const FEWEST_VOICES = 3;
/** A far marker is of the side from whose near one its distance is so many times steadier; on a body that stands still, so many times shorter. */
const NEARER = 1.1;
const STEADIER = 3;
/** Lengths that vary by less than this share of themselves are those of a body that stands still. */
const STILL = 0.02;
/** Moments that must show a pair. */
const FEWEST_MOMENTS = 6;

/**
 * Pairs that contradict the majority of the body. `up` in file axes. A left-handed file frame turns all of them round, and so do sides that are
 * exchanged throughout: both are settled elsewhere. None where the body does not show a clear majority. Trunk, head and legs by the way they
 * face; arms by what keeps its distance; hands by what is near.
 */
export function exchangedPairs(samples: PointSamples, up: V): readonly ExchangedPair[] {
  const moments = samples.moments();
  const seen = facingPairs(samples, moments, up);
  const voices = VOICES.flatMap((names) => {
    const own = seen.filter(({ name }) => names.includes(name));
    return own.length === 0 ? [] : [Math.sign(own.reduce((sum, { cosine }) => sum + Math.sign(cosine), 0))];
  });
  const majority = voices.reduce((sum, voice) => sum + voice, 0);
  if (voices.length < FEWEST_VOICES || majority === 0) return [];
  const against = seen.filter(({ cosine }) => Math.sign(majority) * cosine < -CLEAR_COSINE);
  const found: ExchangedPair[] = against.map(({ name, part }) => ({
    name,
    evidence: `L_${name} and R_${name} lie the other way round than the body faces (${part.back.join(', ')} to ${part.front.join(', ')})`,
  }));
  const swapped = new Set(found.map(({ name }) => name));
  for (const { near, far, by } of CHAINS) {
    const anchor = near.find((one) => isThere(samples, one));
    if (anchor === undefined) continue;
    for (const name of far) {
      const crossed = isThere(samples, name) ? isOfOtherSide(moments, anchor, name, by) : null;
      if (crossed === null || crossed === swapped.has(anchor)) continue;
      swapped.add(name);
      const how = by === 'spread' ? 'keep their distances from' : 'lie nearer to';
      found.push({ name, evidence: `L_${name} and R_${name} ${how} ${anchor} of the other side` });
    }
  }
  return found;
}

const isThere = (samples: PointSamples, name: SidedLandmark): boolean =>
  samples.has(`L_${name}`) && samples.has(`R_${name}`);

interface Facing {
  readonly name: SidedLandmark;
  readonly part: Part;
  readonly cosine: number;
}

/** Each pair by the first part that shows it. */
function facingPairs(samples: PointSamples, moments: readonly Moment[], up: V): readonly Facing[] {
  const seen: Facing[] = [];
  for (const part of PARTS) {
    const rights = moments.map((at) => {
      const ahead = line(at.centre(part.back), at.centre(part.front));
      return ahead === null ? null : cross(ahead, up);
    });
    for (const name of part.pairs) {
      if (!isThere(samples, name) || seen.some((one) => one.name === name)) continue;
      const cosine = meanCosine(name, moments, rights);
      if (cosine !== null) seen.push({ name, part, cosine });
    }
  }
  return seen;
}

/** Mean cosine of left-to-right as named to the part's right, moment by moment; null where too few moments show both. */
function meanCosine(name: SidedLandmark, moments: readonly Moment[], rights: readonly (V | null)[]): number | null {
  let sum = 0;
  let count = 0;
  moments.forEach((at, i) => {
    const right = rights[i]!;
    const across = line(at.point(`L_${name}`), at.point(`R_${name}`));
    if (right === null || across === null) return;
    const cosine = dot(right, across) / (norm(right) * norm(across));
    if (!Number.isFinite(cosine)) return;
    sum += cosine;
    count += 1;
  });
  return count < FEWEST_MOMENTS ? null : sum / count;
}

function line(from: V | null, to: V | null): V | null {
  return from === null || to === null ? null : sub(to, from);
}

/** Whether the far markers belong to the other side's near ones; null where neither is clear. */
function isOfOtherSide(
  moments: readonly Moment[],
  near: SidedLandmark,
  far: SidedLandmark,
  by: 'spread' | 'mean',
): boolean | null {
  const own = lengths(moments, [
    [`L_${near}`, `L_${far}`],
    [`R_${near}`, `R_${far}`],
  ]);
  const other = lengths(moments, [
    [`L_${near}`, `R_${far}`],
    [`R_${near}`, `L_${far}`],
  ]);
  if (own === null || other === null) return null;
  if (isClearer(other, own, by)) return true;
  return isClearer(own, other, by) ? false : null;
}

/** Whether `these` lengths are those of one arm rather than the others: steadier, or nearer where the arm does not move or bends (`mean`). */
function isClearer(these: Lengths, those: Lengths, by: 'spread' | 'mean'): boolean {
  const isStill = those.spread < STILL * those.mean;
  return by === 'mean' || isStill ? those.mean > NEARER * these.mean : those.spread > STEADIER * these.spread;
}

interface Lengths {
  readonly mean: number;
  readonly spread: number;
}

/** Mean of the lengths, and their root mean square about the mean of each; null with too few moments. */
function lengths(
  moments: readonly Moment[],
  pairs: readonly (readonly [FileLandmark, FileLandmark])[],
): Lengths | null {
  let squares = 0;
  let means = 0;
  for (const [a, b] of pairs) {
    const some: number[] = [];
    let sum = 0;
    for (const at of moments) {
      const way = line(at.point(a), at.point(b));
      if (way === null) continue;
      const length = norm(way);
      some.push(length);
      sum += length;
    }
    if (some.length < FEWEST_MOMENTS) return null;
    const mean = sum / some.length;
    let square = 0;
    for (const one of some) square += (one - mean) * (one - mean);
    squares += square / some.length;
    means += mean;
  }
  return { mean: means / pairs.length, spread: Math.sqrt(squares / pairs.length) };
}
