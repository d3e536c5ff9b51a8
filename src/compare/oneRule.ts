import { compareText } from './swings.ts';

/** What a value was made of, where that differs from swing to swing: one rule in a comparison. */
interface Ruled {
  readonly rule?: string | undefined;
}

/**
 * The results of the group's swings, then of the reference's, with those by another rule than the shared one replaced by the cause why they
 * are left out. The shared rule is the one that the poorer group has most often, as of datums; without one in common nothing is left.
 */
export function ofOneRule<T extends Ruled>(results: readonly (T | string)[], nGroup: number): readonly (T | string)[] {
  const counts = new Map<string, [number, number]>();
  results.forEach((result, i) => {
    if (typeof result === 'string' || result.rule === undefined) return;
    const count = counts.get(result.rule) ?? [0, 0];
    count[i < nGroup ? 0 : 1] += 1;
    counts.set(result.rule, count);
  });
  if (counts.size < 2) return results;
  const ranked = [...counts].sort(
    ([p, a], [q, b]) => Math.min(...b) - Math.min(...a) || b[0] + b[1] - a[0] - a[1] || compareText(p, q),
  );
  const [shared, count] = ranked[0]!;
  const isShared = count[0] > 0 && count[1] > 0;
  return results.map((result) => {
    if (typeof result === 'string' || (isShared && result.rule === shared)) return result;
    return isShared
      ? `made by "${result.rule ?? 'no rule'}", not by "${shared}"`
      : `made by unlike rules in the two groups: "${result.rule ?? 'no rule'}"`;
  });
}
