/** A slow, obvious reader of Intel float files, from the format description alone: the oracle for the writer and the fast reader. */

export interface SlowC3d {
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly rate_Hz: number;
  readonly scale: number;
  readonly labels: string[];
  /** samples[frame][point] = [x, y, z, fourth word] */
  readonly samples: number[][][];
  /** Times in seconds from raw frame 1. */
  readonly events: { label: string; context: string; time_s: number }[];
  readonly parameters: Map<string, { dims: number[]; values: (number | string)[] }>;
}

export function slowReadC3d(bytes: Uint8Array): SlowC3d {
  const b = Buffer.from(bytes);
  const word = (n: number): number => b.readUInt16LE(2 * (n - 1));
  if (b[1] !== 0x50) throw new Error('no C3D key');
  let at = 512 * (b[0]! - 1);
  if (b[at + 3] !== 84) throw new Error('not Intel');
  at += 4;
  const groupNames = new Map<number, string>();
  const found: { id: number; name: string; dims: number[]; values: (number | string)[] }[] = [];
  for (;;) {
    const nameLength = Math.abs(b.readInt8(at));
    if (nameLength === 0) break;
    const id = b.readInt8(at + 1);
    const name = b.toString('latin1', at + 2, at + 2 + nameLength);
    const offsetAt = at + 2 + nameLength;
    const offset = b.readUInt16LE(offsetAt);
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
          if (type === 2) values.push(b.readInt16LE(start + 2 * i));
          if (type === 4) values.push(b.readFloatLE(start + 4 * i));
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
  const frames = parameters.has('TRIAL:ACTUAL_END_FIELD') ? lastFrame - firstFrame + 1 : 0;
  const samples: number[][][] = [];
  let data = 512 * (word(9) - 1);
  for (let f = 0; f < frames; f += 1) {
    const frame: number[][] = [];
    for (let p = 0; p < points; p += 1) {
      frame.push([b.readFloatLE(data), b.readFloatLE(data + 4), b.readFloatLE(data + 8), b.readFloatLE(data + 12)]);
      data += 16;
    }
    samples.push(frame);
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
    rate_Hz: b.readFloatLE(20),
    scale: b.readFloatLE(12),
    labels: list('POINT:LABELS') as string[],
    samples,
    events,
    parameters,
  };
}
