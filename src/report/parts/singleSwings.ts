import { quantityById } from '../../model/catalogue.ts';
import type { PositionId } from '../../model/positions.ts';
import type { Quantity } from '../../model/quantity.ts';
import { DEFAULT_REPORT, type ReportSettings, reportUnit } from '../../model/reportSettings.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import { toDisplay } from '../../model/units.ts';
import { type Box, rule, type Sheet, write } from '../drawing/draw.ts';
import { fitMiddle, textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, SIZE, type TextSize } from '../drawing/theme.ts';
import { counted, decimalsIn, plain, unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** Values of single swings, one column a swing: what a sheet without a comparison has to show. */

const FULL = [
  'pelvis.turn',
  'pelvis.side_bend',
  'pelvis.forward_bend',
  'thorax.turn',
  'thorax.side_bend',
  'thorax.forward_bend',
] as const;
const REDUCED = ['pelvis_line.turn', 'shoulder_line.turn', 'trunk_axis.to_trail', 'trunk_axis.to_ball'] as const;
const CLUB = ['club.head_speed', 'club.attack', 'club.path'] as const;
const PLACES: readonly (readonly PositionId[])[] = [['P1'], ['P4', 'P4(arm)'], ['P5.5', 'P5'], ['P7']];

const MOST_SWINGS = 8;
const LABEL_WIDTH = 170;
const PLACE_WIDTH = 42;
const GAP = 4;

/** The swings to show and what they are called. */
function chosenSwings(
  words: Words,
  view: PlayerView,
): { readonly label: string; readonly records: readonly SwingRecord[] } {
  const { group, reference } = view.comparison;
  const ordered = [...view.records].sort((a, b) => a.head.order - b.head.order);
  for (const side of [group, reference]) {
    const records = ordered.filter((record) => side.trials.includes(record.head.trial));
    if (records.length > 0) return { label: side.label, records };
  }
  return { label: words.sheet.nothing.allClubs, records: ordered };
}

/** The value in display units, null where missing. */
function cellValue(record: SwingRecord, quantity: Quantity, position: PositionId | 'swing'): number | null {
  const cell = record.cells.find(
    (entry) => entry.quantity === quantity.id && entry.position === position && entry.order === quantity.order,
  );
  if (cell === undefined || cell.value === null || !Number.isFinite(cell.value)) return null;
  return toDisplay(cell.value, quantity.unit);
}

interface Line {
  readonly place: string;
  readonly values: readonly (number | null)[];
}

interface Block {
  readonly quantity: Quantity;
  readonly lines: readonly Line[];
}

function hasValue({ values }: Line): boolean {
  return values.some((value) => value !== null);
}

/** The quantity in the unit of the report. */
function writtenIn(quantity: Quantity, settings: ReportSettings): Quantity {
  const unit = reportUnit(quantity.unit, settings);
  return { ...quantity, unit, decimals: decimalsIn(quantity.decimals, unit) };
}

/** Quantities with at least one value at a shown position; a position that no swing has is not replaced within a swing. */
function blocksOf(records: readonly SwingRecord[], settings: ReportSettings): Block[] {
  const known = (id: string): Quantity => writtenIn(quantityById(id), settings);
  const ids: readonly string[] = records.every(({ form }) => form === 'reduced') ? REDUCED : FULL;
  const lineOf = (quantity: Quantity, position: PositionId | 'swing', place: string): Line => ({
    place,
    values: records.map((record) => cellValue(record, quantity, position)),
  });
  const positions = PLACES.map(
    (names) =>
      names.find((name) => ids.some((id) => hasValue(lineOf(known(id), name, name)))) ?? (names[0] as PositionId),
  );
  const body = ids.map(known).map((quantity) => ({
    quantity,
    lines: positions.map((position) => lineOf(quantity, position, position)),
  }));
  const club = CLUB.map(known).map((quantity) => ({ quantity, lines: [lineOf(quantity, 'swing', 'P7')] }));
  return [
    ...body.filter(({ lines }) => lines.some(hasValue)),
    ...(club.some(({ lines }) => lines.some(hasValue)) ? club : []),
  ];
}

/** Draws the table from the top of `box`, in the middle size where it fits, and returns where it ends; nothing where no swing has a value. */
export function drawSingleSwings(sheet: Sheet, view: PlayerView, box: Box): number {
  const { label, records } = chosenSwings(sheet.words, view);
  const shown = records.slice(0, MOST_SWINGS);
  const blocks = blocksOf(shown, view.settings ?? DEFAULT_REPORT);
  if (blocks.length === 0) return box.y;
  const lines = blocks.reduce((sum, block) => sum + block.lines.length, 0);
  const heightAt = (leading: number): number => 38 + leading * lines + GAP * blocks.length + LEADING.small;
  const size: TextSize = heightAt(LEADING.middle - 0.5) <= box.height ? 'middle' : 'small';
  const leading = size === 'middle' ? LEADING.middle - 0.5 : LEADING.small;
  const left = box.x + LABEL_WIDTH + PLACE_WIDTH;
  const width = Math.min(96, (box.x + box.width - left) / shown.length);
  const right = left + width * shown.length;
  const bottom = box.y + box.height;

  const { swingsOf, firstSwingsOf } = sheet.words.sheet.nothing;
  const template = shown.length < records.length ? firstSwingsOf : swingsOf;
  const swings = counted(sheet.words, records.length, 'swing');
  write(sheet, sheet.root, fill(template, { label, n: shown.length, swings }), box.x, box.y + SIZE.middle, {
    size: 'middle',
    weight: 'bold',
    width: box.width,
  });
  let y = box.y + 26;
  shown.forEach(({ head }, i) => {
    const name = fitMiddle(head.trial, width - 8, 'small');
    write(sheet, sheet.root, name, left + width * (i + 1), y, { size: 'small', anchor: 'end', fill: COLOUR.grey });
  });
  y += 4;
  rule(sheet.root, box.x, y, right, y, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  for (const block of blocks) {
    if (y + leading * block.lines.length + GAP + LEADING.small > bottom) break;
    y += GAP / 2;
    drawBlock(sheet, block, box.x, y, { size, leading, left, width });
    y += leading * block.lines.length + GAP / 2;
    rule(sheet.root, box.x, y, right, y, { stroke: COLOUR.faint, 'stroke-width': 0.4 });
  }
  write(sheet, sheet.root, captionOf(sheet.words, shown), box.x, y + LEADING.small, {
    size: 'small',
    fill: COLOUR.grey,
    width: box.width,
  });
  return y + LEADING.small + 2;
}

interface Columns {
  readonly size: TextSize;
  readonly leading: number;
  readonly left: number;
  readonly width: number;
}

function drawBlock(sheet: Sheet, { quantity, lines }: Block, x: number, top: number, columns: Columns): void {
  const { size, leading, left, width } = columns;
  const unit = unitText(quantity.unit).trim();
  const said = sheet.words.quantities.of(quantity.id);
  const name = `${capital(said.label)}${unit === '' ? '' : `, ${unit}`}`;
  const baseline = (i: number): number => top + leading * (i + 1) - (leading - SIZE[size]) / 2 - 1;
  write(sheet, sheet.root, name, x, baseline(0), { size, width: LABEL_WIDTH - 6 });
  const plus = ['m/s', 'mph'].includes(quantity.unit) ? '' : `+ ${said.plus}`;
  const beside = x + textWidth(name, size) + 6;
  const [at, line] = lines.length > 1 ? [x, 1] : [beside, 0];
  if (at + textWidth(plus, 'small') <= x + LABEL_WIDTH - 4) {
    write(sheet, sheet.root, plus, at, baseline(line), { size: 'small', fill: COLOUR.grey });
  }
  lines.forEach(({ place, values }, i) => {
    write(sheet, sheet.root, place, x + LABEL_WIDTH, baseline(i), { size, fill: COLOUR.grey });
    values.forEach((value, k) => {
      const text = value === null ? '–' : plain(sheet.words, value, quantity.decimals);
      write(sheet, sheet.root, text, left + width * (k + 1), baseline(i), { size, anchor: 'end' });
    });
  });
}

function captionOf(words: Words, shown: readonly SwingRecord[]): string {
  const marker = shown.some(({ headPoint }) => headPoint !== null && headPoint.kind !== 'face-centre');
  return [words.sheet.nothing.caption, marker ? words.sheet.nothing.marker : '']
    .filter((text) => text !== '')
    .join(' ');
}
