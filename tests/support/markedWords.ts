/** A made-up language for tests: every letter of every word of a table carries a mark, so that a letter without one comes from elsewhere. */

/** A letter a mark, those of the width tables alone, so that texts keep about their widths; the rarest share one. */
const MARKED: Readonly<Record<string, string>> = Object.fromEntries(
  [...'abcdefghijklmnopqrstuvwxyz'].map((letter, i) => [letter, 'àáâãäåèéêëñùúûñòóôúõöùúûüû'[i]!]),
);
const LETTER = /[A-Za-z]/g;

function markLetters(text: string): string {
  return text.replace(LETTER, (letter) => {
    const marked = MARKED[letter.toLowerCase()]!;
    return letter === letter.toLowerCase() ? marked : marked.toUpperCase();
  });
}

/** The text with every letter marked but those of the parts that stay. */
function markExcept(text: string, stays: RegExp): string {
  let done = 0;
  let marked = '';
  for (const { index, 0: part } of text.matchAll(stays)) {
    marked += markLetters(text.slice(done, index)) + part;
    done = index + part.length;
  }
  return marked + markLetters(text.slice(done));
}

/** Texts of what a function is given, however deep. */
function textsIn(given: unknown): readonly string[] {
  if (typeof given === 'string') return [given];
  return typeof given === 'object' && given !== null ? Object.values(given).flatMap(textsIn) : [];
}

/** What is said with given texts keeps those as they are; a given text said again as a whole is a word of the table (the name of a side). */
function said(result: unknown, given: readonly unknown[]): unknown {
  if (typeof result !== 'string' || result === given[0]) return marked(result);
  const texts = given.flatMap(textsIn).filter((text) => /[A-Za-z]/.test(text));
  if (texts.length === 0) return marked(result);
  const longestFirst = texts.sort((a, b) => b.length - a.length).map((text) => escaped(text));
  return markExcept(result, new RegExp(`(?<![A-Za-z])(?:${longestFirst.join('|')})(?![A-Za-z])`, 'g'));
}

function escaped(text: string): string {
  return text.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&');
}

/** Functions that say a name of the program in the words of the language: nothing of what they are given stays. */
const SAYS_ANEW: ReadonlySet<string> = new Set(['stretch']);

/** The same words with marks; names in braces stay. */
function marked<T>(words: T): T {
  if (typeof words === 'string') return markExcept(words, /\{\w+\}/g) as T;
  if (typeof words === 'function') return ((...given: unknown[]) => said(words(...given), given)) as T;
  if (Array.isArray(words)) return words.map(marked) as T;
  if (typeof words !== 'object' || words === null) return words;
  return Object.fromEntries(Object.entries(words).map(([key, value]) => [key, markedAt(key, value)])) as T;
}

function markedAt(key: string, value: unknown): unknown {
  if (!SAYS_ANEW.has(key) || typeof value !== 'function') return marked(value);
  return (...given: unknown[]) => marked(value(...given));
}

/** The words of a language in the made-up one. The tag and the decimal sign are no words. */
export function markedLanguage<T extends { readonly language: string; readonly decimal: string }>(words: T): T {
  const { language, decimal } = words;
  return { ...marked(words), language, decimal };
}

/** Attributes that are shown or read aloud. */
const SPOKEN = [
  'aria-label',
  'aria-description',
  'aria-valuetext',
  'aria-roledescription',
  'alt',
  'title',
  'label',
  'placeholder',
];

/** Keys of the data of a page whose texts are codes: units, topics and packed numbers. */
const CODES: ReadonlySet<string> = new Set([
  'hand',
  'id',
  'unit',
  'topic',
  'curves',
  'values',
  'units',
  'film',
  'decimal',
]);

/** What the script of a page has to say; names in braces are its own. */
function islandTexts(page: Document): readonly string[] {
  return [...page.querySelectorAll('script[type="application/json"]')].flatMap((island) => {
    const data: unknown = JSON.parse(island.textContent ?? '', (key, value: unknown) =>
      CODES.has(key) && (typeof value === 'string' || key === 'units' || key === 'film') ? null : value,
    );
    return textsIn(data).map((text) => text.replace(/\{\w+\}/g, ''));
  });
}

/** Positions, units and axes, which every language writes alike. */
const COMMON = /(?<![A-Za-z])(?:P[−]?\d+(?:\.\d)?(?:\(arm\))?|mm|ms|s|m\/s|mph|Hz|[XYZ])(?![A-Za-z])/g;

/** Words of the texts that carry no mark, positions and units aside, each once. */
export function unmarkedWords(texts: readonly string[]): readonly string[] {
  const found = texts.flatMap((text) => text.replace(COMMON, '').match(/[A-Za-z][\w.()-]*/g) ?? []);
  return [...new Set(found)].sort();
}

/** Every text of an SVG or HTML file that a reader sees or hears, and what the script of a page has to say. */
export function spokenTexts(page: Document): readonly string[] {
  const elements = [...page.querySelectorAll('*')].filter((element) => !/^(script|style)$/i.test(element.tagName));
  const own = elements.flatMap((element) =>
    [...element.childNodes].filter(({ nodeType }) => nodeType === 3).map(({ textContent }) => textContent ?? ''),
  );
  const attributes = elements.flatMap((element) => SPOKEN.map((name) => element.getAttribute(name) ?? ''));
  return [...own, ...attributes, ...islandTexts(page)].filter((text) => text.trim() !== '');
}

/** A text of a view by its key and the one above: 'reason' wherever it stands, 'checkpoint.name' below a checkpoint alone. */
export function markedTexts<T>(view: T, keys: ReadonlySet<string>): T {
  const walk = (value: unknown, key: string, above: string): unknown => {
    if (keys.has(key) || keys.has(`${above}.${key}`)) return markedThrough(value);
    if (Array.isArray(value)) return value.map((one) => walk(one, key, above));
    if (!isPlain(value)) return value;
    return Object.fromEntries(Object.entries(value).map(([own, one]) => [own, walk(one, own, key)]));
  };
  return walk(view, '', '') as T;
}

/** Numbers, functions, maps and typed arrays are left as they are. */
function isPlain(value: unknown): value is object {
  return typeof value === 'object' && value !== null && Object.getPrototypeOf(value) === Object.prototype;
}

function markedThrough(value: unknown): unknown {
  if (typeof value === 'string') return markLetters(value);
  if (Array.isArray(value)) return value.map(markedThrough);
  if (!isPlain(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, markedThrough(one)]));
}
