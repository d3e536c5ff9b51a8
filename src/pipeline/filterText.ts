import { formatFixed } from '../base/format.ts';
import type { FilterOptions } from '../model/dayPlan.ts';

const PARTS = [
  ['trunk', 'trunk_Hz'],
  ['head', 'head_Hz'],
  ['legs', 'legs_Hz'],
  ['upper arm', 'upperArm_Hz'],
  ['forearm', 'forearm_Hz'],
] as const;

/** The smoothing in words; trials that differ are said to differ. */
export function filterText(filters: readonly FilterOptions[]): string {
  const texts = [...new Set(filters.map(oneFilterText))];
  if (texts.length > 1) return `smoothing differs between trials: ${texts.join(' | ')}`;
  return texts[0] ?? '';
}

function oneFilterText(filter: FilterOptions): string {
  const groups = new Map<number | null, string[]>();
  for (const [name, key] of PARTS) {
    const cutoff = filter[key];
    groups.set(cutoff, [...(groups.get(cutoff) ?? []), name]);
  }
  const said = [...groups].map(
    ([cutoff, names]) => `${names.join(', ')} ${cutoff === null ? 'none' : `${plain(cutoff)} Hz`}`,
  );
  return `zero-lag low-pass: ${said.join('; ')}; club none`;
}

function plain(value: number): string {
  return Number.isInteger(value) ? formatFixed(value, 0) : formatFixed(value, 2);
}
