import { rule, type Sheet, write } from '../drawing/draw.ts';
import { fitText, textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, IRONS_DASH, type TextSize } from '../drawing/theme.ts';

/** Draws the lines of the two sides with their labels, none longer than `most`, ending at `right` with the baseline at y; returns what is free to the left. */
export function drawClubKey(
  sheet: Sheet,
  labels: { readonly group: string; readonly reference: string },
  right: number,
  y: number,
  size: TextSize,
  most: number,
): number {
  const keys = [
    {
      label: labels.reference,
      style: { stroke: COLOUR.irons, 'stroke-width': 1.2, 'stroke-dasharray': IRONS_DASH },
      fill: COLOUR.ironsText,
    },
    { label: labels.group, style: { stroke: COLOUR.driver, 'stroke-width': 1.6 }, fill: COLOUR.driverText },
  ];
  let end = right;
  for (const { label, style, fill } of keys) {
    const shown = fitText(label, most, size);
    const width = textWidth(shown, size);
    write(sheet, sheet.root, shown, end - width, y, { size, fill });
    rule(sheet.root, end - width - 24, y - 3, end - width - 4, y - 3, style);
    end -= width + 40;
  }
  return end;
}
