/** A player over a season. */
export const TREND = {
  title: '{player}: {group} against {reference}, {span}',
  span: '{first} to {last}',
  noDay: 'No day has swings of the {group} and of the {reference}: {reason}.',
  noDayReason: 'no day',
  oneDay: 'One day so far, {date}: a trend needs a second one.',
  lastDay: 'The last day, {last}, against the first, {first}.',
  version: 'version {from} until {before}, {to} from {after}',
  versions:
    'Processed by {parts}: a step there may be of the program. Process all days with one version before trusting small changes.',
  margin: 'margin of a session {margin}{part}',
  marginPart: ', {part} of it for markers put on again',
  leftOut: '{date} is not in the series: {reason}',
  days: '{days}, {group} {groupSwings}, {reference} {referenceSwings}',
  foot: 'Means of each day with 95 % intervals; below, the gap between them, grey the margin of a gap. Filled: changed since the first day, beyond margin and re-application, for certain (adjusted over the primary comparisons of the two days). Angles of the trunk and head stand on the zero of the first day where both days have a static trial, others as they were measured. All numbers: tables/trend.csv.',
  gap: 'gap: {group} less {reference}',
  heading: '{player} over the season',
  sheetOf: 'Sheet of {name}',
  allNumbers: 'all numbers',
  /** A mean with its interval and the number of swings. */
  mean: '{mean}, n {n}',
  heads: { date: 'Date', gap: 'Gap (95 % interval)', since: 'Gap since the first day', closed: 'Closed' },
};
