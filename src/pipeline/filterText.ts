import { formatFixed } from '../base/format.ts';
import type { CutoffMethod, Cutoffs, FilterGroup } from '../model/dayPlan.ts';

const PARTS = [
  ['trunk', 'trunk_Hz'],
  ['head', 'head_Hz'],
  ['legs', 'legs_Hz'],
  ['upper arm', 'upperArm_Hz'],
  ['forearm', 'forearm_Hz'],
] as const;

const RULES: Readonly<Record<CutoffMethod, string>> = {
  residual: 'by residual analysis',
  autocorrelation: 'by autocorrelation of the residual',
  'cross-validation': 'of a cross-validated quintic spline',
};

/** What trials were smoothed with, in words: of cutoffs that each trial chose the range; trials of unlike settings are said to differ. */
export function filterText(filters: readonly Cutoffs[]): string {
  const alike = new Map<string, Cutoffs[]>();
  for (const filter of filters) {
    const settings = PARTS.map(([, key]) => filter.chosen?.[key] ?? filter[key]).join(' ');
    alike.set(settings, [...(alike.get(settings) ?? []), filter]);
  }
  const texts = [...alike.values()].map(textOf);
  if (texts.length > 1) return `smoothing differs between trials: ${texts.join(' | ')}`;
  return texts[0] ?? '';
}

function textOf(filters: readonly Cutoffs[]): string {
  const groups = new Map<string, string[]>();
  for (const [name, key] of PARTS) {
    const said = cutoffText(filters, key);
    groups.set(said, [...(groups.get(said) ?? []), name]);
  }
  const said = [...groups].map(([cutoff, names]) => `${names.join(', ')} ${cutoff}`);
  const each = filters.some(({ chosen }) => chosen !== undefined) ? '; chosen in each swing by itself' : '';
  return `zero-lag low-pass: ${said.join('; ')}; club none${each}`;
}

function cutoffText(filters: readonly Cutoffs[], key: FilterGroup): string {
  const cutoffs = filters.map((filter) => filter[key]).filter((cutoff) => cutoff !== null);
  if (cutoffs.length === 0) return 'none';
  cutoffs.sort((a, b) => a - b);
  const least = cutoffs[0]!;
  const most = cutoffs[cutoffs.length - 1]!;
  const middle = (cutoffs[(cutoffs.length - 1) >> 1]! + cutoffs[cutoffs.length >> 1]!) / 2;
  const range = least === most ? `${plain(least)} Hz` : `${plain(least)}–${plain(most)} Hz (median ${plain(middle)})`;
  const rule = filters[0]?.chosen?.[key];
  return rule === undefined ? range : `${range} ${RULES[rule]}`;
}

function plain(value: number): string {
  if (Number.isInteger(value)) return formatFixed(value, 0);
  return formatFixed(value, Number.isInteger(2 * value) ? 1 : 2);
}
