import type { FamilyId } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import type { Reapplication } from '../model/reapplication.ts';
import type { Change, DayMean, SessionRow, Zero } from '../model/sessions.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { CORRECTION, FAMILIES, judgeFamily } from './families.ts';
import { closedShare } from './fieller.ts';
import { chooseMethods, FEWEST_SWINGS } from './methods.ts';
import { enlargedMargins, reapplicationOf } from './reapplication.ts';
import { interval, type Judgement, judge } from './rows.ts';
import { collectSamples, type Sample } from './samples.ts';
import { countOf, type SwingGroup } from './swings.ts';
import { type Difference, type Summary, testDifference } from './twoSamples.ts';

/** From the swings of two days to rows: each day's gap, the changes between the days, the share that has closed. */

/** The swings of one side on both days, and which are whose. */
export interface Side {
  readonly both: SwingGroup;
  readonly before: ReadonlySet<SwingRecord>;
}

export interface RowPlan {
  readonly options: Pick<CompareOptions, 'margins' | 'primary'>;
  readonly reapplication: Reapplication;
}

export type Zeros = ReadonlyMap<string, Zero>;

/** Indices of the swings of the earlier or the later day. */
export function ofDay({ both, before }: Side, first: boolean): readonly number[] {
  return both.records.flatMap((record, index) => (before.has(record) === first ? [index] : []));
}

/** Rows of all quantities, in the order of the catalogue. `zeros`: what is taken off the angles of each day, by quantity. */
export function sessionRows(group: Side, reference: Side, plan: RowPlan, zeros: Zeros): readonly SessionRow[] {
  const days = [true, false].map((first): SwingGroup => {
    const sides = [group, reference];
    return {
      label: first ? 'earlier day' : 'later day',
      records: sides.flatMap((side) => ofDay(side, first).map((index) => side.both.records[index]!)),
      clubs: sides.flatMap((side) => ofDay(side, first).map((index) => side.both.clubs[index]!)),
    };
  });
  const choice = chooseMethods(days[0]!, days[1]!);
  const samples = collectSamples(group.both, reference.both, choice);
  const shift = group.both.records.length;
  const at = {
    groupBefore: ofDay(group, true),
    groupAfter: ofDay(group, false),
    referenceBefore: ofDay(reference, true).map((index) => shift + index),
    referenceAfter: ofDay(reference, false).map((index) => shift + index),
  };
  const earlier = new Set([...at.groupBefore, ...at.referenceBefore]);
  const zeroedSamples = samples.map((sample) => zeroed(sample, zeros, earlier));
  const judged = (
    of: readonly Sample[],
    a: readonly number[],
    b: readonly number[],
    options: RowPlan['options'],
  ): readonly Judgement[] =>
    judge(
      of.map((sample) => partOf(sample, a, b)),
      options,
      choice,
    );
  const enlarged = { ...plan.options, margins: enlargedMargins(plan.options.margins, plan.reapplication, zeros) };
  const first = judged(samples, at.groupBefore, at.referenceBefore, plan.options);
  const second = judged(samples, at.groupAfter, at.referenceAfter, plan.options);
  const ofGroup = judged(zeroedSamples, at.groupAfter, at.groupBefore, enlarged);
  const ofReference = judged(zeroedSamples, at.referenceAfter, at.referenceBefore, enlarged);
  const gaps = gapChanges(first, second);
  return samples.map((sample, i): SessionRow => {
    const zero = zeros.get(sample.quantity.id) ?? null;
    const takenOff = sample.basis === 'value' ? zero : null;
    const reapplication = zero === null ? reapplicationOf(sample.quantity, plan.reapplication) : 0;
    const before = first[i]!;
    const after = second[i]!;
    const certain = before.judged?.verdict === 'departs';
    return {
      quantity: sample.quantity.id,
      position: sample.position,
      basis: sample.basis,
      unit: sample.quantity.unit,
      order: sample.order,
      family: gaps[i]!.family,
      before: dayOf(before, takenOff?.before ?? 0),
      after: dayOf(after, takenOff?.after ?? 0),
      zero,
      group: changeOf(ofGroup[i]!, reapplication),
      reference: changeOf(ofReference[i]!, reapplication),
      gap: gaps[i]!.change,
      closed: certain && after.tests !== null ? closedShare(after.difference, before.difference) : NOTHING,
      reason: reasonOf(sample, before, after),
    };
  });
}

