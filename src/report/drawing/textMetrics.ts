import { SIZE, type TextSize } from './theme.ts';

/**
 * Widths of text without a browser: advance widths in thousandths of an em of the sans-serif faces in the font stack,
 * which share them (from memory of the published metrics of Helvetica and Helvetica Bold; a browser test holds them to the
 * widths measured there).
 */
const REGULAR: ReadonlyMap<string, number> = widths(
  [191, "'"],
  [222, 'ijl’‘'],
  [260, '|'],
  [278, ' !,./:;I[\\]ft\u00a0·'],
  [333, '()-r`“”'],
  [334, '{}'],
  [355, '"'],
  [389, '*'],
  [400, '°'],
  [469, '^'],
  [500, 'Jcksvxyzç'],
  [556, '#$0123456789?L_abdeghnopqu–àáâãäåèéêëñòóôõöùúûü'],
  [584, '+<=>~−±×'],
  [611, 'FTZß'],
  [667, '&ABEKPSVXYÀÁÂÃÄÅÈÉÊË'],
  [722, 'CDHNRUwÇÑÙÚÛÜ'],
  [778, 'GOQÒÓÔÕÖ'],
  [833, 'Mm'],
  [889, '%æ'],
  [944, 'W'],
  [1000, '…—Æ'],
  [1015, '@'],
);

const BOLD: ReadonlyMap<string, number> = widths(
  [238, "'"],
  [278, ' ,./I\\ijl\u00a0·’‘'],
  [280, '|'],
  [333, '!()-:;[]`ft'],
  [389, '*r{}'],
  [400, '°'],
  [474, '"'],
  [500, 'z“”'],
  [556, '#$0123456789J_aceksvxyç–àáâãäåèéêë'],
  [584, '+<=>^~−±×'],
  [611, '?FLTZbdghnopquñòóôõöùúûüß'],
  [667, 'EPSVXYÈÉÊË'],
  [722, '&ABCDHKNRUÀÁÂÃÄÅÇÑÙÚÛÜ'],
  [778, 'GOQwÒÓÔÕÖ'],
  [833, 'M'],
  [889, '%mæ'],
  [944, 'W'],
  [975, '@'],
  [1000, '…—Æ'],
);

/** A character outside the table is taken as wide as a full-width one, so that a box is rather too large. */
const UNKNOWN = 1000;

export type Weight = 'regular' | 'bold';

function widths(...rows: readonly (readonly [number, string])[]): ReadonlyMap<string, number> {
  return new Map(
    rows.flatMap(([width, characters]) => [...characters].map((character) => [character, width] as const)),
  );
}

/** Width of one line of text, points. */
export function textWidth(text: string, size: TextSize, weight: Weight = 'regular'): number {
  const table = weight === 'bold' ? BOLD : REGULAR;
  let sum = 0;
  for (const character of text) sum += table.get(character) ?? UNKNOWN;
  return (sum * SIZE[size]) / 1000;
}

/** 'middle' where the text is no wider than `width` points in it, otherwise 'small'. */
export function sizeWithin(text: string, width: number, weight: Weight = 'regular'): 'middle' | 'small' {
  return textWidth(text, 'middle', weight) <= width ? 'middle' : 'small';
}

/** The text cut to `width` points, with an ellipsis where it was longer. */
export function fitText(text: string, width: number, size: TextSize, weight: Weight = 'regular'): string {
  if (textWidth(text, size, weight) <= width) return text;
  const characters = [...text];
  const cut = (count: number): string => `${characters.slice(0, count).join('').trimEnd()}…`;
  return cut(mostThatFit(characters.length, (count) => textWidth(cut(count), size, weight) <= width));
}

/** The largest count below `over` that fits, 0 where none does; what fits shorter is taken to fit too. */
function mostThatFit(over: number, fits: (count: number) => boolean): number {
  let low = 0;
  let high = over;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (fits(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** The text cut in its middle: of a path the beginning and the end tell most. */
export function fitMiddle(text: string, width: number, size: TextSize, weight: Weight = 'regular'): string {
  if (textWidth(text, size, weight) <= width) return text;
  const characters = [...text];
  const cut = (keep: number): string => {
    const head = Math.ceil(keep / 2);
    return `${characters.slice(0, head).join('')}…${characters.slice(characters.length - (keep - head)).join('')}`;
  };
  const most = mostThatFit(characters.length, (keep) => textWidth(cut(keep), size, weight) <= width);
  return most < 2 ? '…' : cut(most);
}

/**
 * Lines no wider than `width` points, broken at spaces; a word that is longer is broken where it must.
 * More than `most` lines: the last ends in an ellipsis.
 */
export function wrapText(
  text: string,
  width: number,
  size: TextSize,
  weight: Weight = 'regular',
  most = Number.POSITIVE_INFINITY,
): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/[ \t\r\n]+/)) {
    if (word === '') continue;
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, size, weight) <= width) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = word;
    while (textWidth(line, size, weight) > width) {
      const { head, rest } = breakWord(line, width, size, weight);
      lines.push(head);
      line = rest;
    }
  }
  if (line !== '') lines.push(line);
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, most);
  kept[most - 1] = fitText(`${kept[most - 1]} ${lines[most]}`, width, size, weight);
  return kept;
}

/** As much of the word's beginning as fits, one character at least. */
function breakWord(word: string, width: number, size: TextSize, weight: Weight): { head: string; rest: string } {
  let head = '';
  for (const character of word) {
    if (head !== '' && textWidth(head + character, size, weight) > width) break;
    head += character;
  }
  return { head, rest: word.slice(head.length) };
}

/** As wrapText, the lines of about the same width: no last line of one word. */
export function balanceText(
  text: string,
  width: number,
  size: TextSize,
  weight: Weight = 'regular',
  most = 3,
): string[] {
  const lines = wrapText(text, width, size, weight, most);
  if (lines.length < 2) return lines;
  let best = lines;
  for (let narrower = width - 8; narrower > width / 2; narrower -= 8) {
    const tried = wrapText(text, narrower, size, weight);
    if (tried.length > lines.length) break;
    best = tried;
  }
  return best;
}
