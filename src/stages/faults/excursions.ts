/** A marker that leaps off its place and stays there or comes back. */

import { formatFixed } from '../../base/format.ts';
import type { ClusterModel } from '../../model/calibration.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Finding } from './finding.ts';
import { type Leap, unexplained } from './leapCandidates.ts';
import type { Span } from './mending.ts';
import type { Neighbour } from './neighbours.ts';
import { offShape } from './offShape.ts';
import { offCarried } from './seenByNeighbours.ts';

/** A piece goes on from an earlier one where the neighbours see it change by less than this share of the leap before it. */
const SAME_PLACE = 0.5;
/** A place that holds this share of the samples is the marker's own; with less, and without a static trial, it is not clear. */
const OWN_SHARE = 0.6;
const FEWEST_RIGID = 2;
const GHOST_m = 0.1;
const LONGEST_GHOST_s = 0.1;
/** Longer stretches than a spline fills are given up only for a leap this many times beyond the limit, unless the static trial tells the place. */
const FAR = 2;
const LONGEST_FILLED_s = 0.1;
/** Where the static trial has the marker, its own place fits this many times better than another. */
const FITS_BETTER = 2;

/** A leap that the marker's neighbours see. */
export interface SeenLeap {
  readonly leap: Leap;
  readonly neighbours: readonly Neighbour[];
}

/** Samples between two leaps, and the place they belong to: pieces of one place have one number. */
interface Piece {
  readonly span: Span;
  readonly place: number;
  readonly size_m: number;
}

/**
 * What the verified leaps of one marker make of it: the pieces between them by place, seen from the marker's neighbours; all places but its
 * own are faults. Its own place is where the static trial's shape has it, else where most samples are. Ghosts are far off for a few frames.
 */
export function excursions(
  trial: MarkerTrial,
  leaps: readonly SeenLeap[],
  models: readonly ClusterModel[],
): readonly Finding[] {
  const { id, limit_m } = leaps[0]!.leap;
  const pieces = piecesOf(trial, leaps);
  const own = ownPlace(trial, id, pieces, models);
  const wrong = pieces.filter(({ place }) => place !== own.place);
  if (wrong.length === 0) return [];
  const spans = joined(wrong);
  const longest = LONGEST_GHOST_s * trial.clock.rate_Hz;
  const filled = LONGEST_FILLED_s * trial.clock.rate_Hz;
  const isGhost = (piece: Piece): boolean => piece.size_m > GHOST_m && lengthOf(piece) <= longest;
  return (['ghost-point', 'marker-jumps'] as const).flatMap((code): readonly Finding[] => {
    const of = spans.filter((piece) => isGhost(piece) === (code === 'ghost-point'));
    if (of.length === 0) return [];
    const frames = of.reduce((sum, piece) => sum + lengthOf(piece), 0);
    const size = formatFixed(1000 * Math.max(...of.map(({ size_m }) => size_m)), 0);
    const limit = formatFixed(1000 * limit_m, 0);
    const detail = `leaps by ${size} mm in a frame (limit ${limit} mm) and is off its place in ${frames} frames`;
    const isFar = of.every((piece) => lengthOf(piece) <= filled || piece.size_m >= FAR * limit_m);
    const clear = own.clear && (own.byShape || isFar);
    return [{ code, markers: [id], spans: of.map(({ span }) => span), clear, detail }];
  });
}

function lengthOf({ span }: Piece): number {
  return span[1] - span[0] + 1;
}

function piecesOf(trial: MarkerTrial, leaps: readonly SeenLeap[]): readonly Piece[] {
  const track = trial.points.get(leaps[0]!.leap.id)!;
  const { frames } = trial.clock;
  const pieces: Piece[] = [{ span: [0, leaps[0]!.leap.before], place: 0, size_m: leaps[0]!.leap.size_m }];
  let places = 1;
  leaps.forEach(({ leap: { before, after, size_m }, neighbours }, i) => {
    const leap = offCarried(track, neighbours, before, after);
    let best = SAME_PLACE * leap;
    let place = places;
    const last = pieces[pieces.length - 1]!.place;
    for (const piece of pieces) {
      if (piece.place === last) continue;
      const isBack = i > 0 && piece === pieces[pieces.length - 2];
      const left = isBack ? closing(track, leaps[i - 1]!.leap, leaps[i]!.leap) : Number.POSITIVE_INFINITY;
      const off = Math.min(left, offOverTime(track, neighbours, piece.span[1], after));
      if (!(off < best)) continue;
      best = off;
      place = piece.place;
    }
    if (place === places) places += 1;
    const next = leaps[i + 1]?.leap;
    const size = Math.max(size_m, next?.size_m ?? 0);
    pieces.push({ span: [after, next === undefined ? frames - 1 : next.before], place, size_m: size });
  });
  return pieces;
}

/** What a leap out and the next leave together, metres: nothing where the second leads back. */
function closing({ data, clock: { frames } }: Track<3>, out: Leap, back: Leap): number {
  const [a, b] = [out, back].map((leap) => {
    const vector = [0, 0, 0];
    unexplained(data, data, frames, leap, vector);
    return vector;
  });
  return Math.hypot(a![0]! + b![0]!, a![1]! + b![1]!, a![2]! + b![2]!);
}

/** As `offCarried`, by the neighbours that are rigid with the marker where there are two: others move away in the time between. */
function offOverTime(track: Track<3>, neighbours: readonly Neighbour[], f: number, g: number): number {
  const rigid = neighbours.filter(({ isRigid }) => isRigid);
  const off = rigid.length < FEWEST_RIGID ? Number.NaN : offCarried(track, rigid, f, g);
  return Number.isNaN(off) ? offCarried(track, neighbours, f, g) : off;
}

function ownPlace(
  trial: MarkerTrial,
  id: Leap['id'],
  pieces: readonly Piece[],
  models: readonly ClusterModel[],
): { readonly place: number; readonly clear: boolean; readonly byShape: boolean } {
  const samples = new Map<number, number>();
  for (const { span, place } of pieces) samples.set(place, (samples.get(place) ?? 0) + span[1] - span[0] + 1);
  const all = [...samples.values()].reduce((sum, n) => sum + n, 0);
  const byShape = [...samples.keys()]
    .map((place) => {
      const spans = pieces.filter((piece) => piece.place === place).map(({ span }) => span);
      return { place, off: offShape(trial, [id], [id], spans, models) ?? Number.NaN };
    })
    .filter(({ off }) => !Number.isNaN(off))
    .sort((a, b) => a.off - b.off);
  if (byShape.length > 1 && FITS_BETTER * byShape[0]!.off < byShape[1]!.off) {
    return { place: byShape[0]!.place, clear: true, byShape: true };
  }
  const [place, most] = [...samples].reduce((a, b) => (b[1] > a[1] ? b : a));
  return { place, clear: most >= OWN_SHARE * all, byShape: false };
}

/** Neighbouring pieces off the marker's place as one. */
function joined(pieces: readonly Piece[]): readonly Piece[] {
  const out: Piece[] = [];
  for (const piece of pieces) {
    const last = out[out.length - 1];
    if (last !== undefined && last.span[1] + 1 >= piece.span[0]) {
      out[out.length - 1] = {
        ...last,
        span: [last.span[0], piece.span[1]],
        size_m: Math.max(last.size_m, piece.size_m),
      };
    } else out.push(piece);
  }
  return out;
}
