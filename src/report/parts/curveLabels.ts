import { extent } from 'd3-array';
import type { CurveSummary, PlayerComparison } from '../../model/comparison.ts';
import { CURVE_STEPS } from '../../model/swingRecord.ts';
import { type Box, overlaps, type Sheet, textBox, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR } from '../drawing/theme.ts';

/** Words inside a panel of curves, placed where they cover no curve. */

type Scale = (value: number) => number;

/** Small boxes over the means and the edges of the band: what a word should not be written on. */
export function inkBoxes(curve: CurveSummary, times: Float64Array, x: Scale, y: Scale): Box[] {
  const boxes: Box[] = [];
  for (let i = 0; i < CURVE_STEPS; i++) {
    const sd = Number.isFinite(curve.referenceSd[i]!) ? curve.referenceSd[i]! : 0;
    const values = [curve.referenceMean[i]! - 2 * sd, curve.referenceMean[i]! + 2 * sd, curve.groupMean[i]!];
    const [low, high] = extent(values.filter(Number.isFinite));
    if (low === undefined) continue;
    boxes.push({ x: x(times[i]!) - 2, y: y(high!) - 1, width: 4, height: y(low) - y(high!) + 2 });
  }
  return boxes;
}

/** The words of a direction at the left or the right end of the panel, whichever covers less ink. */
export function writeClear(
  sheet: Sheet,
  panel: DrawnElement,
  text: string,
  plot: Box,
  baseline: number,
  ink: readonly Box[],
): void {
  const width = Math.min(textWidth(text, 'small'), plot.width - 4);
  const places = [plot.x + 3, plot.x + (plot.width - width) / 2, plot.x + plot.width - width - 2];
  const cost = (left: number): number =>
    ink.filter((box) => overlaps(textBox(text, left, baseline, { size: 'small' }), box)).length;
  const best = places.reduce((chosen, left) => (cost(left) < cost(chosen) ? left : chosen));
  write(sheet, panel, text, best, baseline, { size: 'small', fill: COLOUR.grey, width: plot.width - 4 });
}

/** 'driver' and 'irons' beside their lines in the first panel, where the two are furthest apart and there is room. */
export function nameLines(
  sheet: Sheet,
  panel: DrawnElement,
  comparison: PlayerComparison,
  curve: CurveSummary,
  times: Float64Array,
  x: Scale,
  y: Scale,
  plot: Box,
  ink: readonly Box[],
): void {
  const names = [
    { label: comparison.group.label, values: curve.groupMean, other: curve.referenceMean, fill: COLOUR.driverText },
    { label: comparison.reference.label, values: curve.referenceMean, other: curve.groupMean, fill: COLOUR.ironsText },
  ];
  for (const { label, values, other, fill } of names) {
    let best: { x: number; y: number; cost: number } | null = null;
    for (let i = 0; i < CURVE_STEPS; i += 2) {
      if (!Number.isFinite(values[i]!)) continue;
      // on the side away from the other line
      const above = !(values[i]! < other[i]!);
      for (const shift of above ? [-5, -9, -14] : [10, 14, 19]) {
        const place = { x: x(times[i]!), y: y(values[i]!) + shift };
        const box = textBox(label, place.x, place.y, { size: 'small', anchor: 'middle' });
        if (
          box.x < plot.x ||
          box.x + box.width > plot.x + plot.width ||
          box.y < plot.y ||
          box.y + box.height > plot.y + plot.height
        )
          continue;
        if (sheet.texts.some((other) => overlaps(box, other, 1))) continue;
        const cost = Math.abs(shift) + 20 * ink.filter((other) => overlaps(box, other)).length;
        if (best === null || cost < best.cost) best = { ...place, cost };
      }
    }
    if (best !== null && best.cost < 20)
      write(sheet, panel, label, best.x, best.y, { size: 'small', anchor: 'middle', fill });
  }
}
