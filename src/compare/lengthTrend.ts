import type { FamilyId, LengthTrend } from '../model/comparison.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingSelector } from '../model/swingSelector.ts';
import { type LineAt, lineAt } from '../numeric/lineFit.ts';
import { LEVEL } from './adjust.ts';
import { CORRECTION, FAMILIES, judgeFamily, type PValues } from './families.ts';
import { marginOf } from './margins.ts';
import { FEWEST_SWINGS } from './methods.ts';
import { interval, type Judgement } from './rows.ts';
import type { Sample } from './samples.ts';
import { type ClubOfPlan, type SwingGroup, selectSwings } from './swings.ts';
import { type Difference, testDifference } from './twoSamples.ts';

/** Club length: the line through all the player's other clubs, carried on to the length of the club compared (definitions 8). */

/** A verdict needs a half-width of the trend's interval of at most so many margins. */
const WIDEST_IN_MARGINS = 1.5;

/** Two lengths cannot show whether the trend is straight. */
const FEWEST_LENGTHS = 3;

/** Clubs that are swung in full. */
const TREND_KINDS = ['wood', 'hybrid', 'iron', 'wedge'] as const;

/** What the trend is drawn from: swings of other clubs, the length of each, and the length that it is carried to. */
export interface TrendSwings {
  readonly others: SwingGroup;
  readonly lengths: Float64Array;
  readonly at: number;
}

/**
 * The player's swings of all other clubs that are no driver and no putter. Why there is no trend, where there is none: a club on both sides,
 * a length that is not known, clubs of one length.
 */
export function trendSwings(
  records: readonly SwingRecord[],
  player: string,
  clubs: readonly ClubOfPlan[],
  group: SwingGroup,
  reference: SwingGroup,
  sets: SwingSelector['sets'],
): TrendSwings | string {
  const own = new Set(group.clubs);
  if (reference.clubs.some((club) => own.has(club))) return 'a club is on both sides';
  const known = new Map(clubs.map((club) => [club.id, club.length_m]));
  const unknown = [...own].filter((club) => (known.get(club) ?? null) === null).sort();
  if (unknown.length > 0) return `the day file gives no length_m for ${unknown.join(', ')}`;
  const label = 'other clubs';
  const all = selectSwings(records, player, clubs, {
    label,
    kinds: TREND_KINDS,
    ...(sets === undefined ? {} : { sets }),
  });
  const kept = all.clubs.flatMap((club, i) => (own.has(club) || (known.get(club) ?? null) === null ? [] : [i]));
  const lengths = Float64Array.from(kept, (i) => known.get(all.clubs[i]!)!);
  if (new Set(lengths).size < 2) return 'the other clubs whose length_m the day file gives are of one length';
  const at = group.clubs.reduce((sum, club) => sum + known.get(club)!, 0) / group.clubs.length;
  return {
    others: { label, records: kept.map((i) => all.records[i]!), clubs: kept.map((i) => all.clubs[i]!) },
    lengths,
    at,
  };
}

interface Fitted {
  readonly line: LineAt;
  readonly difference: Difference;
  readonly margin: number;
  readonly clubs: readonly string[];
  /** Why there is no verdict, or ''. */
  readonly reason: string;
}

function carryOn(entry: Judgement, sample: Sample, { others, lengths, at }: TrendSwings): Fitted | null {
  const values = sample.values.subarray(sample.nGroup);
  const present = [...lengths.keys()].filter((i) => !Number.isNaN(values[i]!));
  const line = lineAt(
    present.map((i) => lengths[i]!),
    present.map((i) => values[i]!),
    at,
  );
  if (Number.isNaN(line.se)) return null;
  const { n, mean, sd } = entry.group;
  const ofGroup = (sd * sd) / n;
  const ofLine = line.se * line.se;
  const both = ofGroup + ofLine;
  const margin = marginOf(entry.setting, mean, line.value);
  const [low, high] = interval({ difference: 0, se: line.se, df: line.df }, 0.95);
  const halfWidth = 0.5 * (high! - low!);
  return {
    line,
    margin,
    clubs: [...new Set(present.map((i) => others.clubs[i]!))].sort(),
    difference: {
      difference: mean - line.value,
      se: Math.sqrt(both),
      df: (both * both) / ((ofGroup * ofGroup) / (n - 1) + (ofLine * ofLine) / line.df),
    },
    reason: !(halfWidth <= WIDEST_IN_MARGINS * margin)
      ? 'too uncertain to judge'
      : present.length < FEWEST_SWINGS
        ? `fewer than ${FEWEST_SWINGS} swings of the other clubs`
        : line.places < FEWEST_LENGTHS
          ? 'two lengths cannot show whether the trend is straight'
          : line.bentP < LEVEL
            ? 'the other clubs do not lie on a straight line'
            : '',
  };
}

const sameValues = (a: Float64Array, b: Float64Array): boolean => a.every((value, i) => Object.is(value, b[i]!));

const keyOf = ({ quantity, position, basis }: Sample): string => `${quantity.id}@${position}@${basis}`;

/**
 * The trend of every row that has a family, by its place among `entries`. The difference of the group's mean from the trend is tested as a
 * row is, with the standard errors of both and Satterthwaite's degrees of freedom; the p-values of the trends that may be judged are adjusted
 * over their own list within each family. `samples`: of the group and the other clubs, by the methods of the comparison.
 */
export function lengthTrends(
  entries: readonly Judgement[],
  samples: readonly Sample[],
  swings: TrendSwings,
): Map<number, LengthTrend> {
  const byKey = new Map(samples.map((sample) => [keyOf(sample), sample]));
  const fitted = new Map<number, Fitted>();
  entries.forEach((entry, index) => {
    const sample = byKey.get(keyOf(entry.sample));
    if (entry.family === null || sample === undefined || sample.refused !== '') return;
    // another head point or rule in common with the other clubs than with the reference: not the same values
    const { nGroup, values, order } = entry.sample;
    if (sample.order !== order || !sameValues(values.subarray(0, nGroup), sample.values.subarray(0, nGroup))) return;
    const one = carryOn(entry, sample, swings);
    if (one !== null) fitted.set(index, one);
  });
  const verdicts = new Map<number, LengthTrend['verdict']>();
  for (const family of FAMILIES) judgeTrends(entries, fitted, family, verdicts);
  return new Map([...fitted].map(([index, one]) => [index, describe(one, swings.at, verdicts.get(index) ?? 'none')]));
}

function judgeTrends(
  entries: readonly Judgement[],
  fitted: ReadonlyMap<number, Fitted>,
  family: FamilyId,
  verdicts: Map<number, LengthTrend['verdict']>,
): void {
  const members = [...fitted].filter(([index, { reason }]) => reason === '' && entries[index]!.family === family);
  const tests: PValues[] = members.map(([, one]) => testDifference(one.difference, one.margin));
  judgeFamily(tests, CORRECTION[family]).forEach(({ verdict }, i) => {
    verdicts.set(members[i]![0], verdict);
  });
}

function describe(
  { line, difference, clubs, reason }: Fitted,
  at: number,
  verdict: LengthTrend['verdict'],
): LengthTrend {
  const [low95, high95] = interval({ difference: line.value, se: line.se, df: line.df }, 0.95);
  const [differenceLow95, differenceHigh95] = interval(difference, 0.95);
  return {
    clubs,
    length_m: at,
    slopePer10cm: 0.1 * line.slope,
    expected: line.value,
    low95: low95!,
    high95: high95!,
    difference: difference.difference,
    differenceLow95: differenceLow95!,
    differenceHigh95: differenceHigh95!,
    verdict,
    reason,
  };
}
