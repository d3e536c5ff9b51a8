import { quantityById } from '../../model/catalogue.ts';
import type { Sheet } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { LEADING, PAGE } from '../drawing/theme.ts';
import { speedWords, withUnit } from '../sentences/numbers.ts';
import { catalogueOrder } from '../sentences/ranking.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';
import { absentTexts, marksOf, wordsOf } from './impact.ts';
import { BAND_LINE, drawMarks } from './swingMarks.ts';

/** Every figure of the club, each swing a mark: those of the sheet and the others, four beside one another. */

const COLUMNS = 4;
const GAP = 22;
const HEIGHT = 40;

/** Draws the rows, nothing where no swing has a figure of the club; below them what is missing, with its reason. */
export function drawClubMarks(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { comparison } = view;
  const all = comparison.marks
    .filter(({ quantity }) => quantity.startsWith('club.') && marksOf(comparison, quantity) !== null)
    .sort((a, b) => catalogueOrder(a) - catalogueOrder(b));
  if (all.length === 0) return;
  drawHeading(sheet, flow, sheet.words.details.headings.club, HEIGHT + BAND_LINE);
  flow.y += 2;
  const width = (PAGE.right - PAGE.left - GAP * (COLUMNS - 1)) / COLUMNS;
  for (let i = 0; i < all.length; i += COLUMNS) {
    const row = all.slice(i, i + COLUMNS).map((marks) => ({ marks, said: wordsOf(sheet.words, view, marks) }));
    const extra = row.some(({ said }) => said.band !== null) ? BAND_LINE : 0;
    makeRoom(flow, HEIGHT + extra);
    row.forEach(({ marks, said }, k) => {
      const height = HEIGHT + (said.band === null ? 0 : BAND_LINE) - 4;
      drawMarks(sheet, comparison, marks, said, { x: PAGE.left + k * (width + GAP), y: flow.y, width, height });
    });
    flow.y += HEIGHT + extra;
  }
  const speeds = speedsText(sheet.words, view);
  if (speeds !== '') drawParagraph(sheet, flow, '', speeds);
  for (const text of absentTexts(
    sheet.words,
    comparison,
    comparison.rows.map(({ quantity }) => quantity),
  )) {
    drawParagraph(sheet, flow, '', text);
  }
  flow.y += LEADING.small;
}

/** 'Mean head speed: driver 41.2 m/s (92 mph), irons 33.3 m/s (74 mph).' */
function speedsText(words: Words, { comparison }: PlayerView): string {
  const row = comparison.rows.find(({ quantity, basis }) => quantity === 'club.head_speed' && basis === 'value');
  const { decimals } = quantityById('club.head_speed');
  const speed = (mean: number): string =>
    row === undefined || row.unit === 'm/s'
      ? speedWords(words, mean, decimals)
      : withUnit(words, mean, decimals, row.unit);
  const said = [
    { label: comparison.group.label, mean: row?.meanGroup },
    { label: comparison.reference.label, mean: row?.meanReference },
  ].flatMap(({ label, mean }) => (mean === undefined || mean === null ? [] : [`${label} ${speed(mean)}`]));
  return said.length === 0 ? '' : fill(words.details.speeds, { speeds: said.join(', ') });
}
