/** The cells of a record in columns: a thousand small objects take far longer to write and to read back than a few arrays. */
import type { Cell } from '../model/swingRecord.ts';

/** Cells in columns. Plain data; only `unpackCells` reads it. */
export interface PackedCells {
  readonly count: number;
  /** Every text, list of flags and reason once; columns below count in it. */
  readonly words: readonly unknown[];
  /** Columns of `count` words each. */
  readonly codes: Uint16Array;
  /** Columns of `count` numbers each; what is none is in `kinds`. */
  readonly numbers: Float64Array;
  /** As many columns: what stands there. */
  readonly kinds: Uint8Array;
  /** In which order a cell has its keys and which of the last two it has. */
  readonly layouts: Uint8Array;
}

/** Columns of words: quantity, position, order, unit, flags, why, rule; and of numbers: value, plusMinus, placement. */
const WORDS = 7;
const NUMBERS = 3;
/** The two orders of keys that cells are made with, which their text keeps; `rule` and `placement` come last where there are. */
const KEYS = [
  ['quantity', 'position', 'value', 'plusMinus', 'order', 'unit', 'flags', 'why'],
  ['quantity', 'position', 'order', 'unit', 'value', 'plusMinus', 'flags', 'why'],
] as const;
const WITH_RULE = 1;
const WITH_PLACEMENT = 2;
const SECOND = 4;
const NO_NUMBER = 0;
const A_NUMBER = 1;
const MOST_WORDS = 65_536;

/** Null for cells that are made in another way, or with too many different words: they are kept as they are. */
export function packCells(cells: readonly Cell[]): PackedCells | null {
  const count = cells.length;
  const words: unknown[] = [];
  const codes = new Uint16Array(WORDS * count);
  const numbers = new Float64Array(NUMBERS * count);
  const kinds = new Uint8Array(NUMBERS * count);
  const layouts = new Uint8Array(count);
  const codeOf = dictionary(words);
  // most words stand in the cell before as well
  const last: unknown[] = new Array(WORDS).fill(Number.NaN);
  const lastCode = new Uint16Array(WORDS);
  const setWord = (column: number, i: number, word: unknown): void => {
    if (word !== last[column]) {
      last[column] = word;
      lastCode[column] = codeOf(word);
    }
    codes[column * count + i] = lastCode[column]!;
  };
  const setNumber = (at: number, value: number | null | undefined): void => {
    if (typeof value !== 'number') return;
    numbers[at] = value;
    kinds[at] = A_NUMBER;
  };
  for (let i = 0; i < count; i++) {
    const cell = cells[i]!;
    const layout = layoutOf(cell);
    if (layout < 0) return null;
    layouts[i] = layout;
    setWord(0, i, cell.quantity);
    setWord(1, i, cell.position);
    setWord(2, i, cell.order);
    setWord(3, i, cell.unit);
    setWord(4, i, cell.flags);
    setWord(5, i, cell.why);
    if (layout & WITH_RULE) setWord(6, i, cell.rule);
    setNumber(i, cell.value);
    setNumber(count + i, cell.plusMinus);
    if (layout & WITH_PLACEMENT) setNumber(2 * count + i, cell.placement);
  }
  return words.length > MOST_WORDS ? null : { count, words, codes, numbers, kinds, layouts };
}

/** Which keys a cell has in which order; −1 for another set or order. */
function layoutOf(cell: Cell): number {
  let layout = 0;
  let at = 0;
  for (const key in cell) {
    if (at === 2 && key === KEYS[1][2]) layout = SECOND;
    if (at < KEYS[0].length) {
      if (key !== KEYS[layout === SECOND ? 1 : 0][at]) return -1;
    } else if (key === 'rule' && layout % SECOND === 0) layout |= WITH_RULE;
    else if (key === 'placement' && (layout & WITH_PLACEMENT) === 0) layout |= WITH_PLACEMENT;
    else return -1;
    at += 1;
  }
  return at < KEYS[0].length ? -1 : layout;
}

/** Codes of words in the order in which they come: lists and reasons that read alike are one. */
function dictionary(words: unknown[]): (word: unknown) => number {
  const plain = new Map<unknown, number>();
  const byText = new Map<string, number>();
  return (word) => {
    const isPlain = typeof word !== 'object' || word === null;
    const known: Map<unknown, number> = isPlain ? plain : byText;
    const key = isPlain ? word : textOf(word);
    let code = known.get(key);
    if (code === undefined) {
      code = words.push(word) - 1;
      known.set(key, code);
    }
    return code;
  };
}

/** As JSON, most often that of an empty list. */
function textOf(word: object): string {
  return Array.isArray(word) && word.length === 0 ? '[]' : JSON.stringify(word);
}

/** The cells as they were; those with the same flags or reason share them. */
export function unpackCells({ count, words, codes, numbers, kinds, layouts }: PackedCells): Cell[] {
  const cells: Cell[] = new Array(count);
  const word = (column: number, i: number): never => words[codes[column * count + i]!] as never;
  const number = (column: number, i: number): number | null =>
    kinds[column * count + i] === NO_NUMBER ? null : numbers[column * count + i]!;
  for (let i = 0; i < count; i++) {
    const layout = layouts[i]!;
    const quantity = word(0, i);
    const position = word(1, i);
    const order = word(2, i);
    const unit = word(3, i);
    const flags = word(4, i);
    const why = word(5, i);
    const value = number(0, i);
    const plusMinus = number(1, i);
    const cell: { -readonly [K in keyof Cell]: Cell[K] } =
      layout < SECOND
        ? { quantity, position, value, plusMinus, order, unit, flags, why }
        : { quantity, position, order, unit, value, plusMinus, flags, why };
    if (layout & WITH_RULE) cell.rule = word(6, i);
    if (layout & WITH_PLACEMENT) cell.placement = number(2, i);
    cells[i] = cell;
  }
  return cells;
}
