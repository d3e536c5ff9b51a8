/** The parameter section as bytes: groups and parameters in the order given, Intel byte order. */

export type C3dParameterContent =
  | {
      readonly group: string;
      readonly name: string;
      readonly type: 'char';
      /** One string gives a one-dimensional parameter when `single` is true, otherwise one column a string. */
      readonly text: readonly string[];
      readonly single?: boolean;
      readonly description?: string;
    }
  | {
      readonly group: string;
      readonly name: string;
      readonly type: 'byte' | 'int16' | 'float';
      readonly numbers: readonly number[];
      /** First index fastest; [] is a single number. Their product must be the number of values. */
      readonly dimensions: readonly number[];
      readonly description?: string;
    };

const ELEMENT_SIZE = { char: -1, byte: 1, int16: 2, float: 4 } as const;
/** Dimensions are bytes, so a list holds at most 255 entries; a record's length is a 16-bit word. */
const MAX_LIST = 255;
const MAX_RECORD = 65_000;
const NAME = /^[A-Z0-9_]{1,127}$/;
const encoder = new TextEncoder();

/**
 * Bytes of the whole section, a multiple of 512, its block count and processor byte (84, Intel) set.
 * A text list longer than 255 entries is continued under NAME2, NAME3 …
 * @throws RangeError for names, dimensions, values or sizes that the format cannot hold
 */
export function parameterSection(parameters: readonly C3dParameterContent[]): Uint8Array {
  const names = [...new Set(parameters.map((p) => p.group))];
  if (names.length > 127) throw new RangeError(`a C3D file holds at most 127 groups, not ${names.length}`);
  const records: Uint8Array[] = [];
  names.forEach((group, index) => {
    records.push(groupRecord(index + 1, group));
    for (const p of parameters) {
      if (p.group !== group) continue;
      for (const part of continued(p)) records.push(parameterRecord(index + 1, part));
    }
  });
  let length = 4;
  for (const record of records) length += record.length;
  const blocks = Math.ceil((length + 2) / 512);
  if (blocks > 255) throw new RangeError(`the parameters need ${blocks} blocks of 512 bytes; a C3D file holds 255`);
  const section = new Uint8Array(blocks * 512);
  section.set([1, 0x50, blocks, 84]);
  let at = 4;
  for (const record of records) {
    section.set(record, at);
    at += record.length;
  }
  return section;
}

/** A text list cut into parts the format can hold: LABELS, LABELS2, LABELS3 … */
function continued(p: C3dParameterContent): readonly C3dParameterContent[] {
  if (p.type !== 'char' || p.single === true) return [p];
  const width = textWidth(p.text);
  const perPart = Math.max(1, Math.min(MAX_LIST, Math.floor(MAX_RECORD / width)));
  if (p.text.length <= perPart) return [p];
  const parts: C3dParameterContent[] = [];
  for (let from = 0; from < p.text.length; from += perPart) {
    const name = from === 0 ? p.name : `${p.name}${parts.length + 1}`;
    parts.push({ ...p, name, text: p.text.slice(from, from + perPart) });
  }
  return parts;
}

function textWidth(texts: readonly string[]): number {
  let width = 1;
  for (const text of texts) width = Math.max(width, encoder.encode(text).length);
  if (width > 255) throw new RangeError(`a C3D text is at most 255 bytes long, not ${width}`);
  return width;
}

function groupRecord(id: number, name: string): Uint8Array {
  return record(name, -id, new Uint8Array(0), '');
}

function parameterRecord(id: number, p: C3dParameterContent): Uint8Array {
  const { dimensions, data } = p.type === 'char' ? textData(p.text, p.single === true) : numberData(p);
  for (const d of dimensions) {
    if (!Number.isInteger(d) || d < 0 || d > 255) throw new RangeError(`${p.group}:${p.name}: dimension ${d}`);
  }
  if (dimensions.length > 7) throw new RangeError(`${p.group}:${p.name}: ${dimensions.length} dimensions, at most 7`);
  const body = new Uint8Array(2 + dimensions.length + data.length);
  body[0] = ELEMENT_SIZE[p.type] & 0xff;
  body[1] = dimensions.length;
  body.set(dimensions, 2);
  body.set(data, 2 + dimensions.length);
  return record(p.name, id, body, p.description ?? '');
}

function textData(texts: readonly string[], single: boolean): { dimensions: number[]; data: Uint8Array } {
  const width = textWidth(texts);
  if (single && texts.length !== 1) throw new RangeError(`a single text parameter has one text, not ${texts.length}`);
  const data = new Uint8Array(width * texts.length).fill(0x20);
  texts.forEach((text, i) => {
    data.set(encoder.encode(text), i * width);
  });
  return { dimensions: single ? [width] : [width, texts.length], data };
}

function numberData(p: Exclude<C3dParameterContent, { type: 'char' }>): { dimensions: number[]; data: Uint8Array } {
  let count = 1;
  for (const d of p.dimensions) count *= d;
  if (count !== p.numbers.length) {
    throw new RangeError(
      `${p.group}:${p.name}: ${p.numbers.length} values for dimensions [${p.dimensions.join(', ')}]`,
    );
  }
  const size = ELEMENT_SIZE[p.type];
  const data = new Uint8Array(size * count);
  const view = new DataView(data.buffer);
  p.numbers.forEach((value, i) => {
    if (p.type === 'float') {
      view.setFloat32(i * 4, value, true);
      return;
    }
    const [low, high] = p.type === 'byte' ? [-128, 255] : [-32768, 65535];
    if (!Number.isInteger(value) || value < low || value > high) {
      throw new RangeError(`${p.group}:${p.name}: ${value} does not fit the type ${p.type}`);
    }
    if (p.type === 'byte') view.setUint8(i, value & 0xff);
    else view.setUint16(i * 2, value & 0xffff, true);
  });
  return { dimensions: [...p.dimensions], data };
}

/** Name length, id, name, offset to the next record counted from itself, body, description. */
function record(name: string, id: number, body: Uint8Array, description: string): Uint8Array {
  if (!NAME.test(name)) throw new RangeError(`"${name}" is no C3D name (A-Z, 0-9, _, at most 127 characters)`);
  const note = encoder.encode(description);
  if (note.length > 255) throw new RangeError(`${name}: a description is at most 255 bytes long, not ${note.length}`);
  const offset = 2 + body.length + 1 + note.length;
  if (offset > 65535) throw new RangeError(`${name}: a record of ${offset} bytes, at most 65535`);
  const out = new Uint8Array(2 + name.length + offset);
  const view = new DataView(out.buffer);
  view.setInt8(0, name.length);
  view.setInt8(1, id);
  out.set(encoder.encode(name), 2);
  view.setUint16(2 + name.length, offset, true);
  out.set(body, 4 + name.length);
  out[4 + name.length + body.length] = note.length;
  out.set(note, 5 + name.length + body.length);
  return out;
}
