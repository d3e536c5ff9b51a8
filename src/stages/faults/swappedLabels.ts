/** Two markers that carry each other's name for a stretch. */

import { formatFixed } from '../../base/format.ts';
import type { ClusterModel } from '../../model/calibration.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Finding } from './finding.ts';
import { type Leap, unexplained } from './leapCandidates.ts';
import type { Span } from './mending.ts';
import { neighboursOf } from './neighbours.ts';
import { offShape } from './offShape.ts';
import { offCarried } from './seenByNeighbours.ts';

/** With the names exchanged, squares of what both motions leave unexplained fall to less than this share. */
const EXCHANGED_SHARE = 0.25;
/** Without a static trial the part that is this much of the trial at most is the exchanged one. */
const LESSER_PART = 0.4;

interface Change {
  readonly a: Leap;
  readonly b: Leap;
  readonly share: number;
}

/**
 * Pairs of leaps at the same step after which each marker goes on where the other was. From one change of a pair to its next the names are
 * exchanged; where the static trial's shape says so, outside of it instead. Sorted by first frame.
 */
export function swappedLabels(
  trial: MarkerTrial,
  leaps: readonly Leap[],
  models: readonly ClusterModel[],
): readonly Finding[] {
  const pairs = new Map<string, Change[]>();
  for (const change of changesOf(trial, leaps)) {
    const key = `${change.a.id} ${change.b.id}`;
    pairs.set(key, [...(pairs.get(key) ?? []), change]);
  }
  return [...pairs.values()]
    .map((changes) => findingOf(trial, changes, models))
    .sort((x, y) => x.spans[0]![0] - y.spans[0]![0]);
}

/** Changes in the order of time; a leap belongs to one of them, that which it explains best. */
function changesOf(trial: MarkerTrial, leaps: readonly Leap[]): readonly Change[] {
  const found: Change[] = [];
  for (let i = 0; i < leaps.length; i++) {
    for (let k = i + 1; k < leaps.length; k++) {
      const [a, b] = leaps[i]!.id < leaps[k]!.id ? [leaps[i]!, leaps[k]!] : [leaps[k]!, leaps[i]!];
      if (a.id === b.id || a.before >= b.after || b.before >= a.after) continue;
      const share = exchangedShare(trial, a, b);
      if (share < EXCHANGED_SHARE) found.push({ a, b, share });
    }
  }
  const taken = new Set<Leap>();
  return found
    .sort((x, y) => x.share - y.share)
    .filter(({ a, b }) => {
      if (taken.has(a) || taken.has(b)) return false;
      taken.add(a).add(b);
      return true;
    })
    .sort((x, y) => x.a.after - y.a.after);
}

function exchangedShare({ points, clock: { frames } }: MarkerTrial, a: Leap, b: Leap): number {
  const p = points.get(a.id)!.data;
  const q = points.get(b.id)!.data;
  const ab = unexplained(p, q, frames, { ...b, earlier: a.earlier, before: a.before });
  const ba = unexplained(q, p, frames, { ...a, earlier: b.earlier, before: b.before });
  return (ab * ab + ba * ba) / (a.size_m * a.size_m + b.size_m * b.size_m);
}

function findingOf(trial: MarkerTrial, changes: readonly Change[], models: readonly ClusterModel[]): Finding {
  const { frames } = trial.clock;
  const { a, b } = changes[0]!;
  const bounds = changes.map((change) => Math.max(change.a.after, change.b.after));
  const inside: Span[] = [];
  const outside: Span[] = [];
  for (let i = 0; i <= bounds.length; i++) {
    const span: Span = [i === 0 ? 0 : bounds[i - 1]!, (bounds[i] ?? frames) - 1];
    (i % 2 === 1 ? inside : outside).push(span);
  }
  const lengthOf = (spans: readonly Span[]): number => spans.reduce((sum, [first, last]) => sum + last - first + 1, 0);
  const isInner = shapeSays(trial, [a.id, b.id], inside, outside, models);
  const spans = (isInner ?? lengthOf(inside) <= lengthOf(outside)) ? inside : outside;
  const size = formatFixed(1000 * Math.max(...changes.map((change) => Math.max(change.a.size_m, change.b.size_m))), 0);
  const times = changes.length === 1 ? 'once' : `${changes.length} times`;
  return {
    code: 'labels-swapped',
    markers: [a.id, b.id],
    spans,
    clear: isInner !== null || (lengthOf(spans) <= LESSER_PART * frames && holdsToTheEnd(trial, changes, spans[0]!)),
    detail: `${times} both leap by ${size} mm in a frame and each goes on where the other was`,
  };
}

/**
 * Of two markers that change names only once: true where at the far end of the span each is nearer to where its neighbours carry the other. Two
 * tracks that cross may have changed back unseen.
 */
function holdsToTheEnd(trial: MarkerTrial, changes: readonly Change[], [first, last]: Span): boolean {
  const [{ a, b }] = changes as [Change];
  if (changes.length > 1) return true;
  const [own, other] = [trial.points.get(a.id)!, trial.points.get(b.id)!];
  let as = 0;
  let exchanged = 0;
  for (const [leap, track, partner] of [
    [a, own, other],
    [b, other, own],
  ] as const) {
    const isForward = first === leap.after;
    const from = isForward ? leap.before : leap.after;
    const to = isForward ? last : first;
    const neighbours = neighboursOf(trial, leap).filter(({ id }) => id !== a.id && id !== b.id);
    const [stays, goes] = [track, partner].map((at) => offCarried(track, neighbours, from, to, at));
    if (Number.isNaN(stays! + goes!)) continue;
    as += stays! * stays!;
    exchanged += goes! * goes!;
  }
  return exchanged < EXCHANGED_SHARE * as;
}

/** True where exchanging the names inside brings the segment nearer to its shape on the static trial and outside does not; false the other way round. */
function shapeSays(
  trial: MarkerTrial,
  ids: readonly [LandmarkId, LandmarkId],
  inside: readonly Span[],
  outside: readonly Span[],
  models: readonly ClusterModel[],
): boolean | null {
  const isExchanged = (spans: readonly Span[]): boolean | null => {
    const as = offShape(trial, ids, ids, spans, models);
    const exchanged = offShape(trial, ids, [ids[1], ids[0]], spans, models);
    return as === null || exchanged === null ? null : exchanged < as;
  };
  const inner = isExchanged(inside);
  const outer = isExchanged(outside);
  return inner === null || outer === null || inner === outer ? null : inner;
}
