import type { Box } from '../../src/report/drawing/draw.ts';

/** Text of a finished SVG with the place the browser or the width table gives it. */
export interface PlacedText {
  readonly text: string;
  readonly box: Box;
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
