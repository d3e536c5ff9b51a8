import { compareCodeUnits } from '../base/text.ts';
import type { ComparisonPart, ComparisonRow } from '../model/comparison.ts';
import type { TableComparison } from '../model/swingTable.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

/** What a row needs of its comparison. */
interface Compared {
  readonly player: string;
  readonly part: Pick<ComparisonPart, 'datum'>;
  readonly group: { readonly label: string };
  readonly reference: { readonly label: string };
  readonly rows: readonly ComparisonRow[];
  readonly orderRows?: readonly ComparisonRow[];
}

export interface ComparedRow<C extends Compared = Compared> {
  readonly of: C;
  readonly row: ComparisonRow;
}

function inUnit(name: string, meaning: string, read: (row: ComparisonRow) => number | null): Column<ComparedRow> {
  return numberColumn(
    name,
    'by row',
    meaning,
    ({ row }) => read(row),
    ({ row }) => TABLE_DECIMALS[row.unit],
  );
}

function probability(name: string, meaning: string, read: (row: ComparisonRow) => number | null): Column<ComparedRow> {
  return numberColumn(name, '', meaning, ({ row }) => read(row), 5);
}

/** 41 stands for "more than 40". */
function moreSwings(row: ComparisonRow): string {
  if (row.moreSwings === null) return '';
  const { count, club } = row.moreSwings;
  return `${count > 40 ? 'more than 40' : count} ${club}`;
}

export const COMPARISON: Table<ComparedRow> = {
  name: 'comparison',
  about:
    'One quantity at one position, some swings against others of the same player: the driver against the irons, or what was asked for.',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('group', 'what is compared', ({ of }) => of.group.label),
    textColumn('reference', 'with what', ({ of }) => of.reference.label),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ row }) => row.quantity),
    textColumn('position', 'position of the swing, or swing for one value per swing', ({ row }) => row.position),
    textColumn('unit', 'unit of the values', ({ row }) => row.unit),
    textColumn('order', 'axis order of an angle', ({ row }) => row.order),
    numberColumn('n_group', 'swings', 'swings of the group with a value', ({ row }) => row.nGroup, 0),
    numberColumn('n_reference', 'swings', 'swings of the reference with a value', ({ row }) => row.nReference, 0),
    inUnit('mean_group', 'mean of the group', (row) => row.meanGroup),
    inUnit('mean_reference', 'mean of the reference', (row) => row.meanReference),
    inUnit('sd_group', 'standard deviation of the group', (row) => row.sdGroup),
    inUnit(
      'sd_reference',
      'standard deviation of the reference, all its swings as one group',
      (row) => row.sdReference,
    ),
    inUnit('difference', 'mean of the group − mean of the reference', (row) => row.difference),
    inUnit('low95', 'lower end of the 95 % interval of the difference', (row) => row.low95),
    inUnit('high95', 'upper end of the 95 % interval of the difference', (row) => row.high95),
    numberColumn(
      'hedges_g',
      '',
      'difference in standard deviations, corrected for few swings',
      ({ row }) => row.hedgesG,
      3,
    ),
    inUnit('margin', 'largest difference without meaning, fixed before the data', (row) => row.margin),
    textColumn('margin_rule', 'where the margin came from', ({ row }) => row.marginRule),
    inUnit(
      'mdc',
      'smallest difference of two single swings that exceeds their scatter (1.96·√2 × the SD of the reference within one length of club)',
      (row) => row.mdc,
    ),
    inUnit('detectable', 'true difference that these swings would find four times in five', (row) => row.detectable),
    probability('p', 'difference other than 0', (row) => row.p),
    probability('p_beyond', 'difference beyond the margin', (row) => row.pBeyond),
    probability('p_within', 'difference within the margin', (row) => row.pWithin),
    probability('p_adjusted', 'p, adjusted over its family', (row) => row.pAdjusted),
    probability('p_beyond_adjusted', 'p_beyond, adjusted over its family', (row) => row.pBeyondAdjusted),
    textColumn('family', 'family of the adjustment', ({ row }) => row.family),
    textColumn('basis', 'value, or change since P1', ({ row }) => row.basis),
    textColumn('verdict', 'departs, matches, differs-slightly, undecided, none', ({ row }) => row.verdict),
    textColumn('more_swings', 'about how many more swings of which club would settle an undecided row', ({ row }) =>
      moreSwings(row),
    ),
    textColumn('reason', 'why there is no verdict, or how many swings lacked the value', ({ row }) => row.reason),
    probability(
      'p_permutation',
      'difference other than 0, by exchanging swings between the groups: a check, not the verdict',
      (row) => row.pPermutation,
    ),
    textColumn(
      'datum',
      'zero of the angles of all swings compared: a player with markers and sensors has rows of each',
      ({ of }) => of.part.datum?.id ?? '',
    ),
    inUnit(
      'bca_low95',
      'lower end of the bootstrap interval of the difference (bias-corrected and accelerated): a check, not the verdict; of primary rows, their changes and rows of the whole swing that have a family',
      (row) => row.bcaLow95,
    ),
    inUnit('bca_high95', 'its upper end', (row) => row.bcaHigh95),
    numberColumn(
      'g_low95',
      '',
      'lower end of the 95 % interval of the effect size that hedges_g estimates (non-central t)',
      ({ row }) => row.gLow95,
      3,
    ),
    numberColumn('g_high95', '', 'its upper end', ({ row }) => row.gHigh95, 3),
    inUnit(
      'typical_error',
      'scatter of single swings: the irons’ own SD within one length, pooled; mdc is 1.96·√2 times it',
      (row) => row.sdWithin,
    ),
    inUnit(
      'trend',
      'what the line through the player’s other clubs against club length has at the length of the group’s',
      (row) => row.trend?.expected ?? null,
    ),
    inUnit('trend_low95', 'lower end of its 95 % interval', (row) => row.trend?.low95 ?? null),
    inUnit('trend_high95', 'its upper end', (row) => row.trend?.high95 ?? null),
    inUnit('trend_per_10cm', 'slope of the line for 10 cm of length', (row) => row.trend?.slopePer10cm ?? null),
    textColumn(
      'trend_verdict',
      'verdict of the group’s mean against the trend; none where the trend is too uncertain or not straight',
      ({ row }) => row.trend?.verdict ?? '',
    ),
    textColumn('trend_reason', 'why there is none', ({ row }) => row.trend?.reason ?? ''),
  ],
};

/** Rows by player; within a player by part, then as the comparison orders them, those of orders beside the main ones last. */
export function* comparedRows<C extends Compared>(comparisons: readonly C[]): Generator<ComparedRow<C>> {
  const sorted = [...comparisons].sort((a, b) => compareCodeUnits(a.player, b.player));
  for (const of of sorted) for (const row of [...of.rows, ...(of.orderRows ?? [])]) yield { of, row };
}

/** Of a table measured elsewhere: the same columns, and what keeps a player's swings apart. */
export const TABLE_COMPARISON: Table<ComparedRow<TableComparison>> = {
  ...COMPARISON,
  columns: [
    ...COMPARISON.columns,
    textColumn('by', 'values of the columns named with --by, / between them', ({ of }) => of.by.join('/')),
  ],
};
