const many = (n: number, one: string, more: string): string => (n === 1 ? one : more);

/** Comparisons of a table measured elsewhere. */
export const TABLE = {
  blank: '(blank)',
  sizes: '{group} {groupSwings}, {reference} {referenceSwings}',
  noComparison: 'No comparison: {reason} ({sizes}).',
  noVerdict: 'No verdict: no column has five values on both sides ({sizes}).',
  nothing: 'No difference of {n} columns is certain.',
  of: 'Of {columns} {parts}.',
  departs: (n: number, named: string): string => `${n} ${many(n, 'departs', 'depart')} (${named})`,
  differsSlightly: (n: number, named: string): string =>
    `${n} ${many(n, 'differs slightly', 'differ slightly')} (${named})`,
  differs: (n: number, named: string): string =>
    `${n} ${many(n, 'differs (no margin set)', 'differ (no margin set)')} (${named})`,
  match: '{n} match',
  undecided: '{n} of {told} columns can’t be told yet',
  untold: (n: number): string => `${n} ${many(n, 'column has', 'columns have')} fewer than five values on a side.`,
  noValue: 'no value',
  mean: '{mean}{scatter} (n {n})',
  pageTitle: '{file}: {title}',
  noSwings: 'no swings to compare',
  heading: 'What differs: {title}',
  keptApart: ' · kept apart by {columns}',
  methodHeading: 'Method',
  tableHeading: 'The table',
  missing: '{n} of {of} values missing',
  tests: 'tests: primary {primary}, screening {screening}',
  heads: {
    column: 'Column',
    difference: 'Difference',
    interval: '95 % interval',
    margin: 'Margin',
    verdict: 'Verdict',
  },
  differsWord: 'differs',
  noMargin: 'none',
  picture: 'difference with its interval; grey: within the margin',
  method: [
    'The unit is the swing; the reference is the same player’s own swings, never a norm. It is a benchmark, not a target. What the numbers mean and how well they were measured is not known to this program.',
    'A column departs when its difference is beyond the margin by a minimum-effect test (adjusted p below 0.05), matches when two one-sided tests put it inside the margin, differs slightly when only the difference from zero is certain. Where no margin is set a column can only differ: how much a difference matters must be said beforehand. Standard errors and degrees of freedom are Welch’s; columns named as primary are adjusted by Holm, all others by Benjamini–Hochberg at 5 %. Fewer than five values on a side: numbers, no verdict.',
  ],
};
