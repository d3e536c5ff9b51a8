import { CATALOGUE, quantityById } from '../../model/catalogue.ts';
import type { Basis, ComparisonRow, PlayerComparison } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import { POSITIONS } from '../../model/positions.ts';
import type { Quantity } from '../../model/quantity.ts';
import { topicOf } from '../../model/topics.ts';
import { rule, type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { drawSign } from '../drawing/signs.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, PAGE } from '../drawing/theme.ts';
import { decimalsIn, plain, signed, signedWithUnit, unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';

/** Tables of quantities by positions: in a cell the driver and the irons, below them the difference and the sign of the verdict. */

const LABEL_WIDTH = 116;
const ROW_HEIGHT = 18.5;

type Cells = ReadonlyMap<string, ComparisonRow>;

function cellsOf(comparison: PlayerComparison, basis: Basis): Cells {
  return new Map(
    comparison.rows.filter((row) => row.basis === basis).map((row) => [`${row.quantity}@${row.position}`, row]),
  );
}

/** Quantities with at least one mean at a position, in the order of the catalogue. */
function quantitiesOf(cells: Cells): Quantity[] {
  const some = new Set(
    [...cells.values()]
      .filter(hasMean)
      .filter((row) => row.position !== 'swing')
      .map((row) => row.quantity),
  );
  return CATALOGUE.filter((quantity) => some.has(quantity.id));
}

export function hasMean(row: ComparisonRow): boolean {
  return row.meanGroup !== null || row.meanReference !== null;
}

/** Where a table stands: left and right end, points, and its columns. */
export interface TablePlace {
  readonly left: number;
  readonly right: number;
  readonly shows: (position: PositionId) => boolean;
}

const ON_PAGE: TablePlace = { left: PAGE.left, right: PAGE.right, shows: () => true };

/** The table of one basis; `keep` chooses its quantities. */
export function drawTable(
  sheet: Sheet,
  flow: Flow,
  comparison: PlayerComparison,
  basis: Basis,
  heading: string,
  keep: (quantity: Quantity, rows: readonly ComparisonRow[]) => boolean,
  place: TablePlace = ON_PAGE,
): void {
  const cells = cellsOf(comparison, basis);
  const quantities = quantitiesOf(cells).filter((quantity) =>
    keep(
      quantity,
      [...cells.values()].filter((row) => row.quantity === quantity.id),
    ),
  );
  const positions = POSITIONS.filter(
    (position) =>
      place.shows(position) &&
      quantities.some((quantity) => {
        const row = cells.get(`${quantity.id}@${position}`);
        return row !== undefined && hasMean(row);
      }),
  );
  if (quantities.length === 0) return;
  const columns = {
    start: place.left,
    end: place.right,
    left: place.left + LABEL_WIDTH,
    width: Math.min(66, (place.right - place.left - LABEL_WIDTH) / positions.length),
  };
  let fresh = true;
  for (const quantity of quantities) {
    if (makeRoom(flow, ROW_HEIGHT + (fresh ? 30 : 0)) || fresh) {
      drawHead(
        sheet,
        flow,
        comparison,
        positions,
        columns,
        fresh ? heading : fill(sheet.words.details.continued, { heading }),
      );
      fresh = false;
    }
    drawQuantity(sheet, flow, quantity, positions, cells, columns);
  }
  flow.y += 12;
}

interface Columns {
  /** Ends of the table. */
  readonly start: number;
  readonly end: number;
  /** Where the first column of numbers begins. */
  readonly left: number;
  readonly width: number;
}

function drawHead(
  sheet: Sheet,
  flow: Flow,
  comparison: PlayerComparison,
  positions: readonly PositionId[],
  columns: Columns,
  heading: string,
): void {
  write(sheet, sheet.root, heading, columns.start, flow.y + 8, { size: 'middle', weight: 'bold' });
  flow.y += 21;
  write(
    sheet,
    sheet.root,
    fill(sheet.words.details.head, { group: comparison.group.label, reference: comparison.reference.label }),
    columns.start,
    flow.y,
    {
      size: 'small',
      fill: COLOUR.grey,
      width: LABEL_WIDTH - 6,
    },
  );
  positions.forEach((position, i) => {
    write(sheet, sheet.root, position, columns.left + columns.width * (i + 1) - 8, flow.y, {
      size: 'small',
      weight: 'bold',
      anchor: 'end',
    });
  });
  flow.y += 4;
  rule(sheet.root, columns.start, flow.y, columns.end, flow.y, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
}

function drawQuantity(
  sheet: Sheet,
  flow: Flow,
  quantity: Quantity,
  positions: readonly PositionId[],
  cells: Cells,
  columns: Columns,
): void {
  const top = flow.y + 8;
  const rows = positions.map((position) => cells.get(`${quantity.id}@${position}`));
  const unit = unitText(rows.find((row) => row !== undefined)?.unit ?? quantity.unit).trim();
  const label = capital(labelOf(sheet.words, quantity.id));
  write(sheet, sheet.root, `${label}${unit === '' ? '' : `, ${unit}`}`, columns.start, top, {
    size: 'small',
    width: LABEL_WIDTH - 4,
  });
  const said = sheet.words.quantities.of(quantity.id);
  const plus = `+ ${said.plus}`;
  const fits = textWidth(plus, 'small') <= LABEL_WIDTH - 4;
  write(sheet, sheet.root, fits ? plus : `+ ${sheet.words.details.shorterPlus(said.plus)}`, columns.start, top + 8.2, {
    size: 'small',
    fill: COLOUR.grey,
    width: LABEL_WIDTH - 4,
  });
  rows.forEach((row, i) => {
    if (row === undefined) return;
    drawCell(sheet, row, decimalsIn(quantity.decimals, row.unit), columns.left + columns.width * (i + 1) - 8, top);
  });
  flow.y += ROW_HEIGHT;
  rule(sheet.root, columns.start, flow.y, columns.end, flow.y, { stroke: COLOUR.faint, 'stroke-width': 0.4 });
}

/** The cell ends at x; its sign stands to the right of the difference. */
function drawCell(sheet: Sheet, row: ComparisonRow, decimals: number, x: number, top: number): void {
  const shown = (value: number | null): string =>
    value === null
      ? ''
      : row.basis === 'change'
        ? signed(sheet.words, value, decimals)
        : plain(sheet.words, value, decimals);
  const irons = write(sheet, sheet.root, shown(row.meanReference), x, top, {
    size: 'small',
    anchor: 'end',
    fill: COLOUR.ironsText,
  });
  write(sheet, sheet.root, shown(row.meanGroup), (row.meanReference === null ? x - 20 : irons.x) - 5, top, {
    size: 'small',
    anchor: 'end',
    fill: COLOUR.driverText,
  });
  if (row.difference === null) return;
  const loud = row.verdict === 'departs';
  write(sheet, sheet.root, signed(sheet.words, row.difference, decimals), x, top + 8.2, {
    size: 'small',
    anchor: 'end',
    weight: loud ? 'bold' : 'regular',
  });
  drawSign(sheet.root, row.verdict, x + 4.6, top + 5.8, 2.1);
}

/** Figures that a swing has once: club and tempo, one line each with interval and verdict. */
export function drawOnce(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const isOrder = ({ quantity }: ComparisonRow): boolean => topicOf(quantityById(quantity).reading) === 'order';
  const rows = comparison.rows.filter(
    (row) => row.position === 'swing' && row.basis === 'value' && hasMean(row) && !isOrder(row),
  );
  if (rows.length === 0) return;
  const order = new Map(CATALOGUE.map((quantity, i) => [quantity.id, i]));
  const place = ({ quantity }: ComparisonRow): number =>
    (order.get(quantity) ?? 0) + (quantity.startsWith('club.') ? 0 : order.size);
  const sorted = [...rows].sort((a, b) => place(a) - place(b));
  const ends = [PAGE.left + 170, PAGE.left + 230, PAGE.left + 290, PAGE.left + 395] as const;
  const { onceHeads, outside } = sheet.words.details;
  let fresh = true;
  for (const row of sorted) {
    const quantity = CATALOGUE.find((entry) => entry.id === row.quantity);
    if (quantity === undefined) continue;
    if (makeRoom(flow, 10 + (fresh ? 30 : 0)) || fresh) {
      write(sheet, sheet.root, sheet.words.details.once, PAGE.left, flow.y + 8, { size: 'middle', weight: 'bold' });
      flow.y += 21;
      [comparison.group.label, comparison.reference.label, onceHeads.difference, onceHeads.interval].forEach(
        (text, i) => {
          write(sheet, sheet.root, text, ends[i]!, flow.y, {
            size: 'small',
            anchor: 'end',
            fill: COLOUR.grey,
            width: i === 3 ? 90 : 55,
          });
        },
      );
      flow.y += 4;
      rule(sheet.root, PAGE.left, flow.y, PAGE.right, flow.y, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
      fresh = false;
    }
    const y = flow.y + 8;
    const unit = unitText(row.unit).trim();
    const decimals = decimalsIn(quantity.decimals, row.unit);
    const label = capital(labelOf(sheet.words, quantity.id));
    write(sheet, sheet.root, `${label}${unit === '' ? '' : `, ${unit}`}`, PAGE.left, y, {
      size: 'small',
      width: LABEL_WIDTH,
    });
    const number = (value: number | null, text: (v: number, d: number) => string): string =>
      value === null ? '' : text(value, decimals);
    write(
      sheet,
      sheet.root,
      number(row.meanGroup, (value, decimals) => plain(sheet.words, value, decimals)),
      ends[0],
      y,
      {
        size: 'small',
        anchor: 'end',
        fill: COLOUR.driverText,
      },
    );
    write(
      sheet,
      sheet.root,
      number(row.meanReference, (value, decimals) => plain(sheet.words, value, decimals)),
      ends[1],
      y,
      {
        size: 'small',
        anchor: 'end',
        fill: COLOUR.ironsText,
      },
    );
    write(
      sheet,
      sheet.root,
      number(row.difference, (value, decimals) => signed(sheet.words, value, decimals)),
      ends[2],
      y,
      { size: 'small', anchor: 'end' },
    );
    if (row.low95 !== null && row.high95 !== null) {
      write(
        sheet,
        sheet.root,
        fill(sheet.words.range, {
          low: signed(sheet.words, row.low95, decimals),
          high: signedWithUnit(sheet.words, row.high95, decimals, row.unit),
        }),
        ends[3],
        y,
        { size: 'small', anchor: 'end' },
      );
    }
    drawSign(sheet.root, row.verdict, ends[3] + 12, y - 2.4, 2.1);
    const verdict =
      row.verdict === 'none' && row.reason !== ''
        ? row.reason
        : row.outsideUsual
          ? fill(outside, { verdict: sheet.words.verdicts[row.verdict] })
          : sheet.words.verdicts[row.verdict];
    write(sheet, sheet.root, verdict, ends[3] + 20, y, {
      size: 'small',
      fill: COLOUR.grey,
      width: PAGE.right - ends[3] - 20,
    });
    flow.y += 10.5;
  }
  flow.y += 12;
}
