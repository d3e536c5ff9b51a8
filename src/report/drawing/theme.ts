/** Page, colours and type of the sheets: ink on paper, two hues told apart also by form, three sizes. */

/** A4 landscape in points. A hair under 297 × 210 mm, so that a browser that rounds lengths to 1/64 pixel never shows text smaller than stated. */
export const PAGE = { width: 841.85, height: 595.25, left: 30, right: 811.85, top: 28, bottom: 567 } as const;

export const COLOUR = {
  ink: '#1a1a1a',
  grey: '#555555',
  hairline: '#b8b8b8',
  faint: '#e4e4e4',
  /** Driver: solid. */
  driver: '#0072b2',
  driverThin: '#7fb8d8',
  driverText: '#005a8e',
  /** Irons: dashed and banded. */
  irons: '#d55e00',
  ironsText: '#a34700',
  ironsBand1: '#f4c7a3',
  ironsBand2: '#fae6d5',
  paper: '#ffffff',
} as const;

/** Points. */
export const SIZE = { large: 14, middle: 9, small: 7 } as const;
export type TextSize = keyof typeof SIZE;

/** Distance between lines of text, points. */
export const LEADING: Readonly<Record<TextSize, number>> = { large: 18, middle: 12, small: 9 };

/** Fonts with the advance widths of the table in textMetrics.ts, wherever the sheet is opened. */
export const FONT_STACK = "Helvetica, Arial, 'Liberation Sans', sans-serif";

export const IRONS_DASH = '3.2 1.8';
