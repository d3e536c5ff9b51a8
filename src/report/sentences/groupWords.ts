import type { PlayerComparison } from '../../model/comparison.ts';

/** What a page of comparisons is about, by what the players' first comparisons have in common. */
export function groupWords(comparisons: readonly PlayerComparison[]): {
  readonly title: string;
  readonly heading: string;
} {
  const pairs = comparisons
    .filter(({ name }) => (name ?? '') === '')
    .map(({ group, reference }) => `${group.label} against ${reference.label}`);
  const title = new Set(pairs).size < 2 ? (pairs[0] ?? DEFAULT) : 'comparisons of swings';
  if (title === DEFAULT) return { title, heading: 'Where the driver leaves what the irons already do' };
  return { title, heading: `What differs: ${title}` };
}

const DEFAULT = 'driver against irons';
