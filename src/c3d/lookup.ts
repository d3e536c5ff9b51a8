/** Finding parameters: single numbers, number lists and text lists with their numbered continuations. */
import type { C3dGroup, C3dParameter } from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;

export function parameter(groups: Groups, group: string, name: string): C3dParameter | undefined {
  return groups.get(group)?.parameters.get(name);
}

/** NAME, NAME2, NAME3 … as long as they exist. */
function continued(groups: Groups, group: string, name: string): C3dParameter[] {
  const out: C3dParameter[] = [];
  let part = parameter(groups, group, name);
  while (part) {
    out.push(part);
    part = parameter(groups, group, `${name}${out.length + 1}`);
  }
  return out;
}

/** All texts of NAME, NAME2 … as one list; [] where there are none. */
export function textList(groups: Groups, group: string, name: string): readonly string[] {
  const parts = continued(groups, group, name);
  return parts.length === 1 ? parts[0]!.text : parts.flatMap((part) => [...part.text]);
}

/** All numbers of NAME, NAME2 … as one list; [] where there are none. */
export function numberList(groups: Groups, group: string, name: string): readonly number[] {
  const parts = continued(groups, group, name);
  return parts.length === 1 ? parts[0]!.numbers : parts.flatMap((part) => [...part.numbers]);
}

/** The first number of a parameter as stored, or null where there is none. */
export function numberOf(groups: Groups, group: string, name: string): number | null {
  return parameter(groups, group, name)?.numbers[0] ?? null;
}

/** A count: a whole number of any type, 16-bit words unsigned; null where there is none. */
export function countOf(groups: Groups, group: string, name: string): number | null {
  const found = parameter(groups, group, name);
  const value = found?.numbers[0];
  if (found === undefined || value === undefined) return null;
  const count = found.type === 'int16' ? value & 0xffff : value;
  return Number.isInteger(count) && count >= 0 ? count : null;
}

/** Absolute offset of a parameter's record, or the fallback. */
export function offsetOf(groups: Groups, group: string, name: string, fallback: number): number {
  return parameter(groups, group, name)?.offset ?? fallback;
}
