/** The parameter section: a chain of group and parameter records, in any order. */
import { ByteReader } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import { decodeText } from './text.ts';
import type { C3dGroup, C3dParameter, Processor } from './types.ts';

const TYPES = new Map<number, C3dParameter['type']>([
  [-1, 'char'],
  [1, 'byte'],
  [2, 'int16'],
  [4, 'float'],
]);
const SIZES = { char: 1, byte: 1, int16: 2, float: 4 } as const;
const NOTHING: readonly never[] = Object.freeze([]);

interface RawGroup {
  readonly offset: number;
  readonly id: number;
  readonly name: string;
  readonly locked: boolean;
  readonly description: string;
}

interface Found {
  readonly groups: RawGroup[];
  readonly parameters: { readonly id: number; readonly parameter: C3dParameter }[];
}

/**
 * Reads `bytes`, the section from its first byte to the data section (or the end of the file). The walk ends at a name of length
 * zero, an offset of zero, an offset that leads past the bytes, or a damaged record; the declared block count does not stop it.
 * Values never reach beyond the next record, so the work is linear in the bytes.
 */
export function readParameters(
  bytes: Uint8Array,
  base: number,
  processor: Processor,
  file: string,
  notes: Notes,
): ReadonlyMap<string, C3dGroup> {
  const reader = new ByteReader(bytes, base, processor, file, ['parameters']);
  reader.at = 2;
  const declared = reader.u8() * 512;
  reader.at = 4;
  const found: Found = { groups: [], parameters: [] };
  const latin1: number[] = [];
  const bare: number[] = [];
  while (reader.left >= 2 && readRecord(reader, found, notes, latin1, bare));
  if (declared > 0 && reader.at > declared) {
    notes.add('parameter-blocks-wrong', `the parameters run past the ${declared / 512} blocks declared`, base + 2);
  }
  if (bare.length > 0) {
    notes.add('parameter-without-description', `${bare.length} records end before their description`, bare[0]!);
  }
  if (latin1.length > 0) notes.add('text-not-utf8', `${latin1.length} texts are read as Latin-1`, latin1[0]!);
  if (found.groups.length === 0) notes.add('no-parameters', 'the parameter section holds no group', base);
  return gather(found, base, notes);
}

/** One record; false where the chain ends. */
function readRecord(reader: ByteReader, found: Found, notes: Notes, latin1: number[], bare: number[]): boolean {
  const start = reader.at;
  const nameLength = reader.i8();
  if (nameLength === 0) {
    reader.at = start;
    return false;
  }
  const id = reader.i8();
  const length = Math.abs(nameLength);
  const broken = (why: string): false => {
    notes.add(
      'parameter-chain-broken',
      `${why}; ${found.parameters.length} parameters were read before`,
      reader.offset(start),
    );
    reader.at = start;
    return false;
  };
  if (reader.left < length + 2) return broken('a record runs past the end of the section');
  const nameBytes = reader.bytes(length);
  if (!isName(nameBytes)) return broken('a record has no readable name');
  const name = decodeText(nameBytes).text.toUpperCase();
  const offsetAt = reader.at;
  const offset = reader.u16();
  const next = offsetAt + offset;
  const past = next > reader.length;
  const end = offset === 0 || past ? reader.length : next;
  if (offset !== 0 && next < reader.at) return broken(`the record "${name}" points into itself`);
  const locked = nameLength < 0;
  if (id < 0) {
    const description = readDescription(reader, end, latin1, bare);
    found.groups.push({ offset: reader.offset(start), id: -id, name, locked, description });
  } else {
    const parameter = readParameter(reader, end, { name, locked, offset: reader.offset(start) }, notes, latin1, bare);
    if (parameter === 'broken') return broken(`the record "${name}" is cut`);
    if (parameter !== null) found.parameters.push({ id, parameter });
  }
  if (past) {
    notes.add('parameter-chain-past-end', `the record "${name}" points past the section`, reader.offset(offsetAt));
    return false;
  }
  if (offset === 0) return false;
  reader.at = next;
  return true;
}

function isName(bytes: Uint8Array): boolean {
  for (const byte of bytes) if (byte < 0x20 || (byte > 0x7e && byte < 0xa0)) return false;
  return true;
}

function readDescription(reader: ByteReader, end: number, latin1: number[], bare: number[]): string {
  if (reader.at >= end) {
    bare.push(reader.offset());
    return '';
  }
  const at = reader.offset();
  const length = Math.min(reader.u8(), end - reader.at);
  const { text, latin1: isLatin1 } = decodeText(reader.bytes(length));
  if (isLatin1) latin1.push(at);
  return text;
}