const NOTHING = { value: null, low95: null, high95: null } as const;

/** The sample with the angle of its day's still pose taken off every value; a change since P1 holds that twice and stays. */
function zeroed(sample: Sample, zeros: Zeros, earlier: ReadonlySet<number>): Sample {
  const zero = zeros.get(sample.quantity.id);
  if (zero === undefined || sample.basis !== 'value') return sample;
  const values = sample.values.map((value, index) => value - (earlier.has(index) ? zero.before : zero.after));
  return { ...sample, values };
}

function partOf(sample: Sample, a: readonly number[], b: readonly number[]): Sample {
  return { ...sample, values: Float64Array.from([...a, ...b], (index) => sample.values[index]!), nGroup: a.length };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

function meanOf({ n, mean, sd }: Summary, zero: number): DayMean {
  return { n, mean: finite(mean - zero), sd: finite(sd) };
}

/** A gap holds the day's zero twice and stays as it is. */
function dayOf({ group, reference, difference, tests, judged }: Judgement, zero: number): SessionRow['before'] {
  const [low95, high95] = tests === null ? [null, null] : interval(difference, 0.95);
  return {
    group: meanOf(group, zero),
    reference: meanOf(reference, zero),
    gap: { value: finite(difference.difference), low95, high95 },
    verdict: judged?.verdict ?? 'none',
  };
}

function changeOf({ difference, margin, tests, judged, setting }: Judgement, reapplication: number): Change {
  const [low95, high95] = tests === null ? [null, null] : interval(difference, 0.95);
  return {
    value: finite(difference.difference),
    low95,
    high95,
    margin: finite(margin),
    reapplication: setting.kind === 'absolute' ? reapplication : 0,
    p: tests?.p ?? null,
    pBeyond: tests?.pBeyond ?? null,
    pWithin: tests?.pWithin ?? null,
    pAdjusted: judged?.pAdjusted ?? null,
    pBeyondAdjusted: judged?.pBeyondAdjusted ?? null,
    verdict: judged?.verdict ?? 'none',
  };
}

/** The gap of the later day less that of the earlier, both independent: variances add, degrees of freedom by Satterthwaite. */
function gapChange(before: Difference, after: Difference): Difference {
  const [a, b] = [after.se * after.se, before.se * before.se];
  return {
    difference: after.difference - before.difference,
    se: Math.sqrt(a + b),
    df: ((a + b) * (a + b)) / ((a * a) / after.df + (b * b) / before.df),
  };
}

function gapChanges(
  first: readonly Judgement[],
  second: readonly Judgement[],
): readonly { readonly change: Change; readonly family: FamilyId | null }[] {
  const all = first.map((before, i) => {
    const after = second[i]!;
    const difference = gapChange(before.difference, after.difference);
    const tests = before.tests === null || after.tests === null ? null : testDifference(difference, after.margin);
    return {
      difference,
      tests,
      margin: after.margin,
      setting: after.setting,
      family: before.family === null ? null : after.family,
    };
  });
  const judged = new Map<number, Judgement['judged']>();
  for (const family of FAMILIES) {
    const members = all.flatMap((entry, index) => (entry.family === family && entry.tests !== null ? [index] : []));
    const results = judgeFamily(
      members.map((index) => all[index]!.tests!),
      CORRECTION[family],
    );
    members.forEach((index, i) => {
      judged.set(index, results[i]!);
    });
  }
  return all.map((entry, i) => ({
    family: entry.family,
    change: changeOf({ ...first[i]!, ...entry, judged: judged.get(i) ?? null }, 0),
  }));
}

function reasonOf(sample: Sample, before: Judgement, after: Judgement): string {
  const parts: string[] = [];
  if (sample.refused !== '') parts.push(sample.refused);
  else {
    const few = (['before', 'after'] as const).flatMap((when) =>
      (['group', 'reference'] as const).flatMap((side) => {
        const { n } = (when === 'before' ? before : after)[side];
        return n < FEWEST_SWINGS ? [`${countOf(n, side)} ${when}`] : [];
      }),
    );
    if (few.length > 0) parts.push(`fewer than ${FEWEST_SWINGS} swings: ${few.join(', ')}`);
  }
  if (sample.leftOut !== '') parts.push(sample.leftOut);
  return parts.join('; ');
}
