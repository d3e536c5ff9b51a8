import { formatFixed, roundedSteps } from '../../base/format.ts';
import { pack16 } from '../../base/packed.ts';
import { shownText } from '../../base/text.ts';
import { CATALOGUE } from '../../model/catalogue.ts';
import type { ComparisonRow, PlayerComparison } from '../../model/comparison.ts';
import { POSITIONS, type PositionId } from '../../model/positions.ts';
import type { Quantity } from '../../model/quantity.ts';
import { DEFAULT_REPORT, reportUnit } from '../../model/reportSettings.ts';
import { CURVE_POSITIONS, CURVE_STEPS, type SwingRecord } from '../../model/swingRecord.ts';
import { topicOf } from '../../model/topics.ts';
import { toDisplay, type Unit } from '../../model/units.ts';
import type { Findings } from '../findings.ts';
import { positionNotes } from '../sentences/coachText.ts';
import { decimalsIn } from '../sentences/numbers.ts';
import { primaryOf } from '../sentences/ranking.ts';
import { labelOf, positionName } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import type { TopicWord } from '../words/pageWords.ts';
import type { Words } from '../words/words.ts';
import type { PagePanel } from './curvePanel.ts';
import { CURVE_STEPS_PER_UNIT, type PageData, type PagePosition, type PageRow, type PageSwing } from './pageData.ts';
import { VERDICTS } from './verdicts.ts';

/** A number as JSON: far finer than what is shown, and short. */
const SPARE_DECIMALS = 6;

/** A quantity of the tables with what the page says of it. */
export interface ListedQuantity {
  readonly quantity: Quantity;
  readonly topic: TopicWord;
  /** As the report writes it. */
  readonly unit: Unit;
  readonly decimals: number;
}

/** Quantities that have a mean somewhere, in the order of the catalogue; the order of motion apart, which is told by its own picture. */
export function listedQuantities({ comparison, settings = DEFAULT_REPORT }: PlayerView): readonly ListedQuantity[] {
  const primary = primaryOf(comparison.rows);
  const some = new Set(comparison.rows.filter(isValue).map(({ quantity }) => quantity));
  return CATALOGUE.flatMap((quantity): ListedQuantity[] => {
    const topic = topicOf(quantity.reading);
    if (!some.has(quantity.id) || topic === 'order') return [];
    const own = reportUnit(quantity.unit, settings);
    const written = { quantity, unit: own, decimals: decimalsIn(quantity.decimals, own) };
    if (primary.has(quantity.id)) return [{ ...written, topic: 'main' }];
    return [{ ...written, topic: topic === 'trunk' || topic === 'limbs' ? topic : 'all' }];
  });
}

export function isValue(row: ComparisonRow): boolean {
  return row.basis === 'value' && (row.meanGroup !== null || row.meanReference !== null);
}

/** Positions of the tables in the order of the swing; P5.5 lies where its mean time falls between the steps of P5 and P6. */
export function pagePositions(words: Words, view: PlayerView): readonly PagePosition[] {
  const { comparison } = view;
  const notes = new Map(positionNotes(words, view).map(({ position, text }) => [position, text]));
  const shown = new Set<string>([
    ...CURVE_POSITIONS,
    ...comparison.rows.filter(isValue).map(({ position }) => position),
  ]);
  if (shown.has('P4(arm)') && !comparison.rows.some((row) => isValue(row) && row.position === 'P4')) shown.delete('P4');
  return POSITIONS.filter((position) => shown.has(position)).map((id) => ({
    id,
    name: positionName(words, id),
    step: stepOf(id, comparison),
    note: notes.get(id === 'P4(arm)' ? 'P4' : id) ?? '',
  }));
}

function stepOf(position: PositionId, { times }: PlayerComparison): number | null {
  if (position === 'P10') return null;
  if (position === 'P4(arm)') return 30;
  if (position !== 'P5.5') return 10 * (CURVE_POSITIONS as readonly string[]).indexOf(position);
  const at = (id: PositionId): number | null => {
    const found = times.find((time) => time.position === id);
    return found?.reference_s ?? found?.group_s ?? null;
  };
  const [from, to, own] = [at('P5'), at('P6'), at('P5.5')];
  const share = from === null || to === null || own === null || to <= from ? 0.5 : (own - from) / (to - from);
  return 40 + Math.min(9, Math.max(1, Math.round(10 * share)));
}

