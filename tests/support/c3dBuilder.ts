/** Makes C3D files for tests, field by field and faults included. Written apart from the project's writer so that errors do not cancel. */
import type { Processor } from '../../src/c3d/types.ts';

export type Field =
  | { readonly type: 'char'; readonly dims: readonly number[]; readonly text: string | Uint8Array }
  | { readonly type: 'byte' | 'int16' | 'float'; readonly dims: readonly number[]; readonly values: readonly number[] };

export interface RawRecord {
  readonly id: number;
  readonly name: string;
  readonly field: (Field & { readonly code?: number }) | null;
  readonly description?: string | null;
  readonly locked?: boolean;
  /** Overrides the offset to the next record; the bytes are laid down as usual. */
  readonly next?: number;
}

export interface BuildSpec {
  readonly processor?: Processor;
  readonly form?: 'float' | 'integer';
  readonly points?: number;
  readonly frames?: number;
  readonly firstFrame?: number;
  readonly rate_Hz?: number;
  /** Positive; its sign in the file follows the form. */
  readonly scale?: number;
  readonly channels?: number;
  readonly samplesPerFrame?: number;
  /** As stored: for integer files x, y, z are steps. */
  readonly point?: (point: number, frame: number) => readonly [number, number, number, number];
  readonly analog?: (channel: number, sample: number, frame: number) => number;
  /** Matrices after the data, a block of their own: 17 numbers of a rotation and sample; `fields` may change what the group says. */
  readonly rotations?: number;
  readonly rotationSamples?: number;
  readonly rotation?: (rotation: number, sample: number) => readonly number[];
  /** 'GROUP:NAME' to another field, or null to leave it out; new ones are added. */
  readonly fields?: Readonly<Record<string, Field | null>>;
  /** The whole chain instead of the usual one. */
  readonly records?: readonly RawRecord[];
  /** Changes the usual chain. */
  readonly arrange?: (records: RawRecord[]) => readonly RawRecord[];
  /** Header words (from 1) after everything else was set; floats under floatWords. */
  readonly words?: Readonly<Record<number, number>>;
  readonly floatWords?: Readonly<Record<number, number>>;
  readonly headerEvents?: readonly { readonly label: string; readonly time_s: number }[];
  readonly parameterBlock?: number;
  /** Block of the data; the parameter section is padded up to it. */
  readonly dataBlock?: number;
  readonly declaredBlocks?: number;
  readonly terminator?: boolean;
  readonly cut?: number;
  readonly tail?: number;
}

const CODES = { char: -1, byte: 1, int16: 2, float: 4 } as const;

class Out {
  readonly bytes: number[] = [];
  readonly processor: Processor;
  constructor(processor: Processor) {
    this.processor = processor;
  }
  u8(...values: number[]): void {
    for (const value of values) this.bytes.push(value & 0xff);
  }
  word(value: number): void {
    const low = value & 0xff;
    const high = (value >> 8) & 0xff;
    if (this.processor === 'mips') this.u8(high, low);
    else this.u8(low, high);
  }
  float(value: number): void {
    const b = Buffer.alloc(4);
    if (this.processor === 'mips') {
      b.writeFloatBE(value);
      this.u8(...b);
    } else if (this.processor === 'dec') {
      b.writeFloatLE(value * 4);
      this.u8(b[2]!, b[3]!, b[0]!, b[1]!);
    } else {
      b.writeFloatLE(value);
      this.u8(...b);
    }
  }
  padTo(length: number): void {
    while (this.bytes.length < length) this.bytes.push(0);
  }
}

function chars(text: string | Uint8Array): Uint8Array {
  return typeof text === 'string' ? Buffer.from(text, 'utf8') : text;
}

/** Texts padded with blanks to one width, as a two-dimensional field. */
export function texts(list: readonly string[], width = Math.max(1, ...list.map((t) => t.length))): Field {
  return { type: 'char', dims: [width, list.length], text: list.map((t) => t.padEnd(width)).join('') };
}

export function text(value: string | Uint8Array): Field {
  return { type: 'char', dims: [chars(value).length], text: value };
}

