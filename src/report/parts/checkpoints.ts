import type { CheckpointResult, CheckpointState } from '../../model/checkpoint.ts';
import type { PlayerComparison } from '../../model/comparison.ts';
import { add, coordinate, type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { checkpointText, countText, stateText } from '../sentences/checkpoint.ts';
import { fill } from '../words/fill.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** The rules a coach reads a swing by, one below the other: state by sign and word, the rule, what was read. */

const STATE = PAGE.left + 10;
const NAME = PAGE.left + 84;
const NAME_WIDTH = 176;
const TEXT = NAME + NAME_WIDTH + 10;

/** A tick, a cross or a dash with its centre at (x, y): told by form. */
function drawState(sheet: Sheet, state: CheckpointState, x: number, y: number): void {
  const at = (dx: number, dy: number): string => `${coordinate(x + dx)} ${coordinate(y + dy)}`;
  const d = {
    met: `M${at(-2.4, 0.2)}L${at(-0.6, 2)}L${at(2.4, -2)}`,
    'not-met': `M${at(-2, -2)}L${at(2, 2)}M${at(-2, 2)}L${at(2, -2)}`,
    'not-measured': `M${at(-2, 0)}L${at(2, 0)}`,
  }[state];
  add(sheet.root, 'path', { d, fill: 'none', stroke: COLOUR.ink, 'stroke-width': 1 });
}

/** Lines of a name or of a source; its reading may have twice as many. A rule is written by the reader and may be of any length. */
const MOST_LINES = 6;

/** The block of the details; nothing where no rule was read. */
export function drawCheckpoints(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const { checkpoints } = comparison;
  if (checkpoints.length === 0) return;
  drawHeading(
    sheet,
    flow,
    fill(sheet.words.details.headings.checkpoints, {
      group: comparison.group.label,
      counts: countText(sheet.words, checkpoints),
    }),
    40,
  );
  drawParagraph(sheet, flow, '', sheet.words.details.checkpoints);
  for (const result of checkpoints) drawOne(sheet, flow, result, comparison);
  flow.y += 6;
}

function drawOne(sheet: Sheet, flow: Flow, result: CheckpointResult, { reference }: PlayerComparison): void {
  const { name, source } = result.checkpoint;
  const names = wrapText(name, NAME_WIDTH, 'small', 'bold', MOST_LINES);
  const sources = wrapText(source, NAME_WIDTH, 'small', 'regular', MOST_LINES);
  const said = checkpointText(sheet.words, result, { reference: reference.label });
  const texts = wrapText(said, PAGE.right - TEXT, 'small', 'regular', 2 * MOST_LINES);
  const height = LEADING.small * Math.max(names.length + sources.length, texts.length) + 3;
  makeRoom(flow, height);
  const line = (i: number): number => flow.y + 7 + LEADING.small * i;
  drawState(sheet, result.state, PAGE.left + 3, line(0) - 2.5);
  write(sheet, sheet.root, stateText(sheet.words, result), STATE, line(0), { size: 'small', width: NAME - STATE - 4 });
  names.forEach((text, i) => {
    write(sheet, sheet.root, text, NAME, line(i), { size: 'small', weight: 'bold' });
  });
  sources.forEach((text, i) => {
    write(sheet, sheet.root, text, NAME, line(names.length + i), { size: 'small', fill: COLOUR.grey });
  });
  texts.forEach((text, i) => {
    write(sheet, sheet.root, text, TEXT, line(i), { size: 'small' });
  });
  flow.y += height;
}
