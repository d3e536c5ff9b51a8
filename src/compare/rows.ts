import type { ComparisonRow, FamilyId, LengthTrend, Verdict } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import { topicOf } from '../model/topics.ts';
import { tQuantile } from '../numeric/distributions.ts';
import { cutsOf, LEVEL } from './adjust.ts';
import { bcaOfDifference } from './bca.ts';
import { effectIntervals } from './effectInterval.ts';
import { hedgesG, minimalDetectableChange, pooledSd } from './effectSize.ts';
import { CORRECTION, FAMILIES, type Judged, judgeFamily, type PValues } from './families.ts';
import { type MarginSetting, marginOf, marginSetting } from './margins.ts';
import { FEWEST_SWINGS, type MethodChoice } from './methods.ts';
import { type PermutationPlan, permutationPlan, permutationTest } from './permutation.ts';
import { detectableDifference, moreSwings } from './power.ts';
import type { Resamples } from './resampling.ts';
import type { Sample } from './samples.ts';
import { countOf } from './swings.ts';
import { type Difference, type Summary, summarise, testDifference, welch } from './twoSamples.ts';

/** From samples to rows: difference, tests, families, verdicts. */

/** A sample with its statistics and, where it has five swings a group, its place in a family. */
export interface Judgement {
  readonly sample: Sample;
  readonly group: Summary;
  readonly reference: Summary;
  readonly setting: MarginSetting;
  readonly margin: number;
  readonly difference: Difference;
  readonly tests: PValues | null;
  readonly family: FamilyId | null;
  readonly judged: Judged | null;
  /** Unadjusted p_beyond and p that the row needs in its family, beside what else is rejected there. */
  readonly cuts: { readonly p: number; readonly pBeyond: number };
}

/** The family of a sample. What stands in for the top stands in for it in the primary list as well. */
export function familyOf(sample: Sample, primary: ReadonlySet<string>, choice: Pick<MethodChoice, 'top'>): FamilyId {
  const position = sample.position === choice.top ? 'P4' : sample.position;
  const named =
    primary.has(`${sample.quantity.id}@${position}`) || primary.has(`${sample.quantity.id}@${sample.position}`);
  const topic = topicOf(sample.quantity.reading);
  const family = named ? 'primary' : topic === 'limbs' || topic === 'club' ? 'limbs' : 'screening';
  return sample.basis === 'value' ? family : `change-${family}`;
}

