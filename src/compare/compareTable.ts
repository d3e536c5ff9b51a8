/** Swings of a table measured elsewhere, by the rules of definitions 8 as far as a table allows them. */
import type { ComparisonRow, Verdict } from '../model/comparison.ts';
import type { MarginRule } from '../model/quantity.ts';
import type { SwingTable, TableComparison, TablePlan, TableSide, TableSwing } from '../model/swingTable.ts';
import { LEVEL } from './adjust.ts';
import { countFamilies, countVerdicts } from './notes.ts';
import { resampleSwings } from './resampling.ts';
import { judge, writeRows } from './rows.ts';
import type { Sample } from './samples.ts';
import { compareText, partsBy } from './swings.ts';

/** No positions: nothing stands in for the top. */
const NO_METHODS = { top: 'P4' } as const;

/** Any margin will do where none is set: a margin of nothing lets the other numbers of a row be computed, and is taken out again. */
const NOTHING: MarginRule = { kind: 'absolute', value: 0 };

/**
 * One comparison for each player and each way in which the swings are kept apart, by code unit; a player who has swings of one side only
 * is said to lack the other, one who has swings of neither is passed over. The result does not depend on the order of the rows.
 */
export function compareTable(table: SwingTable, plan: TablePlan): readonly TableComparison[] {
  const keys = table.swings.map(({ player, by }) => JSON.stringify([player, ...by]));
  return [...partsBy(keys).values()]
    .map((part) => part.map((index) => table.swings[index]!))
    .sort((a, b) => compareLists([a[0]!.player, ...a[0]!.by], [b[0]!.player, ...b[0]!.by]))
    .map((swings) => compareSwings(swings, table.columns, plan))
    .filter(({ group, reference }) => group.swings + reference.swings > 0);
}

function compareLists(a: readonly string[], b: readonly string[]): number {
  for (let i = 0; i < a.length; i++) {
    const order = compareText(a[i]!, b[i]!);
    if (order !== 0) return order;
  }
  return 0;
}

/** Swings of one side, in an order of their own: by value, so that sums do not depend on the order of the rows. */
function sideOf(swings: readonly TableSwing[], side: TableSide): readonly TableSwing[] {
  return swings
    .filter(({ group }) => side.groups.includes(group))
    .sort((a, b) => compareText(a.group, b.group) || compareValues(a.values, b.values));
}

function compareValues(a: Float64Array, b: Float64Array): number {
  for (let i = 0; i < a.length; i++) {
    if (Number.isNaN(a[i]!) && Number.isNaN(b[i]!)) continue;
    if (Number.isNaN(a[i]!)) return 1;
    if (Number.isNaN(b[i]!)) return -1;
    if (a[i] !== b[i]) return a[i]! - b[i]!;
  }
  return 0;
}

function compareSwings(swings: readonly TableSwing[], columns: readonly string[], plan: TablePlan): TableComparison {
  const { player, by } = swings[0]!;
  const group = sideOf(swings, plan.of);
  const reference = sideOf(swings, plan.against);
  const lacking = [
    ...(group.length === 0 ? [plan.of.label] : []),
    ...(reference.length === 0 ? [plan.against.label] : []),
  ];
  const all = [...group, ...reference];
  const rows = lacking.length > 0 ? [] : rowsOf(group, reference, columns, plan);
  return {
    player,
    by,
    part: { datum: null },
    group: { label: plan.of.label, swings: group.length },
    reference: { label: plan.against.label, swings: reference.length },
    rows,
    familySizes: countFamilies(rows),
    counts: countVerdicts(rows),
    missing: all.reduce(
      (sum, { values }) => sum + values.reduce((n, value) => n + (Number.isNaN(value) ? 1 : 0), 0),
      0,
    ),
    values: all.length * columns.length,
    reason: lacking.length === 0 ? '' : `no swing of ${lacking.join(' and of ')}`,
  };
}

function rowsOf(
  group: readonly TableSwing[],
  reference: readonly TableSwing[],
  columns: readonly string[],
  plan: TablePlan,
): readonly ComparisonRow[] {
  const all = [...group, ...reference];
  const labels = { group: plan.of.label, reference: plan.against.label };
  const samples = columns.map((id, column): Sample => {
    const values = Float64Array.from(all, (swing) => swing.values[column]!);
    return {
      quantity: { id, unit: 'none', order: null, margin: plan.margins[column] ?? NOTHING, reading: { kind: 'column' } },
      position: 'swing',
      basis: 'value',
      order: null,
      values,
      nGroup: group.length,
      flags: [],
      leftOut: blanksText(values, group.length, labels),
      refused: '',
    };
  });
  const options = {
    margins: {},
    primary: plan.primary.map((name) => `${name}@swing`),
    seed: plan.seed,
    resamples: plan.resamples,
  };
  const written = writeRows(judge(samples, options, NO_METHODS), {
    labels,
    lengths: [...partsBy(reference.map((swing) => swing.group)).values()],
    options,
    trends: new Map(),
    resamples: resampleSwings(group.length, reference.length, plan.seed, plan.resamples),
  });
  return written.map((row, column) => {
    const margin = plan.margins[column] ?? null;
    if (margin === null) return withoutMargin(row);
    return margin.kind === 'absolute' ? { ...row, marginRule: 'set' } : row;
  });
}

/** '3 of 8 W1 and 1 of 6 irons left out: no value' */
function blanksText(values: Float64Array, nGroup: number, labels: { group: string; reference: string }): string {
  const of = (from: number, to: number, label: string): string[] => {
    let blank = 0;
    for (let i = from; i < to; i++) if (Number.isNaN(values[i]!)) blank += 1;
    return blank === 0 ? [] : [`${blank} of ${to - from} ${label}`];
  };
  const parts = [...of(0, nGroup, labels.group), ...of(nGroup, values.length, labels.reference)];
  return parts.length === 0 ? '' : `${parts.join(' and ')} left out: no value`;
}

/** Without a margin a row tells whether the difference is other than 0, and nothing of its size. */
function withoutMargin(row: ComparisonRow): ComparisonRow {
  const verdict: Verdict =
    row.verdict === 'none' ? 'none' : (row.pAdjusted ?? 1) < LEVEL ? 'differs-slightly' : 'undecided';
  return {
    ...row,
    margin: null,
    marginRule: 'none',
    pBeyond: null,
    pWithin: null,
    pBeyondAdjusted: null,
    verdict,
    excludesBeyond:
      verdict === 'undecided' && row.low95 !== null && row.high95 !== null
        ? Math.max(Math.abs(row.low95), Math.abs(row.high95))
        : null,
    moreSwings: verdict === 'undecided' ? row.moreSwings : null,
  };
}
