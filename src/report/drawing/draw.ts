import { shownText } from '../../base/text.ts';
import type { Words } from '../words/words.ts';
import { DrawnElement, svgText } from './element.ts';
import { fitText, textWidth, type Weight } from './textMetrics.ts';
import { COLOUR, FONT_STACK, PAGE, SIZE, type TextSize } from './theme.ts';

const SVG_NAMESPACE = 'http://www.w3.org/2000/svg';

/** A rectangle in points, y down. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export type Attributes = Readonly<Record<string, string | number>>;

export interface TextStyle {
  readonly size: TextSize;
  readonly weight?: Weight;
  readonly fill?: string;
  /** Where x is in the line; 'start' by default. */
  readonly anchor?: 'start' | 'middle' | 'end';
  /** Longest width in points; a longer text ends in an ellipsis. */
  readonly width?: number;
}

/** Ascent and descent of the faces in the font stack as browsers report them, share of the size (from memory, Liberation Sans). */
const ASCENT = 0.905;
const DESCENT = 0.212;

/** A page being drawn: the SVG element and the boxes of all text on it. */
export interface Sheet {
  /** The language it is written in. */
  readonly words: Words;
  readonly root: DrawnElement;
  readonly texts: Box[];
}

/** Coordinates with two decimals at most and no trailing zeros: enough for print, short, the same everywhere. */
export function coordinate(value: number): string {
  const rounded = Math.round(value * 100) / 100;
  return rounded === 0 ? '0' : String(rounded);
}

function element(name: string, attributes: Attributes): DrawnElement {
  const made = new DrawnElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    made.set(key, typeof value === 'number' ? coordinate(value) : value);
  }
  return made;
}

/** Appends an element to `parent`. Numbers become coordinates. */
export function add(parent: DrawnElement, name: string, attributes: Attributes = {}): DrawnElement {
  const made = element(name, attributes);
  parent.append(made);
  return made;
}

/** A titled group: its title is read out and shown when pointed at. */
export function group(parent: DrawnElement, title: string, attributes: Attributes = {}): DrawnElement {
  const made = add(parent, 'g', { role: 'group', ...attributes });
  add(made, 'title').append(shownText(title));
  return made;
}

/** Where a line of text will be: y is its baseline. */
export function textBox(text: string, x: number, y: number, style: TextStyle): Box {
  const width = textWidth(text, style.size, style.weight);
  const size = SIZE[style.size];
  const left = style.anchor === 'end' ? x - width : style.anchor === 'middle' ? x - width / 2 : x;
  return { x: left, y: y - ASCENT * size, width, height: (ASCENT + DESCENT) * size };
}

/** Writes one line of text with its baseline at y and keeps its box. Empty text writes nothing. */
export function write(sheet: Sheet, parent: DrawnElement, text: string, x: number, y: number, style: TextStyle): Box {
  const safe = shownText(text);
  const shown = style.width === undefined ? safe : fitText(safe, style.width, style.size, style.weight);
  const box = textBox(shown, x, y, style);
  if (shown === '') return box;
  const attributes: Record<string, string | number> = { x, y, 'font-size': SIZE[style.size] };
  if (style.weight === 'bold') attributes['font-weight'] = 'bold';
  if (style.anchor !== undefined && style.anchor !== 'start') attributes['text-anchor'] = style.anchor;
  if (style.fill !== undefined && style.fill !== COLOUR.ink) attributes['fill'] = style.fill;
  add(parent, 'text', attributes).append(shown);
  sheet.texts.push(box);
  return box;
}

/** True where two boxes share more than a touching edge; `gap` widens the first on all sides. */
export function overlaps(a: Box, b: Box, gap = 0): boolean {
  return (
    a.x - gap < b.x + b.width && b.x < a.x + a.width + gap && a.y - gap < b.y + b.height && b.y < a.y + a.height + gap
  );
}

/** A line; `style` as SVG attributes. */
export function rule(parent: DrawnElement, x1: number, y1: number, x2: number, y2: number, style: Attributes): void {
  add(parent, 'path', {
    d: `M${coordinate(x1)} ${coordinate(y1)}L${coordinate(x2)} ${coordinate(y2)}`,
    ...style,
  });
}

/**
 * An empty sheet of `pages` A4 landscape pages, one below the other. `title` names it and `description` says in words what it
 * shows, for readers who don't see it.
 */
export function startSheet(words: Words, title: string, description: string, pages = 1): Sheet {
  const { width } = PAGE;
  return startDrawing(words, title, description, {
    width,
    height: PAGE.height * pages,
    width_mm: 297,
    height_mm: 210 * pages,
  });
}

/** How large a drawing is: in its own coordinates, which are points, and in print. */
export interface DrawingSize {
  readonly width: number;
  readonly height: number;
  readonly width_mm: number;
  readonly height_mm: number;
}

/** An empty drawing of any size; titles as of a sheet. */
export function startDrawing(words: Words, title: string, description: string, size: DrawingSize): Sheet {
  const root = element('svg', {
    xmlns: SVG_NAMESPACE,
    lang: words.language,
    'xml:lang': words.language,
    role: 'figure',
    width: `${size.width_mm}mm`,
    height: `${size.height_mm}mm`,
    viewBox: `0 0 ${size.width} ${coordinate(size.height)}`,
    'font-family': FONT_STACK,
    'font-variant-numeric': 'tabular-nums',
    fill: COLOUR.ink,
  });
  const sheet = named(words, root, title, description);
  add(root, 'rect', { width: size.width, height: coordinate(size.height), fill: COLOUR.paper });
  return sheet;
}

/** An empty figure of its own size in points, without a page: it stands in a page of HTML or in a file. `title` and `description` as of a sheet. */
export function startFigure(words: Words, title: string, description: string, width: number, height: number): Sheet {
  const root = element('svg', {
    xmlns: SVG_NAMESPACE,
    lang: words.language,
    role: 'img',
    viewBox: `0 0 ${coordinate(width)} ${coordinate(height)}`,
    'font-family': FONT_STACK,
    'font-variant-numeric': 'tabular-nums',
    fill: COLOUR.ink,
  });
  return named(words, root, title, description);
}

/** A finished figure as an element inside a page of HTML. */
export function finishFigure(sheet: Sheet): string {
  return svgText(sheet.root);
}

/** The SVG file of a finished sheet. */
export function finishSheet(sheet: Sheet): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${finishFigure(sheet)}`;
}

/** A drawing with what a screen reader says of it, still empty. */
function named(words: Words, root: DrawnElement, title: string, description: string): Sheet {
  const sheet: Sheet = { words, root, texts: [] };
  add(root, 'title').append(shownText(title));
  add(root, 'desc').append(shownText(description));
  return sheet;
}