/** Statistics of every sample, the families adjusted, the verdicts read. */
export function judge(
  samples: readonly Sample[],
  options: Pick<CompareOptions, 'margins' | 'primary'>,
  choice: Pick<MethodChoice, 'top'>,
): Judgement[] {
  const primary = new Set(options.primary);
  const measured = samples.map((sample) => {
    const group = summarise(sample.values, 0, sample.nGroup);
    const reference = summarise(sample.values, sample.nGroup);
    const setting = marginSetting(sample.quantity, options.margins);
    const margin = marginOf(setting, group.mean, reference.mean);
    const difference = welch(group, reference);
    const testable = sample.refused === '' && Math.min(group.n, reference.n) >= 2;
    const tests = testable ? testDifference(difference, margin) : null;
    const enough = Math.min(group.n, reference.n) >= FEWEST_SWINGS;
    const isJudged = topicOf(sample.quantity.reading) !== 'order';
    const family = tests !== null && enough && isJudged ? familyOf(sample, primary, choice) : null;
    return { sample, group, reference, setting, margin, difference, tests, family };
  });
  const judged = new Map<number, Pick<Judgement, 'judged' | 'cuts'>>();
  for (const family of FAMILIES) {
    const members = measured.flatMap((entry, index) => (entry.family === family ? [index] : []));
    const tests = members.map((index) => measured[index]!.tests!);
    const results = judgeFamily(tests, CORRECTION[family]);
    const p = cutsOf(
      Float64Array.from(tests, (test) => test.p),
      CORRECTION[family],
    );
    const pBeyond = cutsOf(
      Float64Array.from(tests, (test) => test.pBeyond),
      CORRECTION[family],
    );
    members.forEach((index, i) => {
      judged.set(index, { judged: results[i]!, cuts: { p: p[i]!, pBeyond: pBeyond[i]! } });
    });
  }
  const alone = { judged: null, cuts: { p: LEVEL, pBeyond: LEVEL } };
  return measured.map((entry, index) => ({ ...entry, ...(judged.get(index) ?? alone) }));
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** Ends of the t interval of a difference at `level`, e.g. 0.95; without scatter the difference itself. Null where it is not known. */
export function interval({ difference, se, df }: Difference, level: number): [number | null, number | null] {
  const half = se === 0 ? 0 : tQuantile(0.5 + 0.5 * level, df) * se;
  return [finite(difference - half), finite(difference + half)];
}

/** What `writeRows` needs beside the judgements. */
export interface RowContext {
  readonly labels: { readonly group: string; readonly reference: string };
  /** Swings of the reference by club length, as indices among the reference's swings. */
  readonly lengths: readonly (readonly number[])[];
  readonly options: Pick<CompareOptions, 'seed' | 'resamples'>;
  /** Of all swings compared, as in the samples. */
  readonly resamples: Resamples;
  /** By place among the judgements. */
  readonly trends: ReadonlyMap<number, LengthTrend>;
}

/** The bootstrap costs as much as all else of a row: it is kept to the rows that are read one by one. */
function hasBootstrap({ sample, family }: Judgement): boolean {
  return family === 'primary' || family === 'change-primary' || (family !== null && sample.position === 'swing');
}

/** SD of the reference within club length, pooled. */
function withinLength(sample: Sample, lengths: RowContext['lengths']): number {
  return pooledSd(
    lengths.map((part) => summarise(Float64Array.from(part, (index) => sample.values[sample.nGroup + index]!))),
  );
}

/** Why a row is not judged, and what was left out; '' where neither. */
export function reasonOf(entry: Judgement, { labels }: Pick<RowContext, 'labels'>): string {
  const { sample, group, reference } = entry;
  const parts: string[] = [];
  if (sample.refused !== '') parts.push(sample.refused);
  else if (topicOf(sample.quantity.reading) === 'order') parts.push('described, not judged');
  else if (entry.judged === null) {
    const few = [
      ...(group.n < FEWEST_SWINGS ? [countOf(group.n, labels.group)] : []),
      ...(reference.n < FEWEST_SWINGS ? [countOf(reference.n, labels.reference)] : []),
    ];
    parts.push(`fewer than ${FEWEST_SWINGS} swings: ${few.join(', ')}`);
  }
  if (sample.leftOut !== '') parts.push(sample.leftOut);
  return parts.join('; ');
}

/** The finished rows, in the order of the judgements, display units. */
export function writeRows(entries: readonly Judgement[], context: RowContext): ComparisonRow[] {
  const { labels, options } = context;
  const plans = new Map<string, PermutationPlan>();
  const effectInterval = effectIntervals();
  const unknown = [Number.NaN, Number.NaN] as const;
  const permuted = ({ sample, group, reference, tests }: Judgement): number | null => {
    if (tests === null) return null;
    const key = `${group.n}+${reference.n}`;
    let plan = plans.get(key);
    if (plan === undefined) {
      plan = permutationPlan(group.n, reference.n, options.seed, options.resamples);
      plans.set(key, plan);
    }
    return permutationTest(
      sample.values.filter((value) => !Number.isNaN(value)),
      group.n,
      plan,
    ).p;
  };
  return entries.map((entry, index): ComparisonRow => {
    const { sample, group, reference, difference, margin, tests, judged, cuts } = entry;
    const compared = sample.refused === '' && group.n > 0 && reference.n > 0;
    const verdict: Verdict = judged?.verdict ?? 'none';
    const [low95, high95] = tests === null ? [null, null] : interval(difference, 0.95);
    const [low90, high90] = tests === null ? [null, null] : interval(difference, 0.9);
    const sdWithin = withinLength(sample, context.lengths);
    const mdc = minimalDetectableChange(sdWithin);
    const [gLow, gHigh] = tests === null ? unknown : effectInterval(group, reference);
    const [bcaLow, bcaHigh] = hasBootstrap(entry)
      ? bcaOfDifference(sample.values, group, reference, context.resamples, 0.95)
      : unknown;
    const more = verdict === 'undecided' ? moreSwings(group, reference, margin, cuts) : null;
    return {
      quantity: sample.quantity.id,
      position: sample.position,
      basis: sample.basis,
      unit: sample.quantity.unit,
      order: sample.order,
      nGroup: group.n,
      nReference: reference.n,
      meanGroup: finite(group.mean),
      meanReference: finite(reference.mean),
      sdGroup: finite(group.sd),
      sdReference: finite(reference.sd),
      difference: compared ? finite(difference.difference) : null,
      low95,
      high95,
      low90,
      high90,
      hedgesG: tests === null ? null : finite(hedgesG(group, reference)),
      margin: compared ? finite(margin) : null,
      marginRule: entry.setting.rule,
      sdWithin: finite(sdWithin),
      mdc: finite(mdc),
      detectable:
        judged === null ? null : finite(detectableDifference(difference.se, difference.df, margin, cuts.pBeyond)),
      p: tests?.p ?? null,
      pBeyond: tests?.pBeyond ?? null,
      pWithin: tests?.pWithin ?? null,
      pAdjusted: judged?.pAdjusted ?? null,
      pBeyondAdjusted: judged?.pBeyondAdjusted ?? null,
      family: entry.family,
      verdict,
      outsideUsual: compared && Math.abs(difference.difference) > mdc,
      excludesBeyond:
        verdict === 'undecided' && low95 !== null && high95 !== null
          ? Math.max(Math.abs(low95), Math.abs(high95))
          : null,
      moreSwings: more === null ? null : { count: more.count, club: labels[more.of] },
      pPermutation: permuted(entry),
      bcaLow95: finite(bcaLow),
      bcaHigh95: finite(bcaHigh),
      gLow95: finite(gLow),
      gHigh95: finite(gHigh),
      trend: context.trends.get(index) ?? null,
      flags: sample.flags,
      reason: reasonOf(entry, context),
    };
  });
}
