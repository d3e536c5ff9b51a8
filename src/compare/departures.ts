import type { Basis, FirstDeparture } from '../model/comparison.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import { tQuantile } from '../numeric/distributions.ts';
import { CriticalT } from './criticalT.ts';
import type { Resamples } from './resampling.ts';
import type { Judgement } from './rows.ts';
import type { Sampled } from './samples.ts';
import { type Difference, testDifference } from './twoSamples.ts';

/** The earliest position at which a quantity departs, and how sure that position is. */

/** Other positions are named from this share of resamples on. */
const NEIGHBOUR_SHARE = 0.2;

/** One position of the walk, ready for resampling: values with the overall mean taken out, squares, and 1 where a swing has the value. */
interface Stop {
  readonly entry: Judgement;
  readonly position: PositionId;
  readonly centre: number;
  readonly present: Float64Array;
  readonly hasHoles: boolean;
  readonly x: Float64Array;
  readonly xx: Float64Array;
  /** Largest less smallest value of the group and of the reference. */
  readonly spans: readonly [number, number];
  /** p_beyond is under the cut where its first term is under half the cut, and not where that term alone is above the cut. */
  readonly sure: CriticalT;
  readonly never: CriticalT;
}

/** Whether the difference is certainly not 0 on the side of `sign` at the next stop (plain 95 % interval). */
function confirms(next: Judgement, sign: number): boolean {
  const { difference, se, df } = next.difference;
  if (next.tests === null || Math.sign(difference) !== sign) return false;
  return se === 0 || Math.abs(difference) > tQuantile(0.975, df) * se;
}

/** The first entry that departs and whose next entry's interval excludes 0 on the same side; −1 where there is none. Entries in order of time. */
function observedFirst(entries: readonly Judgement[]): number {
  for (let i = 0; i + 1 < entries.length; i++) {
    const entry = entries[i]!;
    if (entry.judged?.verdict !== 'departs') continue;
    if (confirms(entries[i + 1]!, Math.sign(entry.difference.difference))) return i;
  }
  return -1;
}

const order = (position: PositionId | 'swing'): number =>
  position === 'swing' ? POSITIONS.length : POSITIONS.indexOf(position);

function spanOf(x: Float64Array, present: Float64Array, from: number, to: number): number {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = from; i < to; i++) {
    if (present[i] === 0) continue;
    least = Math.min(least, x[i]!);
    most = Math.max(most, x[i]!);
  }
  return most - least;
}

function makeStop(entry: Judgement, criticals: Map<number, CriticalT>): Stop {
  const critical = (tail: number): CriticalT => {
    const known = criticals.get(tail);
    if (known !== undefined) return known;
    const made = new CriticalT(tail);
    criticals.set(tail, made);
    return made;
  };
  const { values, nGroup } = entry.sample;
  const present = values.map((value) => (Number.isNaN(value) ? 0 : 1));
  const centre = 0.5 * (entry.group.mean + entry.reference.mean);
  const x = values.map((value) => (Number.isNaN(value) ? 0 : value - centre));
  return {
    entry,
    position: entry.sample.position as PositionId,
    centre,
    present,
    hasHoles: present.includes(0),
    x,
    spans: [spanOf(x, present, 0, nGroup), spanOf(x, present, nGroup, x.length)],
    xx: x.map((value) => value * value),
    sure: critical(0.5 * entry.cuts.pBeyond),
    never: critical(entry.cuts.pBeyond),
  };
}

/** One resample of one stop; `se` and `df` are known once `scatter` has filled them in. */
interface Drawn extends Difference {
  n1: number;
  n2: number;
  s1: number;
  s2: number;
  difference: number;
  middle: number;
  se: number;
  df: number;
}

const emptyDrawn = (): Drawn => ({ n1: 0, n2: 0, s1: 0, s2: 0, difference: 0, middle: 0, se: 0, df: 1 });

