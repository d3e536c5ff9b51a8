/** JSON as UTF-8 bytes: short things on one line. */

/** The longest text of an object, or of a list of objects or lists, that stands on one line; in UTF-16 units. */
const WIDTH = 160;
const BREAK = 0x0a;
const SPACE = 0x20;
const COMMA = 0x2c;
const LIST_END = 0x5d;
/** More than the longest number has, with its comma: -1.2345678901234567e-300 has 24. */
const NUMBER_BYTES = 32;

const BEYOND_ASCII = /[\u0080-\uffff]/;

const utf8 = new TextEncoder();

/** JSON with short things on one line. Typed arrays become lists, numbers that are not finite null, -0 becomes 0. */
export function jsonBytes(value: unknown): Uint8Array<ArrayBuffer> {
  const numbers: number[] = [];
  collectNumbers(value, numbers);
  const writer = new JsonWriter(utf8.encode(JSON.stringify(numbers)));
  writer.value(value, 0);
  return writer.bytes();
}

/** In the order in which they are written. */
function collectNumbers(value: unknown, numbers: number[]): void {
  if (typeof value === 'number') {
    numbers.push(value);
  } else if (value instanceof Float64Array) {
    for (let i = 0; i < value.length; i++) numbers.push(value[i]!);
  } else if (Array.isArray(value)) {
    for (let i = 0; i < value.length; i++) collectNumbers(value[i], numbers);
  } else if (typeof value === 'object' && value !== null) {
    for (const key of Object.keys(value)) collectNumbers((value as Record<string, unknown>)[key], numbers);
  }
}

const isPlain = (value: unknown): boolean => typeof value !== 'object' || value === null;

/** An object or a list that is not closed yet: the units before it, and the line breaks in it. */
interface Begun {
  readonly units: number;
  readonly breaks: number[];
}

/** The quoted text of a string. Names and texts of a record come again and again: it is made once. */
interface Quoted {
  readonly text: string;
  /** Where there is more in it than ASCII. */
  readonly bytes: Uint8Array | null;
}

class JsonWriter {
  #bytes = new Uint8Array(65_536);
  #at = 0;
  /** Bytes so far beyond one a UTF-16 unit. */
  #surplus = 0;
  readonly #quoted = new Map<string, Quoted>();
  /** Behind the bracket. */
  #nextDigit = 1;
  readonly #digits: Uint8Array;

  /** `digits`: the list of all numbers to come. One call for all takes a third of the time of a call for each. */
  constructor(digits: Uint8Array) {
    this.#digits = digits;
  }

  bytes(): Uint8Array<ArrayBuffer> {
    return this.#bytes.slice(0, this.#at);
  }

  value(value: unknown, depth: number): void {
    if (typeof value === 'number') this.#numbers(1);
    else if (typeof value === 'string') this.#text(value);
    else if (typeof value !== 'object' || value === null) this.#ascii(JSON.stringify(value ?? null));
    else if (value instanceof Float64Array) this.#numberLine(value.length);
    else if (!Array.isArray(value)) this.#object(value as Record<string, unknown>, depth);
    else if (value.every(isPlain)) this.#line(value, depth);
    else this.#list(value, depth);
  }

  /** One line, however long. */
  #line(values: readonly unknown[], depth: number): void {
    this.#byte(0x5b);
    for (let i = 0; i < values.length; i++) {
      if (i > 0) this.#byte(COMMA);
      this.value(values[i], depth);
    }
    this.#byte(0x5d);
  }

  #list(values: readonly unknown[], depth: number): void {
    const begun = this.#open(0x5b);
    for (let i = 0; i < values.length; i++) {
      this.#next(begun, depth);
      this.value(values[i], depth + 1);
    }
    this.#close(begun, depth, 0x5d);
  }

  #object(value: Readonly<Record<string, unknown>>, depth: number): void {
    const begun = this.#open(0x7b);
    for (const key of Object.keys(value)) {
      this.#next(begun, depth);
      this.#text(key);
      this.#byte(0x3a);
      this.value(value[key], depth + 1);
    }
    this.#close(begun, depth, 0x7d);
  }

  #open(bracket: number): Begun {
    const units = this.#at - this.#surplus;
    this.#byte(bracket);
    return { units, breaks: [] };
  }

  #next({ breaks }: Begun, depth: number): void {
    if (breaks.length > 0) this.#byte(COMMA);
    breaks.push(this.#at);
    this.#newLine(depth + 1);
  }

  /** What turns out to be short is moved together to one line. */
  #close({ units, breaks }: Begun, depth: number, bracket: number): void {
    const size = depth + 2;
    if (this.#at - this.#surplus - units - breaks.length * size < WIDTH) {
      const end = this.#at;
      this.#at = breaks[0] ?? end;
      for (let i = 0; i < breaks.length; i++) {
        const from = breaks[i]! + size;
        const to = breaks[i + 1] ?? end;
        this.#bytes.copyWithin(this.#at, from, to);
        this.#at += to - from;
      }
    } else {
      this.#newLine(depth);
    }
    this.#byte(bracket);
  }

  #newLine(depth: number): void {
    this.#room(depth + 1);
    this.#bytes[this.#at++] = BREAK;
    for (let i = 0; i < depth; i++) this.#bytes[this.#at++] = SPACE;
  }

  #numberLine(count: number): void {
    this.#byte(0x5b);
    if (count > 0) this.#numbers(count);
    this.#byte(0x5d);
  }

  /** The next `count` numbers with commas between them. */
  #numbers(count: number): void {
    this.#room(NUMBER_BYTES * count);
    const bytes = this.#bytes;
    const digits = this.#digits;
    let at = this.#at;
    let from = this.#nextDigit;
    for (let left = count; ; from++) {
      const digit = digits[from]!;
      if (digit === LIST_END || (digit === COMMA && --left === 0)) break;
      bytes[at++] = digit;
    }
    this.#at = at;
    this.#nextDigit = from + 1;
  }

  #text(text: string): void {
    let quoted = this.#quoted.get(text);
    if (quoted === undefined) {
      const json = JSON.stringify(text);
      quoted = { text: json, bytes: BEYOND_ASCII.test(json) ? utf8.encode(json) : null };
      this.#quoted.set(text, quoted);
    }
    if (quoted.bytes === null) {
      this.#ascii(quoted.text);
      return;
    }
    this.#room(quoted.bytes.length);
    this.#bytes.set(quoted.bytes, this.#at);
    this.#at += quoted.bytes.length;
    this.#surplus += quoted.bytes.length - quoted.text.length;
  }

  #ascii(text: string): void {
    this.#room(text.length);
    const bytes = this.#bytes;
    const at = this.#at;
    for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
    this.#at = at + text.length;
  }

  #byte(byte: number): void {
    this.#room(1);
    this.#bytes[this.#at++] = byte;
  }

  #room(more: number): void {
    if (this.#at + more <= this.#bytes.length) return;
    const wider = new Uint8Array(2 * this.#bytes.length + more);
    wider.set(this.#bytes);
    this.#bytes = wider;
  }
}