export function ints(...values: number[]): Field {
  return { type: 'int16', dims: values.length === 1 ? [] : [values.length], values };
}

export function floats(...values: number[]): Field {
  return { type: 'float', dims: values.length === 1 ? [] : [values.length], values };
}

export function writeRecord(out: Out, record: RawRecord): void {
  out.u8(record.locked ? -record.name.length : record.name.length, record.id);
  out.u8(...Buffer.from(record.name, 'latin1'));
  const body = new Out(out.processor);
  const { field } = record;
  if (field) {
    body.u8(field.code ?? CODES[field.type], field.dims.length, ...field.dims);
    if (field.type === 'char') body.u8(...chars(field.text));
    else
      for (const value of field.values) {
        if (field.type === 'float') body.float(value);
        else if (field.type === 'int16') body.word(value);
        else body.u8(value);
      }
  }
  if (record.description !== null) {
    const note = Buffer.from(record.description ?? '', 'utf8');
    body.u8(note.length, ...note);
  }
  out.word(record.next ?? body.bytes.length + 2);
  out.u8(...body.bytes);
}

/** The usual chain: POINT, then ANALOG where there are channels, then further groups of `fields` in their order. */
function usualRecords(spec: BuildSpec, dataBlock: number): RawRecord[] {
  const { points = 2, frames = 5, rate_Hz = 100, channels = 0, samplesPerFrame = 1, scale = 0.1 } = spec;
  const fields: Record<string, Field | null> = {
    'POINT:USED': ints(points),
    'POINT:SCALE': floats(spec.form === 'integer' ? scale : -scale),
    'POINT:RATE': floats(rate_Hz),
    'POINT:DATA_START': ints(dataBlock),
    'POINT:FRAMES': ints(Math.min(frames, 65535)),
    'POINT:LABELS': texts(Array.from({ length: Math.min(points, 255) }, (_, i) => `P${i + 1}`)),
    'POINT:UNITS': text('mm'),
  };
  if (channels > 0) {
    fields['ANALOG:USED'] = ints(channels);
    fields['ANALOG:RATE'] = floats(rate_Hz * samplesPerFrame);
    fields['ANALOG:LABELS'] = texts(Array.from({ length: channels }, (_, i) => `A${i + 1}`));
    fields['ANALOG:GEN_SCALE'] = floats(1);
    fields['ANALOG:SCALE'] = { type: 'float', dims: [channels], values: Array<number>(channels).fill(1) };
    fields['ANALOG:OFFSET'] = { type: 'int16', dims: [channels], values: Array<number>(channels).fill(0) };
  }
  if (spec.rotations) {
    const { form, samplesPerFrame: samples = channels > 0 ? 1 : 0, rotationSamples = 1 } = spec;
    const dataBytes = frames * (4 * points + channels * samples) * (form === 'integer' ? 2 : 4);
    fields['ROTATION:USED'] = ints(spec.rotations);
    fields['ROTATION:RATIO'] = ints(rotationSamples);
    fields['ROTATION:RATE'] = floats(rate_Hz * rotationSamples);
    fields['ROTATION:DATA_START'] = ints(dataBlock + Math.ceil(dataBytes / 512));
    fields['ROTATION:LABELS'] = texts(Array.from({ length: Math.min(spec.rotations, 255) }, (_, i) => `R${i + 1}`));
  }
  Object.assign(fields, spec.fields);
  const groups = [...new Set(Object.keys(fields).map((key) => key.split(':')[0]!))];
  const out: RawRecord[] = [];
  groups.forEach((group, index) => {
    out.push({ id: -(index + 1), name: group, field: null });
    for (const [key, field] of Object.entries(fields)) {
      const [owner, name] = key.split(':');
      if (owner === group && field) out.push({ id: index + 1, name: name!, field });
    }
  });
  return out;
}