/** Σ draws · x of each side of resample r into `sums`: two sums side by side, as an addition waits for the one before it. */
function sumSides({ draws, n, nGroup }: Resamples, r: number, x: Float64Array, sums: Float64Array): void {
  const at = r * n;
  let group = 0;
  let reference = 0;
  let i = 0;
  let j = nGroup;
  for (; i < nGroup && j < n; i++, j++) {
    group += draws[at + i]! * x[i]!;
    reference += draws[at + j]! * x[j]!;
  }
  for (; i < nGroup; i++) group += draws[at + i]! * x[i]!;
  for (; j < n; j++) reference += draws[at + j]! * x[j]!;
  sums[0] = group;
  sums[1] = reference;
}

const sums = new Float64Array(2);

/** False where a side has fewer than two values. */
function drawMeans(stop: Stop, resamples: Resamples, r: number, out: Drawn): boolean {
  out.n1 = resamples.nGroup;
  out.n2 = resamples.n - resamples.nGroup;
  if (stop.hasHoles) {
    sumSides(resamples, r, stop.present, sums);
    out.n1 = sums[0]!;
    out.n2 = sums[1]!;
  }
  if (out.n1 < 2 || out.n2 < 2) return false;
  sumSides(resamples, r, stop.x, sums);
  out.s1 = sums[0]!;
  out.s2 = sums[1]!;
  out.difference = out.s1 / out.n1 - out.s2 / out.n2;
  out.middle = 0.5 * (out.s1 / out.n1 + out.s2 / out.n2) + stop.centre;
  return true;
}

function drawScatter(stop: Stop, resamples: Resamples, r: number, out: Drawn): void {
  const { n1, n2, s1, s2 } = out;
  sumSides(resamples, r, stop.xx, sums);
  const a = Math.max(0, sums[0]! - (s1 * s1) / n1) / ((n1 - 1) * n1);
  const b = Math.max(0, sums[1]! - (s2 * s2) / n2) / ((n2 - 1) * n2);
  out.se = Math.sqrt(a + b);
  out.df = a + b > 0 ? ((a + b) * (a + b)) / ((a * a) / (n1 - 1) + (b * b) / (n2 - 1)) : 1;
}

/** More than rounding moves what is bounded. */
const ROUNDING = 1e-9;

/**
 * Whether `excess` is beyond t · se whatever the scatter of the resample: variances are at most those of values at both ends of the range
 * (Popoviciu 1935, from memory), Welch's degrees of freedom at least those of the smaller side. Saves the squares of most resamples.
 */
function isFarBeyond({ spans }: Stop, { n1, n2 }: Drawn, excess: number, critical: CriticalT): boolean {
  const se2 = (0.25 * spans[0] * spans[0]) / (n1 - 1) + (0.25 * spans[1] * spans[1]) / (n2 - 1);
  const t = critical.atMost((Math.min(n1, n2) - 1) * (1 - ROUNDING));
  return excess * excess * (1 - ROUNDING) > t * t * se2;
}

/** Whether the resampled row departs: p_beyond against the unadjusted p that the row needs in its family. */
function departs(stop: Stop, resamples: Resamples, r: number, drawn: Drawn): boolean {
  const { setting, cuts } = stop.entry;
  const margin = setting.kind === 'absolute' ? setting.value : setting.value * Math.abs(drawn.middle);
  const excess = Math.abs(drawn.difference) - margin;
  if (!(excess > 0)) return false;
  if (isFarBeyond(stop, drawn, excess, stop.sure)) return true;
  drawScatter(stop, resamples, r, drawn);
  if (excess <= stop.never.atLeast(drawn.df) * drawn.se) return false;
  if (excess > stop.sure.atMost(drawn.df) * drawn.se) return true;
  return testDifference(drawn, margin).pBeyond < cuts.pBeyond;
}

