/** Text helpers that know no locale. */

/** Order of code units, the order of every list in an output: negative, 0 or positive. */
export function compareCodeUnits(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Order of names with their numbers counted, so that swing2 comes before swing10; otherwise the order of code units. */
export function compareCounted(a: string, b: string): number {
  const left = a.match(/\d+|\D+/g) ?? [];
  const right = b.match(/\d+|\D+/g) ?? [];
  for (let i = 0; i < Math.min(left.length, right.length); i++) {
    const x = left[i]!;
    const y = right[i]!;
    const counted = /^\d/.test(x) && /^\d/.test(y);
    const order = counted ? Number(x) - Number(y) : compareCodeUnits(x, y);
    if (order !== 0) return order;
  }
  return left.length - right.length || compareCodeUnits(a, b);
}

/**
 * The entry of `list` that `word` was most likely meant to be, or null where none is near.
 * Edit distance with swaps of neighbours counted once, case ignored; near is at most a third of the letters, at least one.
 * Of equally near entries the first.
 */
export function nearestOf(word: string, list: Iterable<string>): string | null {
  const wanted = word.toLowerCase();
  let best: string | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const entry of list) {
    const distance = editDistance(wanted, entry.toLowerCase());
    const limit = Math.max(1, Math.floor(Math.max(word.length, entry.length) / 3));
    if (distance <= limit && distance < bestDistance) {
      best = entry;
      bestDistance = distance;
    }
  }
  return best;
}

/** Fewest insertions, deletions, substitutions and swaps of neighbours that turn `a` into `b` (optimal string alignment). */
export function editDistance(a: string, b: string): number {
  let twoBack: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let cost = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, twoBack[j - 2]! + 1);
      row.push(cost);
    }
    twoBack = last;
    last = row;
  }
  return last[b.length]!;
}

/**
 * What a reader would not see, or what would move the words around it: control characters, marks and overrides of the writing direction,
 * separators and characters without width, halves of surrogate pairs, what XML 1.0 forbids (Unicode 16, general categories Cc, Cf, Zl, Zp). The two joiners that scripts need stay, and so does the soft hyphen.
 */
const UNSEEN =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones to replace
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff\u{e0000}-\u{e007f}]|\p{Surrogate}/gu;

/** Marks that would pile up over the lines above, or below. */
const PILE = /(?<=\p{M}{4})\p{M}+/gu;

/**
 * Text from a file as a report shows it: whatever would not be seen, or would turn the words beside it, becomes U+FFFD, and of combining marks in a row four are left.
 */
export function shownText(text: string): string {
  return text.replace(UNSEEN, '\ufffd').replace(PILE, '');
}

/** Between a number and its unit. 'in' after a number may also be the preposition, which does no harm there. */
const BEFORE_UNIT = /(?<=\d) (?=(?:%|(?:mm|m\/s|mph|in|s|ms|kg|N|Hz)(?![\p{L}\d])))/gu;

/** Text whose numbers stay on the line of their units. */
export function withUnitsKept(text: string): string {
  return text.replace(BEFORE_UNIT, '\u00a0');
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text as `shownText`, safe in XML and HTML, in content and in quoted attributes. */
export function escapeXml(text: string): string {
  return shownText(text).replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}
