/** Reads numbers and text from a stretch of the file; owns byte order, float format, bounds, base offset and field path. */
import { FormatError } from '../base/errors.ts';
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

/** Typed arrays read in the byte order of the machine; all that run Node are little-endian, but it costs nothing to ask. */
const HOST_IS_LITTLE = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;
const DEC_BITS = new Uint32Array(1);
const DEC_FLOAT = new Float32Array(DEC_BITS.buffer);

/** A fourth word outside the 16-bit range: the nearest one, or −1 (invalid) for what is no number. */
function heldWord(value: number): number {
  return value > 0 ? 32767 : value < 0 ? -32768 : -1;
}

export class ByteReader {
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  /** The stretch as numbers in place, where its byte order and alignment allow; null otherwise. */
  readonly #floats: Float32Array | null;
  readonly #shorts: Int16Array | null;
  readonly #longs: Uint32Array | null;
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
    const { buffer, byteOffset: start, length } = bytes;
    const inPlace = this.#little && HOST_IS_LITTLE && start % 4 === 0;
    this.#floats = inPlace && !this.#dec ? new Float32Array(buffer, start, length >> 2) : null;
    this.#longs = inPlace && this.#dec ? new Uint32Array(buffer, start, length >> 2) : null;
    this.#shorts = inPlace ? new Int16Array(buffer, start, length >> 1) : null;
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
   * One column of the data section: `count` values that lie `stride` bytes apart, the first at `at`, become
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
    const floats = at % 4 === 0 && stride % 4 === 0 ? this.#floats : null;
    const longs = at % 4 === 0 && stride % 4 === 0 ? this.#longs : null;
    const shorts = at % 2 === 0 && stride % 2 === 0 ? this.#shorts : null;
    const end = outAt + count * outStride;
    let from = at;
    if (raw === 'float' && floats !== null && minus === 0 && times === 1 && outStride === 1) {
      const step = stride >> 2;
      from = at >> 2;
      for (let to = outAt; to < end; to += 1, from += step) out[to] = floats[from]!;
    } else if (raw === 'float' && floats !== null) {
      const step = stride >> 2;
      from = at >> 2;
      for (let to = outAt; to < end; to += outStride, from += step) out[to] = (floats[from]! - minus) * times;
    } else if (raw === 'float' && longs !== null) {
      const step = stride >> 2;
      from = at >> 2;
      for (let to = outAt; to < end; to += outStride, from += step) {
        const bits = longs[from]!;
        const exponent = (bits >> 7) & 0xff;
        // Halves swapped, the bits are an IEEE float of four times the value, but for the two ends of the exponent's range.
        DEC_BITS[0] = (bits << 16) | (bits >>> 16);
        const value = exponent > 0 && exponent < 255 ? DEC_FLOAT[0]! * 0.25 : decFloat(view, from << 2);
        out[to] = (value - minus) * times;
      }
    } else if (raw === 'float' && this.#dec) {
      for (let to = outAt; to < end; to += outStride, from += stride) out[to] = (decFloat(view, from) - minus) * times;
    } else if (raw === 'float') {
      for (let to = outAt; to < end; to += outStride, from += stride) {
        out[to] = (view.getFloat32(from, little) - minus) * times;
      }
    } else if (raw === 'int16' && shorts !== null) {
      const step = stride >> 1;
      from = at >> 1;
      for (let to = outAt; to < end; to += outStride, from += step) out[to] = (shorts[from]! - minus) * times;
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
   * One point of `count` frames that lie `stride` bytes apart, the first at `at`: x, y, z into `xyz` at `xyzAt`, `xyzAt + axisStride`,
   * `xyzAt + 2·axisStride`, each times `times`, and the fourth words into `words` at `wordsAt`. Returns how many fourth words lay
   * outside the 16-bit range, as `wordsInto` does.
   */
  pointInto(
    xyz: Float64Array,
    xyzAt: number,
    axisStride: number,
    words: Int16Array,
    wordsAt: number,
    isFloat: boolean,
    at: number,
    stride: number,
    count: number,
    times: number,
  ): number {
    if (count <= 0) return 0;
    const size = isFloat ? 4 : 2;
    this.#needAt(at, (count - 1) * stride + 4 * size);
    const aligned = at % size === 0 && stride % size === 0;
    const floats = isFloat && aligned && times === 1 ? this.#floats : null;
    const shorts = !isFloat && aligned ? this.#shorts : null;
    let x = xyzAt;
    let y = xyzAt + axisStride;
    let z = y + axisStride;
    const step = stride / size;
    let from = at / size;
    let outside = 0;
    if (floats !== null) {
      for (let i = 0; i < count; i += 1, from += step) {
        xyz[x++] = floats[from]!;
        xyz[y++] = floats[from + 1]!;
        xyz[z++] = floats[from + 2]!;
        const word = floats[from + 3]!;
        if (word >= -32768 && word <= 32767) {
          words[wordsAt + i] = word;
        } else {
          words[wordsAt + i] = heldWord(word);
          outside += 1;
        }
      }
      return outside;
    }
    if (shorts !== null) {
      for (let i = 0; i < count; i += 1, from += step) {
        xyz[x++] = shorts[from]! * times;
        xyz[y++] = shorts[from + 1]! * times;
        xyz[z++] = shorts[from + 2]! * times;
        words[wordsAt + i] = shorts[from + 3]!;
      }
      return 0;
    }
    const raw: Raw = isFloat ? 'float' : 'int16';
    this.columnInto(xyz, x, 1, raw, at, stride, count, 0, times);
    this.columnInto(xyz, y, 1, raw, at + size, stride, count, 0, times);
    this.columnInto(xyz, z, 1, raw, at + 2 * size, stride, count, 0, times);
    return this.wordsInto(words, wordsAt, isFloat, at + 3 * size, stride, count);
  }

  /**
   * A column of fourth words. A float is converted to an integer first, toward zero, and held at the ends of the 16-bit range;
   * what is no number becomes −1, invalid. Returns how many floats lay outside the range.
   */
  wordsInto(out: Int16Array, outAt: number, isFloat: boolean, at: number, stride: number, count: number): number {
    if (count <= 0) return 0;
    this.#needAt(at, (count - 1) * stride + (isFloat ? 4 : 2));
    const view = this.#view;
    const little = this.#little;
    let from = at;
    if (!isFloat) {
      for (let i = 0; i < count; i += 1, from += stride) out[outAt + i] = view.getInt16(from, little);
      return 0;
    }
    const dec = this.#dec;
    let outside = 0;
    const floats = at % 4 === 0 && stride % 4 === 0 ? this.#floats : null;
    for (let i = 0; i < count; i += 1, from += stride) {
      const value = floats !== null ? floats[from >> 2]! : dec ? decFloat(view, from) : view.getFloat32(from, little);
      if (value >= -32768 && value <= 32767) {
        out[outAt + i] = value;
      } else {
        out[outAt + i] = heldWord(value);
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
