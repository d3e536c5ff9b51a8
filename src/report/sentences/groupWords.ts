import type { PlayerComparison } from '../../model/comparison.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** What a page of comparisons is about, by what the players' first comparisons have in common. */
export function groupWords(
  words: Words,
  comparisons: readonly Pick<PlayerComparison, 'name' | 'group' | 'reference'>[],
): {
  readonly title: string;
  readonly heading: string;
} {
  const usual = fill(words.against, { group: words.side('driver'), reference: words.side('irons') });
  const pairs = comparisons
    .filter(({ name }) => (name ?? '') === '')
    .map(({ group, reference }) => fill(words.against, { group: group.label, reference: reference.label }));
  const title = new Set(pairs).size < 2 ? (pairs[0] ?? usual) : words.day.severalComparisons;
  if (title === usual) return { title, heading: words.day.heading };
  return { title, heading: fill(words.day.otherHeading, { title }) };
}
