import type { ComparisonRow, CurveSummary, MeanFigures, PlayerComparison, SwingMarks } from '../model/comparison.ts';
import { ORDER_METHODS, type OrderMethod } from '../model/orderOfMotion.ts';
import type { OrderLink, OrderSummary } from '../model/orderSummary.ts';
import { POSITIONS } from '../model/positions.ts';
import { type Box, finishSheet, type Sheet, startDrawing } from './drawing/draw.ts';
import { firstOf } from './drawing/element.ts';
import { startFlow } from './drawing/flow.ts';
import { drawSignKey } from './drawing/signs.ts';
import { drawClubKey } from './parts/clubKey.ts';
import { curveRows, drawCurve, drawnCurve, knownStepTimes } from './parts/curves.ts';
import { drawTable, hasMean } from './parts/detailsTable.ts';
import { drawFigures, shownFigures } from './parts/figures.ts';
import { IMPACT_ROWS, marksOf, wordsOf } from './parts/impact.ts';
import { drawOrderPanel, linksOf } from './parts/orderPanel.ts';
import { BAND_LINE, drawMarks } from './parts/swingMarks.ts';
import { dayText, sheetTitle } from './playerSheet.ts';
import { methodName } from './sentences/orderWords.ts';
import { capital } from './sentences/ranking.ts';
import { labelOf } from './sentences/words.ts';
import { spoken } from './spoken.ts';
import type { PlayerView } from './views.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

/**
 * The panels of a player's sheets, each as a drawing of its own for a paper or a talk. Widths of one and of two columns, type of 7 and
 * 9 points at that size, no line under 0.5 points: what journals commonly ask for (common practice, no source).
 */

/** A panel with what it shows. */
export type FigurePanel = { readonly name: string } & (
  | { readonly kind: 'positions'; readonly figures: readonly MeanFigures[] }
  /** `times`: of the steps as drawn, null where they are drawn evenly. */
  | { readonly kind: 'curve'; readonly curve: CurveSummary; readonly times: Float64Array | null }
  | { readonly kind: 'swings'; readonly marks: SwingMarks }
  | {
      readonly kind: 'order';
      readonly method: OrderMethod;
      readonly summary: OrderSummary;
      readonly links: readonly OrderLink[];
    }
  | { readonly kind: 'table'; readonly rows: readonly ComparisonRow[] }
);

/** Millimetres. */
export const COLUMN_WIDTH_MM = { single: 88, double: 180 } as const;
/** Points. */
export const THINNEST_LINE = 0.5;

const POINTS_PER_MM = 72 / 25.4;
/** Free on every side, points. */
const EDGE = 4;
/** Height of the key to the two sides, and of the key to the signs below it, points. */
const KEY = 13;
const CURVE_HEIGHT = 150;
const STRIP_HEIGHT = 124;
const SWINGS_HEIGHT = 48;
/** A table has at most so many positions side by side; more go below. */
const MOST_POSITIONS = 7;

/** What there is to draw for a player, in the order of the sheets; empty where nothing is compared. */
export function panelsOf({ comparison }: PlayerView): readonly FigurePanel[] {
  const panels: FigurePanel[] = [];
  const figures = shownFigures(comparison);
  if (figures.length > 0) panels.push({ kind: 'positions', name: 'positions', figures });
  const times = knownStepTimes(comparison);
  for (const quantity of curveRows(comparison).flat()) {
    const curve = drawnCurve(comparison, quantity);
    if (curve !== null) panels.push({ kind: 'curve', name: `curve-${quantity}`, curve, times });
  }
  for (const quantity of IMPACT_ROWS) {
    const marks = marksOf(comparison, quantity);
    if (marks !== null) panels.push({ kind: 'swings', name: `swings-${quantity}`, marks });
  }
  const summary = comparison.orderOfMotion;
  if (summary !== null) {
    for (const method of ORDER_METHODS) {
      const links = linksOf(summary, method);
      const name = `order-${method.replace('_', '-')}`;
      if (links.length > 0) panels.push({ kind: 'order', name, method, summary, links });
    }
  }
  const rows = tableRows(comparison);
  if (rows.length > 0) panels.push({ kind: 'table', name: 'table', rows });
  return panels;
}

/** Rows of the table: the primary quantities at the positions that are primary for any of them. */
function tableRows({ rows, options }: PlayerComparison): readonly ComparisonRow[] {
  const primary = options.primary.map((text) => text.split('@'));
  const quantities = new Set(primary.map(([quantity]) => quantity));
  const positions = new Set(primary.map(([, position]) => position));
  return rows.filter(
    (row) =>
      row.basis === 'value' &&
      row.position !== 'swing' &&
      hasMean(row) &&
      quantities.has(row.quantity) &&
      positions.has(row.position),
  );
}

