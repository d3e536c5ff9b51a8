/** Groups as they were read, to the bytes of a parameter section in any byte order: ids, locks, descriptions and padding kept. */
import { floatBytes, floatHolds, wordBytes } from './encode.ts';
import { decodeText } from './text.ts';
import type { C3dGroup, C3dParameter, Processor } from './types.ts';

const TYPE_CODES = { char: 0xff, byte: 1, int16: 2, float: 4 } as const;
const PROCESSOR_CODES = { intel: 84, dec: 85, mips: 86 } as const;
const encoder = new TextEncoder();

export interface SectionBytes {
  /** A whole number of 512-byte blocks. */
  readonly bytes: Uint8Array;
  /** Parameters whose record is too long for the format, as GROUP:NAME. */
  readonly tooLong: readonly string[];
  /** Parameters with values that the target's float form lacks; they are 0. */
  readonly notHeld: readonly string[];
}

/** Every group, then its parameters, in the order of the maps; parameters of no group (named "#id") under their number. */
export function groupsToBytes(groups: ReadonlyMap<string, C3dGroup>, processor: Processor): SectionBytes {
  const records: Uint8Array[] = [];
  const tooLong: string[] = [];
  const notHeld: string[] = [];
  for (const group of groups.values()) {
    if (!group.name.startsWith('#')) {
      records.push(record(group.name, group.locked, -group.id, new Uint8Array(0), group.description, processor));
    }
    for (const p of group.parameters.values()) {
      const body = parameterBody(p, processor);
      const bytes = record(p.name, p.locked, group.id, body, p.description, processor);
      if (bytes.length > 65_535) {
        tooLong.push(`${group.name}:${p.name}`);
        continue;
      }
      records.push(bytes);
      if (p.type === 'float' && p.numbers.some((n) => !floatHolds(processor, Math.fround(n)))) {
        notHeld.push(`${group.name}:${p.name}`);
      }
    }
  }
  let length = 4;
  for (const one of records) length += one.length;
  // Two zero bytes end the chain.
  const blocks = Math.ceil((length + 2) / 512);
  const bytes = new Uint8Array(blocks * 512);
  bytes.set([1, 0x50, Math.min(blocks, 255), PROCESSOR_CODES[processor]]);
  let at = 4;
  for (const one of records) {
    bytes.set(one, at);
    at += one.length;
  }
  return { bytes, tooLong, notHeld };
}

function parameterBody(p: C3dParameter, processor: Processor): Uint8Array {
  const { dimensions, data } = p.type === 'char' ? textBytes(p) : numberBytes(p, processor);
  const body = new Uint8Array(2 + dimensions.length + data.length);
  body[0] = TYPE_CODES[p.type];
  body[1] = dimensions.length;
  body.set(dimensions, 2);
  body.set(data, 2 + dimensions.length);
  return body;
}

function textBytes(p: C3dParameter): { dimensions: readonly number[]; data: Uint8Array } {
  const stored = p.raw ?? paddedTexts(p);
  const dimensions = fittedDimensions(p.dimensions, stored.length);
  return { dimensions, data: stored.subarray(0, product(dimensions)) };
}

/** Texts without their stored bytes, blank-padded to the width that the dimensions give. */
function paddedTexts(p: C3dParameter): Uint8Array {
  const width = p.dimensions[0] ?? 1;
  const out = new Uint8Array(width * p.text.length).fill(0x20);
  p.text.forEach((text, i) => {
    out.set(textOf(text).subarray(0, width), i * width);
  });
  return out;
}

function numberBytes(p: C3dParameter, processor: Processor): { dimensions: readonly number[]; data: Uint8Array } {
  const dimensions = fittedDimensions(p.dimensions, p.numbers.length);
  const numbers = p.numbers.slice(0, product(dimensions));
  if (p.type === 'float') return { dimensions, data: floatBytes(numbers, processor) };
  if (p.type === 'int16') return { dimensions, data: wordBytes(numbers, processor) };
  return { dimensions, data: Uint8Array.from(numbers, (n) => n & 0xff) };
}

/** The dimensions themselves, or for a parameter that was cut in its file as many of its last index as there are values for. */
function fittedDimensions(dimensions: readonly number[], count: number): readonly number[] {
  if (product(dimensions) <= count) return dimensions;
  if (dimensions.length === 0) return [0];
  const inner = product(dimensions.slice(0, -1));
  return [...dimensions.slice(0, -1), inner === 0 ? 0 : Math.floor(count / inner)];
}

function product(dimensions: readonly number[]): number {
  let out = 1;
  for (const d of dimensions) out *= d;
  return out;
}

/** Name length (negative = locked), id, name, offset to the next record counted from itself, body, description. */
function record(
  name: string,
  locked: boolean,
  id: number,
  body: Uint8Array,
  description: string,
  processor: Processor,
): Uint8Array {
  const nameBytes = textOf(name === '' ? ' ' : name).subarray(0, locked ? 128 : 127);
  const note = textOf(description).subarray(0, 255);
  const offset = 2 + body.length + 1 + note.length;
  const out = new Uint8Array(2 + nameBytes.length + offset);
  out[0] = (locked ? -nameBytes.length : nameBytes.length) & 0xff;
  out[1] = id & 0xff;
  let at = 2;
  for (const part of [nameBytes, wordBytes([offset], processor), body, [note.length], note]) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** One byte a letter where that is read back as the same text, UTF-8 otherwise: a text never grows past its stored length. */
function textOf(text: string): Uint8Array {
  const latin1 = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i += 1) {
    const code = text.charCodeAt(i);
    if (code > 255) return encoder.encode(text);
    latin1[i] = code;
  }
  return decodeText(latin1).text === text ? latin1 : encoder.encode(text);
}
