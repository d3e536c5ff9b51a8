/** Changes to parameters that were read: counts, lists with their numbered continuations, columns left out. */
import { parameter } from './lookup.ts';
import type { C3dGroup, C3dParameter } from './types.ts';

export interface EditableGroup extends Omit<C3dGroup, 'parameters'> {
  readonly parameters: Map<string, C3dParameter>;
}
export type EditableGroups = Map<string, EditableGroup>;

/** A copy whose maps may be changed; parameters themselves are replaced, never changed. */
export function editable(groups: ReadonlyMap<string, C3dGroup>): EditableGroups {
  const out: EditableGroups = new Map();
  for (const [name, group] of groups) out.set(name, { ...group, parameters: new Map(group.parameters) });
  return out;
}

/** Adds or replaces; a group that is missing gets the lowest free number. False where all 127 are taken. */
export function put(groups: EditableGroups, p: C3dParameter): boolean {
  let group = groups.get(p.group);
  if (!group) {
    const taken = new Set([...groups.values()].map(({ id }) => id));
    let id = 1;
    while (taken.has(id)) id += 1;
    if (id > 127) return false;
    group = { id, name: p.group, locked: false, description: '', parameters: new Map() };
    groups.set(p.group, group);
  }
  group.parameters.set(p.name, p);
  return true;
}

export function numbersParameter(
  group: string,
  name: string,
  type: 'int16' | 'float',
  numbers: readonly number[],
  dimensions: readonly number[],
): C3dParameter {
  return { group, name, type, numbers, dimensions, text: [], locked: false, description: '', offset: 0 };
}

/** The number as a signed 16-bit word. */
export function signed(value: number): number {
  return value > 32767 ? value - 65536 : value;
}

/**
 * Makes the first number of a parameter that exists `value`, 16-bit words unsigned. Its type stays where it can hold the value.
 * Returns whether it was changed.
 */
export function setNumber(groups: EditableGroups, group: string, name: string, value: number): boolean {
  const found = parameter(groups, group, name);
  if (!found) return false;
  const old = found.numbers[0];
  if (old !== undefined && (found.type === 'int16' ? old & 0xffff : old) === value && found.type !== 'char')
    return false;
  if (found.type === 'int16' && old === value) return false;
  const whole = Number.isInteger(value) && value >= 0;
  const holds =
    found.type === 'float' ||
    (whole && found.type === 'int16' && value <= 65535) ||
    (whole && found.type === 'byte' && value <= 255);
  if (holds && old !== undefined) {
    const first = found.type === 'int16' ? signed(value) : value;
    put(groups, { ...found, numbers: [first, ...found.numbers.slice(1)] });
    return true;
  }
  const type = whole && value <= 65535 ? 'int16' : 'float';
  const fresh = numbersParameter(group, name, type, [type === 'int16' ? signed(value) : value], []);
  put(groups, { ...fresh, locked: found.locked, description: found.description });
  return true;
}

/** NAME, NAME2, NAME3 … as long as they exist. */
export function parts(groups: EditableGroups, group: string, name: string): C3dParameter[] {
  const out: C3dParameter[] = [];
  for (let part = parameter(groups, group, name); part; ) {
    out.push(part);
    part = parameter(groups, group, `${name}${out.length + 1}`);
  }
  return out;
}

/** Writes a list of numbers over a parameter and its continuations; laid out anew in parts of 255 where their number differs. */
export function setList(
  groups: EditableGroups,
  group: string,
  name: string,
  type: 'int16' | 'float',
  numbers: readonly number[],
): void {
  const old = parts(groups, group, name);
  let stored = 0;
  for (const part of old) stored += part.numbers.length;
  if (stored === numbers.length && old.every((part) => part.type === type)) {
    let at = 0;
    for (const part of old) {
      put(groups, { ...part, numbers: numbers.slice(at, at + part.numbers.length) });
      at += part.numbers.length;
    }
    return;
  }
  for (const part of old) groups.get(group)?.parameters.delete(part.name);
  for (let at = 0, n = 1; at < numbers.length; at += 255, n += 1) {
    const some = numbers.slice(at, at + 255);
    const fresh = numbersParameter(group, n === 1 ? name : `${name}${n}`, type, some, [some.length]);
    const like = old[n - 1];
    put(groups, like ? { ...fresh, locked: like.locked, description: like.description } : fresh);
  }
}

/** How many entries a list has: columns along its last index, all parts together; `perEntry` values each where it is flat. */
export function columnCount(groups: EditableGroups, group: string, name: string, perEntry = 1): number {
  let count = 0;
  for (const part of parts(groups, group, name)) count += columnsIn(part, perEntry).count;
  return count;
}

/** Leaves out the entries of a list, all parts together, for which `keep` is false. */
export function keepColumns(
  groups: EditableGroups,
  group: string,
  name: string,
  keep: (index: number) => boolean,
  perEntry = 1,
): void {
  let at = 0;
  for (const part of parts(groups, group, name)) {
    const { size, count, flat } = columnsIn(part, perEntry);
    const kept: number[] = [];
    for (let i = 0; i < count; i += 1) if (keep(at + i)) kept.push(i);
    at += count;
    if (kept.length === count) continue;
    const last = flat ? kept.length * size : kept.length;
    const inner = flat ? [] : part.type === 'char' ? [part.dimensions[0]!] : part.dimensions.slice(0, -1);
    const dimensions = [...inner, last];
    const text = part.type === 'char' ? kept.map((i) => part.text[i] ?? '') : [];
    const numbers = part.type === 'char' ? [] : kept.flatMap((i) => part.numbers.slice(i * size, (i + 1) * size));
    const raw = part.raw === undefined ? {} : { raw: rawColumns(part.raw, kept, size) };
    put(groups, { ...part, dimensions, text, numbers, ...raw });
  }
}

function rawColumns(raw: Uint8Array, kept: readonly number[], size: number): Uint8Array {
  const out = new Uint8Array(kept.length * size);
  kept.forEach((i, k) => {
    out.set(raw.subarray(i * size, (i + 1) * size), k * size);
  });
  return out;
}

function columnsIn(part: C3dParameter, perEntry: number): { size: number; count: number; flat: boolean } {
  const length = part.type === 'char' ? part.text.length : part.numbers.length;
  const flat = part.dimensions.length < 2;
  if (part.type === 'char') return { size: flat ? length : part.dimensions[0]!, count: flat ? 0 : length, flat };
  if (flat) return { size: perEntry, count: Math.floor(length / perEntry), flat };
  let size = 1;
  for (const d of part.dimensions.slice(0, -1)) size *= d;
  return { size, count: size === 0 ? 0 : Math.floor(length / size), flat };
}
