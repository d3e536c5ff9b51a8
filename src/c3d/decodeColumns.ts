/**
 * Frames in the order of this machine into columns: the inner loops of reading. Indices count words; `step` is the words of a frame.
 * Several points go together, as one line of the cache holds four of them.
 */

/** A fourth word outside the 16-bit range: the nearest one, or −1 (invalid) for what is no number. */
export function heldWord(value: number): number {
  return value > 0 ? 32767 : value < 0 ? -32768 : -1;
}

/** Cut toward zero and held at the ends of the 16-bit range. Returns how many of `count` lay outside it. */
function holdWords(out: Int16Array, to: number, data: Float32Array, from: number, step: number, count: number): number {
  let outside = 0;
  for (let i = 0, at = from; i < count; i += 1, at += step) {
    const value = data[at]!;
    if (value >= -32768 && value <= 32767) continue;
    out[to + i] = heldWord(value);
    outside += 1;
  }
  return outside;
}

/** One point: x, y, z at `to`, `to + columns`, `to + 2·columns`, fourth words at `wordTo`. Returns the words outside the 16-bit range. */
export function floatPoint(
  xyz: Float64Array,
  to: number,
  columns: number,
  words: Int16Array,
  wordTo: number,
  data: Float32Array,
  from: number,
  step: number,
  count: number,
): number {
  const y = columns;
  const z = 2 * columns;
  let outside = 0;
  for (let i = 0, at = from; i < count; i += 1, at += step) {
    xyz[to + i] = data[at]!;
    xyz[to + y + i] = data[at + 1]!;
    xyz[to + z + i] = data[at + 2]!;
    const word = data[at + 3]!;
    words[wordTo + i] = word;
    if (!(word >= -32768 && word <= 32767)) outside += 1;
  }
  return outside === 0 ? 0 : holdWords(words, wordTo, data, from + 3, step, count);
}

/** Four points that follow one another in the file and in the columns. */
export function fourFloatPoints(
  xyz: Float64Array,
  to: number,
  columns: number,
  words: Int16Array,
  wordTo: number,
  data: Float32Array,
  from: number,
  step: number,
  count: number,
): number {
  const n = columns;
  let outside = 0;
  for (let i = 0, at = from, x = to, w = wordTo; i < count; i += 1, at += step, x += 1, w += 1) {
    xyz[x] = data[at]!;
    xyz[x + n] = data[at + 1]!;
    xyz[x + 2 * n] = data[at + 2]!;
    xyz[x + 3 * n] = data[at + 4]!;
    xyz[x + 4 * n] = data[at + 5]!;
    xyz[x + 5 * n] = data[at + 6]!;
    xyz[x + 6 * n] = data[at + 8]!;
    xyz[x + 7 * n] = data[at + 9]!;
    xyz[x + 8 * n] = data[at + 10]!;
    xyz[x + 9 * n] = data[at + 12]!;
    xyz[x + 10 * n] = data[at + 13]!;
    xyz[x + 11 * n] = data[at + 14]!;
    const a = data[at + 3]!;
    const b = data[at + 7]!;
    const c = data[at + 11]!;
    const d = data[at + 15]!;
    words[w] = a;
    words[w + n] = b;
    words[w + 2 * n] = c;
    words[w + 3 * n] = d;
    const firstFit = a >= -32768 && a <= 32767 && b >= -32768 && b <= 32767;
    if (!(firstFit && c >= -32768 && c <= 32767 && d >= -32768 && d <= 32767)) outside += 1;
  }
  if (outside === 0) return 0;
  let all = 0;
  for (let k = 0; k < 4; k += 1) all += holdWords(words, wordTo + k * n, data, from + 4 * k + 3, step, count);
  return all;
}

/** As `floatPoint` for integers, coordinates times `scale`. */
export function shortPoint(
  xyz: Float64Array,
  to: number,
  columns: number,
  words: Int16Array,
  wordTo: number,
  data: Int16Array,
  from: number,
  step: number,
  count: number,
  scale: number,
): void {
  const y = columns;
  const z = 2 * columns;
  for (let i = 0, at = from; i < count; i += 1, at += step) {
    xyz[to + i] = data[at]! * scale;
    xyz[to + y + i] = data[at + 1]! * scale;
    xyz[to + z + i] = data[at + 2]! * scale;
    words[wordTo + i] = data[at + 3]!;
  }
}

/** As `fourFloatPoints` for integers. */
export function fourShortPoints(
  xyz: Float64Array,
  to: number,
  columns: number,
  words: Int16Array,
  wordTo: number,
  data: Int16Array,
  from: number,
  step: number,
  count: number,
  scale: number,
): void {
  const n = columns;
  for (let i = 0, at = from, x = to, w = wordTo; i < count; i += 1, at += step, x += 1, w += 1) {
    xyz[x] = data[at]! * scale;
    xyz[x + n] = data[at + 1]! * scale;
    xyz[x + 2 * n] = data[at + 2]! * scale;
    xyz[x + 3 * n] = data[at + 4]! * scale;
    xyz[x + 4 * n] = data[at + 5]! * scale;
    xyz[x + 5 * n] = data[at + 6]! * scale;
    xyz[x + 6 * n] = data[at + 8]! * scale;
    xyz[x + 7 * n] = data[at + 9]! * scale;
    xyz[x + 8 * n] = data[at + 10]! * scale;
    xyz[x + 9 * n] = data[at + 12]! * scale;
    xyz[x + 10 * n] = data[at + 13]! * scale;
    xyz[x + 11 * n] = data[at + 14]! * scale;
    words[w] = data[at + 3]!;
    words[w + n] = data[at + 7]!;
    words[w + 2 * n] = data[at + 11]!;
    words[w + 3 * n] = data[at + 15]!;
  }
}

/** One channel, `samples` values a frame that lie `apart` words apart: out = (raw − minus) × times. */
export function floatChannel(
  out: Float64Array,
  to: number,
  data: Float32Array,
  from: number,
  step: number,
  count: number,
  samples: number,
  apart: number,
  minus: number,
  times: number,
): void {
  let o = to;
  for (let i = 0, frame = from; i < count; i += 1, frame += step) {
    for (let s = 0, at = frame; s < samples; s += 1, at += apart, o += 1) out[o] = (data[at]! - minus) * times;
  }
}

/** As `floatChannel` for integers, signed or unsigned. */
export function shortChannel(
  out: Float64Array,
  to: number,
  data: Int16Array | Uint16Array,
  from: number,
  step: number,
  count: number,
  samples: number,
  apart: number,
  minus: number,
  times: number,
): void {
  let o = to;
  for (let i = 0, frame = from; i < count; i += 1, frame += step) {
    for (let s = 0, at = frame; s < samples; s += 1, at += apart, o += 1) out[o] = (data[at]! - minus) * times;
  }
}