function readParameter(
  reader: ByteReader,
  end: number,
  head: { readonly name: string; readonly locked: boolean; readonly offset: number },
  notes: Notes,
  latin1: number[],
  bare: number[],
): C3dParameter | 'broken' | null {
  if (end - reader.at < 2) return 'broken';
  const typeAt = reader.offset();
  const code = reader.i8();
  const dimensionCount = reader.u8();
  if (dimensionCount > end - reader.at) return 'broken';
  const type = TYPES.get(code);
  if (type === undefined || dimensionCount > 7) {
    const what = type === undefined ? `type ${code}` : `${dimensionCount} dimensions`;
    notes.add('parameter-type-unknown', `the parameter "${head.name}" has ${what}`, typeAt);
    return null;
  }
  const dimensions = [...reader.bytes(dimensionCount)];
  const size = SIZES[type];
  let declared = 1;
  for (const d of dimensions) declared *= d;
  const valuesAt = reader.offset();
  const fits = Math.floor((end - reader.at) / size);
  const count = Math.min(declared, fits);
  if (declared > fits) {
    notes.add('parameter-cut', `"${head.name}" declares ${declared} values, its record holds ${count}`, valuesAt);
  }
  let text: readonly string[] = NOTHING;
  let numbers: readonly number[] = NOTHING;
  let raw: Uint8Array | null = null;
  if (type === 'char') {
    const start = reader.at;
    raw = reader.bytes(count);
    reader.at = start;
    text = readTexts(reader, count, dimensions, latin1);
    reader.at = start + count;
  }
  if (type !== 'char' && count > 0) numbers = readNumbers(reader, type, count);
  const description = declared > fits ? '' : readDescription(reader, end, latin1, bare);
  return {
    group: '',
    name: head.name,
    type,
    dimensions,
    text,
    numbers,
    ...(raw ? { raw } : {}),
    locked: head.locked,
    description,
    offset: head.offset,
  };
}

/** One string per column; a column that is cut at the end of its record is left out. */
function readTexts(
  reader: ByteReader,
  count: number,
  dimensions: readonly number[],
  latin1: number[],
): readonly string[] {
  if (count === 0) return NOTHING;
  const width =
    dimensions.length === 0 ? 1 : Math.min(dimensions[0]!, dimensions.length === 1 ? count : dimensions[0]!);
  const out: string[] = [];
  for (let column = 0; column < Math.floor(count / width); column += 1) {
    const at = reader.offset();
    const { text, latin1: isLatin1 } = decodeText(reader.bytes(width));
    if (isLatin1) latin1.push(at);
    out.push(text);
  }
  return out;
}

function readNumbers(reader: ByteReader, type: 'byte' | 'int16' | 'float', count: number): readonly number[] {
  const out: number[] = [];
  for (let i = 0; i < count; i += 1)
    out.push(type === 'float' ? reader.f32() : type === 'int16' ? reader.i16() : reader.u8());
  return out;
}

/** Groups by id, then merged by name; parameters of an id that no group has are kept under "#id". */
function gather(found: Found, base: number, notes: Notes): ReadonlyMap<string, C3dGroup> {
  const nameOf = new Map<number, string>();
  const groups = new Map<string, RawGroup & { parameters: Map<string, C3dParameter> }>();
  for (const group of found.groups) {
    if (groups.has(group.name)) notes.add('group-repeated', `there are two groups ${group.name}`, group.offset);
    else groups.set(group.name, { ...group, parameters: new Map() });
    if (!nameOf.has(group.id)) nameOf.set(group.id, group.name);
  }
  const repeated = new Map<string, { count: number; readonly first: C3dParameter }>();
  let orphans = 0;
  let firstOrphan = base;
  for (const { id, parameter } of found.parameters) {
    let name = nameOf.get(id);
    if (name === undefined) {
      name = `#${id}`;
      if (orphans === 0) firstOrphan = parameter.offset;
      orphans += 1;
    }
    let group = groups.get(name);
    if (!group) {
      group = { offset: parameter.offset, id, name, locked: false, description: '', parameters: new Map() };
      groups.set(name, group);
    }
    if (group.parameters.has(parameter.name)) {
      const told = repeated.get(name);
      if (told) told.count += 1;
      else repeated.set(name, { count: 1, first: parameter });
    } else {
      group.parameters.set(parameter.name, { ...parameter, group: name });
    }
  }
  for (const [name, { count, first }] of repeated) {
    const which = count === 1 ? first.name : `${first.name} and ${count - 1} more`;
    notes.add('parameter-repeated', `${name}:${which} occur twice`, first.offset);
  }
  if (orphans > 0) {
    notes.add('parameter-without-group', `${orphans} parameters belong to no group of the file`, firstOrphan);
  }
  return groups;
}
