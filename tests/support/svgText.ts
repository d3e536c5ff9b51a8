import { JSDOM } from 'jsdom';
import { type Box, textBox } from '../../src/report/drawing/draw.ts';
import { SIZE, type TextSize } from '../../src/report/drawing/theme.ts';

/** Text of a finished SVG with the place the browser or the width table gives it. */
export interface PlacedText {
  readonly text: string;
  readonly box: Box;
}

export function parseSvg(svg: string): Document {
  return new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document; // throws where the XML is not well formed
}

const NAMES = new Map<number, TextSize>(Object.entries(SIZE).map(([name, size]) => [size, name as TextSize]));

/** Texts with the boxes that the width table gives them; a size that is none of the three fails. */
export function textsOf(svg: Document): PlacedText[] {
  return [...svg.querySelectorAll('text')].map((element) => {
    const size = NAMES.get(Number(element.getAttribute('font-size')));
    if (size === undefined) throw new Error(`size ${element.getAttribute('font-size')} of "${element.textContent}"`);
    const anchor = (element.getAttribute('text-anchor') ?? 'start') as 'start' | 'middle' | 'end';
    const weight = element.getAttribute('font-weight') === 'bold' ? 'bold' : 'regular';
    const [x, y] = [Number(element.getAttribute('x')), Number(element.getAttribute('y'))];
    return { text: element.textContent ?? '', box: textBox(element.textContent ?? '', x, y, { size, weight, anchor }) };
  });
}

/** Pairs of texts whose boxes share more than `slack` in both directions. */
export function overlappingPairs(texts: readonly PlacedText[], slack: number): string[] {
  const sorted = [...texts].sort((a, b) => a.box.y - b.box.y);
  const pairs: string[] = [];
  for (let i = 0; i < sorted.length; i++) {
    const a = sorted[i]!;
    for (let k = i + 1; k < sorted.length; k++) {
      const b = sorted[k]!;
      if (b.box.y > a.box.y + a.box.height) break;
      const across = Math.min(a.box.x + a.box.width, b.box.x + b.box.width) - Math.max(a.box.x, b.box.x);
      const down = Math.min(a.box.y + a.box.height, b.box.y + b.box.height) - Math.max(a.box.y, b.box.y);
      if (across > slack && down > slack) pairs.push(`"${a.text}" and "${b.text}"`);
    }
  }
  return pairs;
}

/** Texts that reach outside their page of the given size, pages one below the other. */
export function outsidePage(texts: readonly PlacedText[], width: number, height: number, slack: number): string[] {
  return texts
    .filter(({ box }) => {
      const top = Math.floor((box.y + box.height / 2) / height) * height;
      return (
        box.x < -slack ||
        box.x + box.width > width + slack ||
        box.y < top - slack ||
        box.y + box.height > top + height + slack
      );
    })
    .map(({ text }) => text);
}
