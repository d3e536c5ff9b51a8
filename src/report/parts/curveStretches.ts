import type { CurveSummary } from '../../model/comparison.ts';
import { CURVE_STEPS } from '../../model/swingRecord.ts';
import { add, type Box } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { listed } from '../sentences/numbers.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** Where the curves of a panel differ: a bar under its axis, and words for those who do not see it. */

type Scale = (value: number) => number;

/** Height of the bar that says where the curves differ, points; it lies on the axis, between it and the names of the positions. */
const BAR_HEIGHT = 1.8;

/** A bar under the axis along every stretch where the curves differ. */
export function drawStretches(
  panel: DrawnElement,
  curve: CurveSummary,
  times: Float64Array,
  x: Scale,
  plot: Box,
): void {
  for (const { from, to } of curve.stretches) {
    // half a step on both sides, so that one step alone is seen
    const left = 0.5 * (x(times[from]!) + x(times[Math.max(0, from - 1)]!));
    const right = 0.5 * (x(times[to]!) + x(times[Math.min(CURVE_STEPS - 1, to + 1)]!));
    add(panel, 'rect', {
      x: left,
      y: plot.y + plot.height + 0.4,
      width: Math.max(0.6, right - left),
      height: BAR_HEIGHT,
    });
  }
}

/** '; the curves differ from P4 to half-way P5–P6', or '' */
export function differsText(words: Words, curve: CurveSummary | null): string {
  const { stretch, differs } = words.sheet.curves;
  const names = curve?.stretches.map(({ name }) => stretch(name));
  return names === undefined || names.length === 0 ? '' : fill(differs, { stretches: listed(words, names) });
}
