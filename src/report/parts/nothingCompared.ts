import { type Sheet, write } from '../drawing/draw.ts';
import { fitMiddle, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { counted } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import { drawSingleSwings } from './singleSwings.ts';

/** Lines kept free below the table for trials that were not used. */
const LINES_KEPT = 6;

/** Where there is no comparison: what there is, what one needs, the values of single swings, and why trials are missing. */
export function drawNothingCompared(sheet: Sheet, view: PlayerView, from: number, to: number): void {
  const { group, reference } = view.comparison;
  const { words } = sheet;
  const { nothing } = words.sheet;
  let y = from;
  const say = (text: string, fill: string = COLOUR.ink): void => {
    for (const line of wrapText(text, 560, 'middle', 'regular', 3)) {
      if (y > to) return;
      write(sheet, sheet.root, line, PAGE.left, y, { size: 'middle', fill });
      y += LEADING.middle;
    }
  };
  say(
    fill(nothing.used, {
      group: group.label,
      groupSwings: counted(words, group.trials.length, 'swing'),
      reference: reference.label,
      referenceSwings: counted(words, reference.trials.length, 'swing'),
    }),
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
      fill(nothing.trial, {
        trial: fitMiddle(outcome.trial, 240, 'middle'),
        status: words.status[outcome.status],
        reason: outcome.reason,
      }),
      COLOUR.grey,
    );
  }
  if (others.length > fitting) say(fill(nothing.more, { n: others.length - fitting }), COLOUR.grey);
}