function excludesZero(stop: Stop, resamples: Resamples, r: number, drawn: Drawn, plain: CriticalT): boolean {
  const size = Math.abs(drawn.difference);
  if (isFarBeyond(stop, drawn, size, plain)) return true;
  drawScatter(stop, resamples, r, drawn);
  if (size <= plain.atLeast(drawn.df) * drawn.se) return false;
  if (size > plain.atMost(drawn.df) * drawn.se) return true;
  return size > tQuantile(0.975, drawn.df) * drawn.se;
}

/** How many resamples name each stop as first. */
function countFirsts(stops: readonly Stop[], resamples: Resamples, plain: CriticalT): Uint32Array {
  const named = new Uint32Array(stops.length);
  const here = emptyDrawn();
  const next = emptyDrawn();
  for (let r = 0; r < resamples.count; r++) {
    for (let i = 0; i + 1 < stops.length; i++) {
      if (stops[i]!.entry.judged === null) continue;
      if (!drawMeans(stops[i]!, resamples, r, here) || !departs(stops[i]!, resamples, r, here)) continue;
      if (!drawMeans(stops[i + 1]!, resamples, r, next)) continue;
      if (Math.sign(next.difference) !== Math.sign(here.difference)) continue;
      if (!excludesZero(stops[i + 1]!, resamples, r, next, plain)) continue;
      named[i]! += 1;
      break;
    }
  }
  return named;
}

/**
 * First departures by quantity and basis (definitions 8): the earliest position with *departs* whose next position's 95 % interval
 * excludes 0 on the same side. The last position of a quantity has no next one and is never named. `certainty` is the share of all
 * resamples that name the same position; in a resample a row departs where its p_beyond is under the p that it needs in its family
 * beside what else is rejected there in the data (the families are not adjusted anew). Resampled swings scatter a little less than new
 * ones would, so with few swings the certainty is somewhat high.
 * Primary quantities first, then by position, then by size in margins.
 */
export function firstDepartures(
  entries: readonly Judgement[],
  resamples: Resamples,
  primaryQuantities: ReadonlySet<string>,
): FirstDeparture[] {
  const plain = new CriticalT(0.025);
  const criticals = new Map<number, CriticalT>();
  const lines = new Map<string, { quantity: Sampled; basis: Basis; entries: Judgement[] }>();
  for (const entry of entries) {
    const { quantity, basis, position } = entry.sample;
    if (position === 'swing' || entry.tests === null) continue;
    const key = `${quantity.id}@${basis}`;
    const line = lines.get(key) ?? { quantity, basis, entries: [] };
    line.entries.push(entry);
    lines.set(key, line);
  }
  const found: { departure: FirstDeparture; primary: boolean; size: number }[] = [];
  for (const line of lines.values()) {
    line.entries.sort((a, b) => order(a.sample.position) - order(b.sample.position));
    const first = observedFirst(line.entries);
    if (first < 0) continue;
    const stops = line.entries.map((entry) => makeStop(entry, criticals));
    const named = countFirsts(stops, resamples, plain);
    const share = (i: number): number => named[i]! / resamples.count;
    const entry = line.entries[first]!;
    found.push({
      departure: {
        quantity: line.quantity.id,
        basis: line.basis,
        position: stops[first]!.position,
        difference: entry.difference.difference,
        unit: line.quantity.unit,
        certainty: share(first),
        neighbours: stops.flatMap((stop, i) =>
          i !== first && share(i) > NEIGHBOUR_SHARE ? [{ position: stop.position, share: share(i) }] : [],
        ),
      },
      primary: primaryQuantities.has(line.quantity.id),
      size: entry.margin > 0 ? Math.abs(entry.difference.difference) / entry.margin : Number.POSITIVE_INFINITY,
    });
  }
  return found
    .sort(
      (a, b) =>
        Number(b.primary) - Number(a.primary) ||
        order(a.departure.position) - order(b.departure.position) ||
        (a.size === b.size ? 0 : b.size - a.size),
    )
    .map(({ departure }) => departure);
}
