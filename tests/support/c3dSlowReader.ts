/** A slow, obvious reader of files in all six encodings, from the format description alone: the oracle for the writer and the fast reader. */

export interface SlowC3d {
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly rate_Hz: number;
  readonly scale: number;
  readonly labels: string[];
  /** samples[frame][point] = [x, y, z, fourth word], integers already times the scale. */
  readonly samples: number[][][];
  /** analog[frame][sample][channel], as stored. */
  readonly analog: number[][][];
  /** Times in seconds from raw frame 1. */
  readonly events: { label: string; context: string; time_s: number }[];
  readonly parameters: Map<string, { dims: number[]; values: (number | string)[] }>;
}

export function slowReadC3d(bytes: Uint8Array): SlowC3d {
  const b = Buffer.from(bytes);
  if (b[1] !== 0x50) throw new Error('no C3D key');
  let at = 512 * (b[0]! - 1);
  const processor = b[at + 3]!;
  if (processor < 84 || processor > 86) throw new Error('no processor');
  const int16 = (from: number): number => (processor === 86 ? b.readInt16BE(from) : b.readInt16LE(from));
  const uint16 = (from: number): number => int16(from) & 0xffff;
  const float = (from: number): number => {
    if (processor === 84) return b.readFloatLE(from);
    if (processor === 86) return b.readFloatBE(from);
    return decFloat(uint16(from), uint16(from + 2));
  };
  const word = (n: number): number => uint16(2 * (n - 1));
  at += 4;
  const groupNames = new Map<number, string>();
  const found: { id: number; name: string; dims: number[]; values: (number | string)[] }[] = [];
  for (;;) {
    const nameLength = Math.abs(b.readInt8(at));
    if (nameLength === 0) break;
    const id = b.readInt8(at + 1);
    const name = b.toString('latin1', at + 2, at + 2 + nameLength);
    const offsetAt = at + 2 + nameLength;
    const offset = uint16(offsetAt);
    if (id < 0) groupNames.set(-id, name);
    else {
      const type = b.readInt8(offsetAt + 2);
      const dims = [...b.subarray(offsetAt + 4, offsetAt + 4 + b[offsetAt + 3]!)];
      const start = offsetAt + 4 + dims.length;
      const total = dims.reduce((product, d) => product * d, 1);
      const values: (number | string)[] = [];
      if (type === -1) {
        const width = dims[0] ?? 1;
        for (let i = 0; i + width <= total; i += Math.max(width, 1)) {
          values.push(b.toString('utf8', start + i, start + i + width).trim());
        }
      } else {
        for (let i = 0; i < total; i += 1) {
          if (type === 1) values.push(b.readUInt8(start + i));
          if (type === 2) values.push(int16(start + 2 * i));
          if (type === 4) values.push(float(start + 4 * i));
        }
      }
      found.push({ id, name, dims, values });
    }
    if (offset === 0) break;
    at = offsetAt + offset;
  }
  const parameters = new Map<string, { dims: number[]; values: (number | string)[] }>();
  for (const { id, name, dims, values } of found) parameters.set(`${groupNames.get(id)}:${name}`, { dims, values });
  const list = (name: string): (number | string)[] => {
    const all: (number | string)[] = [];
    for (let part = 1; parameters.has(part === 1 ? name : `${name}${part}`); part += 1) {
      all.push(...parameters.get(part === 1 ? name : `${name}${part}`)!.values);
    }
    return all;
  };
  const long = (name: string): number => {
    const [low, high] = list(name) as [number, number];
    return (low & 0xffff) + 65536 * (high & 0xffff);
  };
  const points = word(2);
  const firstFrame = parameters.has('TRIAL:ACTUAL_START_FIELD') ? long('TRIAL:ACTUAL_START_FIELD') : word(4);
  const lastFrame = parameters.has('TRIAL:ACTUAL_END_FIELD') ? long('TRIAL:ACTUAL_END_FIELD') : word(5);
  const frames = lastFrame - firstFrame + 1;
  const scale = float(12);
  const isFloat = scale < 0;
  const size = isFloat ? 4 : 2;
  const perFrame = word(3);
  const perSample = word(10) > 0 ? perFrame / word(10) : 0;
  const samples: number[][][] = [];
  const analog: number[][][] = [];
  let data = 512 * (word(9) - 1);
  const next = (): number => {
    const value = isFloat ? float(data) : int16(data);
    data += size;
    return value;
  };
  for (let f = 0; f < frames; f += 1) {
    const frame: number[][] = [];
    for (let p = 0; p < points; p += 1) {
      const times = isFloat ? 1 : scale;
      frame.push([next() * times, next() * times, next() * times, next()]);
    }
    samples.push(frame);
    const rows: number[][] = [];
    for (let s = 0; s < word(10) && perSample > 0; s += 1) rows.push(Array.from({ length: perSample }, next));
    analog.push(rows);
  }
  const used = (list('EVENT:USED')[0] as number | undefined) ?? 0;
  const times = list('EVENT:TIMES') as number[];
  const labels = list('EVENT:LABELS') as string[];
  const contexts = list('EVENT:CONTEXTS') as string[];
  const events = [];
  for (let i = 0; i < used; i += 1) {
    events.push({ label: labels[i]!, context: contexts[i]!, time_s: 60 * times[2 * i]! + times[2 * i + 1]! });
  }
  return {
    points,
    frames,
    firstFrame,
    rate_Hz: float(20),
    scale,
    labels: list('POINT:LABELS') as string[],
    samples,
    analog,
    events,
    parameters,
  };
}

/** DEC F: sign, 8-bit exponent (excess 128), 23-bit fraction after 0.1 in binary; the word with the sign comes first. */
function decFloat(first: number, second: number): number {
  const exponent = (first >> 7) & 0xff;
  if (exponent === 0) return 0;
  let value = 0.5 + (((first & 0x7f) << 16) + second) / 16_777_216;
  for (let e = 128; e < exponent; e += 1) value *= 2;
  for (let e = 128; e > exponent; e -= 1) value /= 2;
  return first & 0x8000 ? -value : value;
}