function parameterBytes(spec: BuildSpec, processor: Processor, dataBlock: number): number[] {
  const usual = usualRecords(spec, dataBlock);
  const records = spec.records ?? (spec.arrange ? spec.arrange(usual) : usual);
  const out = new Out(processor);
  out.u8(1, 0x50, 0, { intel: 84, dec: 85, mips: 86 }[processor]);
  for (const record of records) writeRecord(out, record);
  if (spec.terminator !== false) out.u8(0, 0);
  return out.bytes;
}

/** Column after column: turned about z by an angle whose sine and cosine are 3/5 and 4/5, or by its opposite; moved by (r, s, −r). */
function turn(r: number, s: number): readonly number[] {
  const sine = (r + s) % 2 === 0 ? 0.6 : -0.6;
  return [0.8, sine, 0, 0, -sine, 0.8, 0, 0, 0, 0, 1, 0, r, s, 0 - r, 1, 0.25 * r];
}

export function buildC3d(spec: BuildSpec = {}): Uint8Array {
  const {
    processor = 'intel',
    form = 'float',
    points = 2,
    frames = 5,
    firstFrame = 1,
    rate_Hz = 100,
    scale = 0.1,
  } = spec;
  const { channels = 0, samplesPerFrame = channels > 0 ? 1 : 0, parameterBlock = 2 } = spec;
  const length = parameterBytes(spec, processor, 99).length;
  const dataBlock = spec.dataBlock ?? parameterBlock + Math.ceil(length / 512);
  const section = parameterBytes(spec, processor, dataBlock);
  section[2] = spec.declaredBlocks ?? Math.ceil(length / 512);
  const out = new Out(processor);
  out.u8(parameterBlock, 0x50);
  for (const word of [points, channels * samplesPerFrame, firstFrame, Math.min(firstFrame + frames - 1, 65535), 10]) {
    out.word(word);
  }
  out.float(form === 'integer' ? scale : -scale);
  out.word(dataBlock);
  out.word(samplesPerFrame);
  out.float(rate_Hz);
  out.padTo(298);
  out.word(12345);
  const events = spec.headerEvents ?? [];
  out.word(events.length);
  out.padTo(304);
  for (const event of events) out.float(event.time_s);
  out.padTo(396);
  for (const event of events) out.u8(...Buffer.from(event.label.padEnd(4), 'latin1'));
  out.padTo(512 * (parameterBlock - 1));
  out.u8(...section);
  out.padTo(512 * (dataBlock - 1));
  const value = (v: number): void => (form === 'float' ? out.float(v) : out.word(v));
  for (let f = 0; f < frames; f += 1) {
    for (let p = 0; p < points; p += 1) {
      const point = spec.point ? spec.point(p, f) : ([10 * p + f, 20 * p - f, p + 2 * f, 0] as const);
      for (const v of point) value(v);
    }
    for (let s = 0; s < samplesPerFrame; s += 1) {
      for (let c = 0; c < channels; c += 1) value(spec.analog ? spec.analog(c, s, f) : 100 * c + 10 * s + f);
    }
  }
  if (spec.rotations) {
    out.padTo(Math.ceil(out.bytes.length / 512) * 512);
    for (let s = 0; s < frames * (spec.rotationSamples ?? 1); s += 1) {
      for (let r = 0; r < spec.rotations; r += 1) {
        for (const v of spec.rotation ? spec.rotation(r, s) : turn(r, s)) out.float(v);
      }
    }
  }
  const dataEnd = out.bytes.length;
  out.padTo(Math.ceil(dataEnd / 512) * 512 + (spec.tail ?? 0));
  patchHeader(out, spec);
  const bytes = Uint8Array.from(out.bytes);
  return spec.cut === undefined ? bytes : bytes.slice(0, dataEnd - spec.cut);
}

function patchHeader(out: Out, spec: BuildSpec): void {
  for (const [word, value] of Object.entries(spec.words ?? {})) {
    const patch = new Out(out.processor);
    patch.word(value);
    out.bytes.splice(2 * (Number(word) - 1), 2, ...patch.bytes);
  }
  for (const [word, value] of Object.entries(spec.floatWords ?? {})) {
    const patch = new Out(out.processor);
    patch.float(value);
    out.bytes.splice(2 * (Number(word) - 1), 4, ...patch.bytes);
  }
}
