import { type Sheet, write } from '../drawing/draw.ts';
import { fitMiddle, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { counted } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';
import { drawSingleSwings } from './singleSwings.ts';

/** Lines kept free below the table for trials that were not used. */
const LINES_KEPT = 6;

/** Where there is no comparison: what there is, what one needs, the values of single swings, and why trials are missing. */
export function drawNothingCompared(sheet: Sheet, view: PlayerView, from: number, to: number): void {
  const { group, reference } = view.comparison;
  let y = from;
  const say = (text: string, fill: string = COLOUR.ink): void => {
    for (const line of wrapText(text, 560, 'middle', 'regular', 3)) {
      if (y > to) return;
      write(sheet, sheet.root, line, PAGE.left, y, { size: 'middle', fill });
      y += LEADING.middle;
    }
  };
  say(
    `Used: ${group.label} ${counted(group.trials.length, 'swing')}, ${reference.label} ${counted(reference.trials.length, 'swing')}. A verdict needs 5 of each; 8 of each settle far more.`,
  );
  const others = view.outcomes.filter((outcome) => outcome.status !== 'used');
  const kept = LEADING.middle * Math.min(LINES_KEPT, 2 * others.length) + (others.length > 0 ? 22 : 0);
  const end = drawSingleSwings(sheet, view, {
    x: PAGE.left,
    y,
    width: PAGE.right - PAGE.left,
    height: to - kept - y,
  });
  y = end + (end > y ? 18 : 8);
  const fitting = Math.max(0, Math.floor((to - y - 24) / 24));
  for (const outcome of others.slice(0, fitting)) {
    say(
      `${fitMiddle(outcome.trial, 240, 'middle')}: ${outcome.status.replace('-', ' ')}, ${outcome.reason}`,
      COLOUR.grey,
    );
  }
  if (others.length > fitting) say(`and ${others.length - fitting} more (details)`, COLOUR.grey);
}