/** Everything that the script needs, finished. */
export function pageData(
  view: PlayerView,
  findings: Findings,
  listed: readonly ListedQuantity[],
  panels: readonly PagePanel[],
  words: Words,
): PageData {
  const comparison = view.inTableUnits ?? view.comparison;
  const { speed, length } = view.settings ?? DEFAULT_REPORT;
  const positions = pagePositions(words, view);
  const quantities = listed.map(({ quantity, topic }) => ({
    label: labelOf(words, quantity.id),
    unit: quantity.unit,
    decimals: quantity.decimals,
    topic,
  }));
  const lead = positions.find(({ id }) => id === findings.lead?.position);
  const cellPlaces = new CellPlaces(listed, positions);
  const places = cellPlaces.quantities;
  return {
    hand: comparison.hand,
    labels: [shownText(comparison.group.label), shownText(comparison.reference.label)],
    positions,
    quantities,
    rows: pageRows(comparison, listed, positions),
    curves: panels.map(({ curve, plot }) => ({
      quantity: places.get(curve.quantity) ?? -1,
      means: [numbers(curve.groupMean), numbers(curve.referenceMean)],
      plot,
    })),
    swings: [...view.records]
      .sort((a, b) => a.head.order - b.head.order)
      .map((record) => pageSwing(record, comparison, listed, cellPlaces, panels)),
    start: lead?.step ?? 0,
    lead: places.get(findings.lead?.quantity ?? '') ?? -1,
    words: words.page.script,
    verdicts: VERDICTS.map((verdict) => words.verdicts[verdict]),
    inch: words.page.inch,
    decimal: words.decimal,
    units: { speed, length },
  };
}

function short(value: number | null, decimals: number): number | null {
  return value === null || !Number.isFinite(value) ? null : Number(formatFixed(value, decimals + SPARE_DECIMALS));
}

function numbers(values: Float64Array): (number | null)[] {
  return Array.from(values, (value) => (Number.isFinite(value) ? Number(formatFixed(value, 4)) : null));
}

function pageRows(
  comparison: PlayerComparison,
  listed: readonly ListedQuantity[],
  positions: readonly PagePosition[],
): readonly PageRow[] {
  const quantityPlace = new Map(listed.map(({ quantity }, i) => [quantity.id, i]));
  const positionPlace = new Map(positions.map(({ id }, i) => [id, i]));
  return comparison.rows.filter(isValue).flatMap((row): PageRow[] => {
    const q = quantityPlace.get(row.quantity);
    if (q === undefined) return [];
    const { decimals } = listed[q]!.quantity;
    const number = (value: number | null): number | null => short(value, decimals);
    const verdict = VERDICTS.indexOf(row.verdict);
    return [
      [
        q,
        positionPlace.get(row.position) ?? -1,
        number(row.meanGroup),
        number(row.meanReference),
        number(row.difference),
        number(row.low95),
        number(row.high95),
        verdict,
        number(row.margin),
      ],
    ];
  });
}

function pageSwing(
  record: SwingRecord,
  { group, reference }: PlayerComparison,
  listed: readonly ListedQuantity[],
  places: CellPlaces,
  panels: readonly PagePanel[],
): PageSwing {
  const { trial, set, club } = record.head;
  const side = group.trials.includes(trial) ? 0 : reference.trials.includes(trial) ? 1 : 2;
  return {
    label: shownText(club === null || trial.includes(club) ? trial : `${trial} (${club})`),
    side,
    set: shownText(set),
    film: record.film ?? null,
    curves: pack16(curveValues(record, panels), CURVE_STEPS_PER_UNIT),
    values: swingValues(record, listed, places),
  };
}

function curveValues(record: SwingRecord, panels: readonly PagePanel[]): Float64Array {
  const values = new Float64Array(CURVE_STEPS * panels.length).fill(Number.NaN);
  panels.forEach(({ quantity }, i) => {
    const curve = record.curves.find((one) => one.quantity === quantity.id && one.order === quantity.order);
    curve?.values.forEach((value, step) => {
      values[CURVE_STEPS * i + step] = toDisplay(value, quantity.unit);
    });
  });
  return values;
}

/** Where a cell stands in the values of a swing. */
class CellPlaces {
  readonly quantities: ReadonlyMap<string, number>;
  readonly positions: ReadonlyMap<string, number>;
  constructor(listed: readonly ListedQuantity[], positions: readonly PagePosition[]) {
    this.quantities = new Map(listed.map(({ quantity }, i) => [quantity.id, i]));
    this.positions = new Map([...positions.map(({ id }) => id), 'swing'].map((id, i) => [id, i]));
  }
}

/** Steps of the last decimal shown, so that the digits are those of the tables. */
function swingValues(record: SwingRecord, listed: readonly ListedQuantity[], places: CellPlaces): string {
  const wide = places.positions.size;
  const steps = new Float64Array(wide * listed.length).fill(Number.NaN);
  for (const { quantity, position, value } of record.cells) {
    const q = places.quantities.get(quantity);
    const p = places.positions.get(position);
    if (value === null || q === undefined || p === undefined) continue;
    const { unit, decimals } = listed[q]!.quantity;
    steps[wide * q + p] = roundedSteps(toDisplay(value, unit), decimals);
  }
  return pack16(steps, 1);
}
