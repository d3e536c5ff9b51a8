import { quantityById } from '../../model/catalogue.ts';
import type { Cell, SwingRecord } from '../../model/swingRecord.ts';
import { toDisplay, type Unit } from '../../model/units.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { LEADING, PAGE } from '../drawing/theme.ts';
import { listed, plain, withUnit } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** How exact a single value is, in its two parts: measuring noise, which differs from swing to swing, and placement, which all swings share. */

const LABEL_WIDTH = 142;

interface Exactness {
  readonly quantity: string;
  readonly positions: readonly string[];
  /** Largest and smallest half-width of the noise part over the swings and positions, display units; null where none is stated. */
  readonly noise: readonly [number, number] | null;
  readonly placement: number | null;
}

/** One entry a quantity of the primary list, in the order of the comparison. */
function exactnessOf(view: PlayerView): readonly Exactness[] {
  const primary = view.comparison.rows.filter(({ family }) => family === 'primary');
  const ids = [...new Set(primary.map(({ quantity }) => quantity))];
  return ids.map((quantity) => {
    const positions = [...new Set(primary.filter((row) => row.quantity === quantity).map((row) => row.position))];
    const cells = view.records.flatMap((record) => cellsOf(record, quantity, positions));
    const { unit } = quantityById(quantity);
    const inUnit = (values: readonly (number | null | undefined)[], of: Unit): number[] =>
      values.flatMap((value) => (value === null || value === undefined ? [] : [toDisplay(value, of)]));
    const noise = inUnit(
      cells.map((cell) => cell.plusMinus),
      unit,
    );
    const placement = inUnit(
      cells.map((cell) => cell.placement),
      unit,
    );
    return {
      quantity,
      positions,
      noise: noise.length === 0 ? null : [Math.min(...noise), Math.max(...noise)],
      placement: placement.length === 0 ? null : Math.max(...placement),
    };
  });
}

function cellsOf(record: SwingRecord, quantity: string, positions: readonly string[]): readonly Cell[] {
  const { order } = quantityById(quantity);
  return record.cells.filter(
    (cell) =>
      cell.quantity === quantity && cell.order === order && cell.value !== null && positions.includes(cell.position),
  );
}

/** 'noise ± 0.2 to 0.4°; placement ± 3.0°, at P1 and P4' */
function exactnessText(words: Words, { quantity, positions, noise, placement }: Exactness): string {
  const { decimals, unit } = quantityById(quantity);
  const { exact } = words.details;
  return fill(exact.said, {
    noise:
      noise === null
        ? exact.noNoise
        : fill(exact.noise, {
            low: plain(words, noise[0], decimals + 1),
            high: withUnit(words, noise[1], decimals + 1, unit),
          }),
    placement:
      placement === null
        ? exact.noPlacement
        : fill(exact.placement, { placement: withUnit(words, placement, decimals, unit) }),
    positions: listed(words, positions),
  });
}

/** Nothing where the values carry no ±, as of sensors. */
export function drawSingleValues(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const entries = exactnessOf(view).filter(({ noise, placement }) => noise !== null || placement !== null);
  if (entries.length === 0) return;
  const { details } = sheet.words;
  drawHeading(sheet, flow, details.headings.exact);
  for (const entry of entries) {
    makeRoom(flow, LEADING.small);
    const label = capital(labelOf(sheet.words, entry.quantity));
    write(sheet, sheet.root, label, PAGE.left, flow.y + 7, { size: 'small', width: LABEL_WIDTH - 4 });
    const text = exactnessText(sheet.words, entry);
    write(sheet, sheet.root, text, PAGE.left + LABEL_WIDTH, flow.y + 7, { size: 'small' });
    flow.y += LEADING.small;
  }
  flow.y += 2;
  drawParagraph(sheet, flow, '', details.exact.meaning);
  flow.y += 6;
}