/** The panel as an SVG file. The same view gives the same bytes. */
export function renderPanel(given: PlayerView, panel: FigurePanel): string {
  const { words, view } = spoken(given);
  const { panels } = words.sheet;
  const { comparison } = view;
  const isWide = panel.kind === 'positions' || panel.kind === 'table';
  const width_mm = isWide ? COLUMN_WIDTH_MM.double : COLUMN_WIDTH_MM.single;
  const width = Math.round(100 * width_mm * POINTS_PER_MM) / 100;
  const size = { width, width_mm, height: 0, height_mm: 0 };
  const description = fill(panels.description, {
    day: dayText(view),
    reference: comparison.reference.label,
    name: panel.name,
  });
  const sheet = startDrawing(
    words,
    fill(panels.title, { sheet: sheetTitle(words, view), panel: titleOf(words, view, panel) }),
    description,
    size,
  );
  let bottom = drawInto(sheet, view, panel, { x: EDGE, y: EDGE, width: width - 2 * EDGE });
  const labels = { group: keyLabel(words, comparison.group), reference: keyLabel(words, comparison.reference) };
  drawClubKey(sheet, labels, width - EDGE, bottom + KEY - 3, 'small', width / 2 - 44);
  bottom += KEY;
  if (panel.kind !== 'order' && panel.kind !== 'positions') {
    drawSignKey(sheet, sheet.root, EDGE, bottom + KEY - 5);
    bottom += KEY;
  }
  finishPanel(sheet, bottom);
  return finishSheet(sheet);
}

/** 'driver, n = 8' */
function keyLabel(words: Words, { label, trials }: PlayerComparison['group']): string {
  return fill(words.sheet.figureSide, { label, n: trials.length });
}

function titleOf(words: Words, view: PlayerView, panel: FigurePanel): string {
  const { panels } = words.sheet;
  switch (panel.kind) {
    case 'positions':
      return panels.positions;
    case 'curve':
      return fill(panels.curve, { quantity: labelOf(words, panel.curve.quantity) });
    case 'swings':
      return fill(words.sheet.impact.eachSwing, { title: wordsOf(words, view, panel.marks).title });
    case 'order':
      return fill(panels.order, { method: methodName(words, panel.method) });
    case 'table':
      return panels.table;
  }
}

type Place = Pick<Box, 'x' | 'y' | 'width'>;

/** Draws the panel from the top of `place` down; returns where it ends. */
function drawInto(sheet: Sheet, view: PlayerView, panel: FigurePanel, place: Place): number {
  const { comparison } = view;
  switch (panel.kind) {
    case 'positions':
      drawFigures(sheet, comparison, { ...place, height: STRIP_HEIGHT });
      return place.y + STRIP_HEIGHT;
    case 'curve':
      drawCurve(sheet, comparison, panel.curve.quantity, { ...place, height: CURVE_HEIGHT }, true);
      return place.y + CURVE_HEIGHT;
    case 'swings': {
      const said = wordsOf(sheet.words, view, panel.marks);
      const height = SWINGS_HEIGHT + (said.band === null ? 0 : BAND_LINE);
      drawMarks(sheet, comparison, panel.marks, said, { ...place, height });
      return place.y + height;
    }
    case 'order': {
      const title = capital(methodName(sheet.words, panel.method));
      return drawOrderPanel(sheet, comparison, panel.summary, panel.method, title, 'mean and sd', place);
    }
    case 'table':
      return drawPrimary(sheet, comparison, panel.rows, place);
  }
}

/** The table of primary quantities, its positions in blocks one below the other where there are many. */
function drawPrimary(sheet: Sheet, comparison: PlayerComparison, rows: readonly ComparisonRow[], place: Place): number {
  const quantities = new Set(rows.map(({ quantity }) => quantity));
  const shown = new Set<string>(rows.map(({ position }) => position));
  const positions = POSITIONS.filter((position) => shown.has(position));
  const flow = { ...startFlow(0), y: place.y, endless: true };
  for (let from = 0; from < positions.length; from += MOST_POSITIONS) {
    const block = positions.slice(from, from + MOST_POSITIONS);
    drawTable(
      sheet,
      flow,
      comparison,
      'value',
      sheet.words.sheet.panels.table,
      (quantity) => quantities.has(quantity.id),
      {
        left: place.x,
        right: place.x + place.width,
        shows: (position) => block.includes(position),
      },
    );
  }
  return flow.y;
}

/** Sets the height of the drawing, and makes its thinnest lines as thick as print needs. */
function finishPanel(sheet: Sheet, bottom: number): void {
  const height = Math.ceil(bottom);
  const { root } = sheet;
  root.set('height', `${Math.round((100 * height) / POINTS_PER_MM) / 100}mm`);
  root.set('viewBox', (root.attribute('viewBox') ?? '').replace(/\S+$/, String(height)));
  firstOf(root, 'rect')?.set('height', String(height));
  for (const element of root.all()) {
    if (Number(element.attribute('stroke-width') ?? THINNEST_LINE) < THINNEST_LINE)
      element.set('stroke-width', String(THINNEST_LINE));
  }
}
