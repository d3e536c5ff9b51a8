/** Reads numbers and text from a stretch of the file; owns byte order, float format, bounds, base offset and field path. */
import { FormatError } from '../base/errors.ts';
import { heldWord } from './decodeColumns.ts';
import { C3D_DIAGNOSTICS } from './diagnosticCodes.ts';
import type { Processor } from './types.ts';

export type Raw = 'float' | 'int16' | 'uint16';

/** 2 to the (exponent − 152): what a 24-bit DEC F mantissa with its hidden bit is multiplied by. */
const DEC_POWERS = new Float64Array(256);
DEC_POWERS[152] = 1;
for (let e = 151; e >= 0; e -= 1) DEC_POWERS[e] = DEC_POWERS[e + 1]! / 2;
for (let e = 153; e < 256; e += 1) DEC_POWERS[e] = DEC_POWERS[e - 1]! * 2;

/** DEC F float: 16-bit halves swapped, value = IEEE reading / 4, exponent 0 = 0. Source: six encodings of one trial agree. */
function decFloat(view: DataView, at: number): number {
  const high = view.getUint16(at, true);
  const exponent = (high >> 7) & 0xff;
  if (exponent === 0) return 0;
  const mantissa = 0x80_0000 + (high & 0x7f) * 0x1_0000 + view.getUint16(at + 2, true);
  const size = mantissa * DEC_POWERS[exponent]!;
  return high >= 0x8000 ? -size : size;
}

export class ByteReader {
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  readonly #base: number;
  readonly #little: boolean;
  readonly #dec: boolean;
  readonly #file: string;
  readonly #path: string[];
  /** Position inside the stretch. */
  at = 0;

  /** `base` is the absolute offset of the first byte in the file. */
  constructor(bytes: Uint8Array, base: number, processor: Processor, file: string, path: readonly string[]) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.#base = base;
    this.#little = processor !== 'mips';
    this.#dec = processor === 'dec';
    this.#file = file;
    this.#path = [...path];
  }

  get length(): number {
    return this.#bytes.length;
  }

  get left(): number {
    return this.#bytes.length - this.at;
  }

  /** Absolute offset in the file of the current or of a given position. */
  offset(at: number = this.at): number {
    return this.#base + at;
  }

  /** Runs `read` with the field's name on the path that errors show. */
  within<T>(field: string, read: () => T): T {
    this.#path.push(field);
    try {
      return read();
    } finally {
      this.#path.pop();
    }
  }

  u8(): number {
    this.#need(1);
    return this.#view.getUint8(this.at++);
  }

  i8(): number {
    this.#need(1);
    return this.#view.getInt8(this.at++);
  }

  u16(): number {
    this.#need(2);
    const value = this.#view.getUint16(this.at, this.#little);
    this.at += 2;
    return value;
  }

  i16(): number {
    this.#need(2);
    const value = this.#view.getInt16(this.at, this.#little);
    this.at += 2;
    return value;
  }

  f32(): number {
    this.#need(4);
    const value = this.#dec ? decFloat(this.#view, this.at) : this.#view.getFloat32(this.at, this.#little);
    this.at += 4;
    return value;
  }

  /** The next bytes themselves, a view that lives as long as the stretch. */
  bytes(length: number): Uint8Array {
    this.#need(length);
    const slice = this.#bytes.subarray(this.at, this.at + length);
    this.at += length;
    return slice;
  }

  /**
   * One column of numbers, in any byte order and at any alignment: `count` values that lie `stride` bytes apart, the first at `at`, become
   * `out[outAt + i·outStride] = (raw − minus) · times`.
   */
  columnInto(
    out: Float64Array,
    outAt: number,
    outStride: number,
    raw: Raw,
    at: number,
    stride: number,
    count: number,
    minus: number,
    times: number,
  ): void {
    if (count <= 0) return;
    this.#needAt(at, (count - 1) * stride + (raw === 'float' ? 4 : 2));
    const view = this.#view;
    const little = this.#little;
    const end = outAt + count * outStride;
    let from = at;
    if (raw === 'float' && this.#dec) {
      for (let to = outAt; to < end; to += outStride, from += stride) out[to] = (decFloat(view, from) - minus) * times;
    } else if (raw === 'float') {
      for (let to = outAt; to < end; to += outStride, from += stride) {
        out[to] = (view.getFloat32(from, little) - minus) * times;
      }
    } else if (raw === 'int16') {
      for (let to = outAt; to < end; to += outStride, from += stride) {
        out[to] = (view.getInt16(from, little) - minus) * times;
      }
    } else {
      for (let to = outAt; to < end; to += outStride, from += stride) {
        out[to] = (view.getUint16(from, little) - minus) * times;
      }
    }
  }

  /**
   * One point of `count` frames that lie `stride` bytes apart, the first at `at`: x, y, z times `scale` into `xyz` at `to`,
   * `to + columns`, `to + 2·columns`, its fourth words into `words` at `wordTo`. A fourth word that is a float is converted to an integer
   * first, toward zero, and held at the ends of the 16-bit range; what is no number becomes −1, invalid. Returns how many lay outside it.
   */
  pointInto(
    xyz: Float64Array,
    to: number,
    columns: number,
    words: Int16Array,
    wordTo: number,
    isFloat: boolean,
    at: number,
    stride: number,
    count: number,
    scale: number,
  ): number {
    if (count <= 0) return 0;
    this.#needAt(at, (count - 1) * stride + (isFloat ? 16 : 8));
    const view = this.#view;
    const little = this.#little;
    const dec = this.#dec;
    const y = columns;
    const z = 2 * columns;
    let outside = 0;
    for (let i = 0, from = at; i < count; i += 1, from += stride) {
      if (!isFloat) {
        xyz[to + i] = view.getInt16(from, little) * scale;
        xyz[to + y + i] = view.getInt16(from + 2, little) * scale;
        xyz[to + z + i] = view.getInt16(from + 4, little) * scale;
        words[wordTo + i] = view.getInt16(from + 6, little);
        continue;
      }
      xyz[to + i] = dec ? decFloat(view, from) : view.getFloat32(from, little);
      xyz[to + y + i] = dec ? decFloat(view, from + 4) : view.getFloat32(from + 4, little);
      xyz[to + z + i] = dec ? decFloat(view, from + 8) : view.getFloat32(from + 8, little);
      const word = dec ? decFloat(view, from + 12) : view.getFloat32(from + 12, little);
      if (word >= -32768 && word <= 32767) {
        words[wordTo + i] = word;
      } else {
        words[wordTo + i] = heldWord(word);
        outside += 1;
      }
    }
    return outside;
  }

  #need(length: number): void {
    this.#needAt(this.at, length);
  }

  #needAt(at: number, length: number): void {
    const left = this.#bytes.length - at;
    if (length <= left) return;
    const unit = length === 1 ? 'byte' : 'bytes';
    throw new FormatError({
      file: this.#file,
      code: 'file-too-short',
      offset: this.#base + at,
      path: [...this.#path],
      found: `needs ${length} ${unit}, ${Math.max(left, 0)} left`,
      expected: '',
      wayOut: C3D_DIAGNOSTICS['file-too-short'].whatToDo,
    });
  }
}
