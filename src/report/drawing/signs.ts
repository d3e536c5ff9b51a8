import type { Verdict } from '../../model/comparison.ts';
import { add, coordinate, type Sheet, write } from './draw.ts';
import type { DrawnElement } from './element.ts';
import { COLOUR } from './theme.ts';

/**
 * The signs of the verdicts, drawn so that they look the same in every font: full disc departs, half disc differs slightly,
 * ring matches, point undecided; no verdict has no sign. Told by form, never by colour alone.
 */

/** Draws the sign with its centre at (x, y). */
export function drawSign(
  parent: DrawnElement,
  verdict: Verdict,
  x: number,
  y: number,
  radius = 2.3,
  colour: string = COLOUR.ink,
): void {
  const ring = { cx: x, cy: y, r: radius - 0.35, fill: COLOUR.paper, stroke: colour, 'stroke-width': 0.7 };
  if (verdict === 'departs') add(parent, 'circle', { cx: x, cy: y, r: radius, fill: colour });
  else if (verdict === 'matches') add(parent, 'circle', ring);
  else if (verdict === 'undecided') add(parent, 'circle', { cx: x, cy: y, r: 0.8, fill: colour });
  else if (verdict === 'differs-slightly') {
    add(parent, 'circle', ring);
    const r = radius - 0.35;
    add(parent, 'path', {
      d: `M${coordinate(x)} ${coordinate(y - r)}A${coordinate(r)} ${coordinate(r)} 0 0 0 ${coordinate(x)} ${coordinate(y + r)}Z`,
      fill: colour,
    });
  }
}

/** The key to the signs on one line from x on, its baseline at y; returns where it ends. */
export function drawSignKey(sheet: Sheet, parent: DrawnElement, x: number, y: number): number {
  let at = x;
  for (const verdict of ['departs', 'differs-slightly', 'matches', 'undecided'] as const) {
    drawSign(parent, verdict, at + 2.3, y - 2.5);
    const box = write(sheet, parent, sheet.words.verdicts[verdict], at + 7, y, { size: 'small', fill: COLOUR.grey });
    at = box.x + box.width + 12;
  }
  return at;
}
