const quantities = (n: number): string => (n === 1 ? 'quantity' : 'quantities');

/** The sentences at the top of a sheet. */
export const FINDINGS = {
  noComparison: 'No comparison: {reason}.',
  noVerdictBecause: 'No verdict: {reason}.',
  /** `because` is '' or ': ' with a reason. */
  noVerdict: 'No verdict{because} ({group} {groupSwings}, {reference} {referenceSwings}).',
  onlyOnce: 'No verdict on the body{because}; {matching} of {told} comparisons of club and tempo match.',
  onlySetUp:
    'Only the set-up departs from the {reference}; after address no departure of {body} is certain with these swings, and {matching} of {told} comparisons match.',
  nothing:
    'No departure of {body} from the {reference} is certain with these swings; {matching} of {told} comparisons match.',
  theBody: 'the body',
  theTrunk: 'pelvis, chest or head',
  /** 'At the top (P4) the pelvis …' */
  lead: '{phrase} {clause} than with the {reference} ({numbers}).',
  leadInterval: '95 % interval of the difference {interval}',
  sure: 'How sure: in {share} of resamples of these swings it begins at {position}{others}.',
  sureOthers: ', at {others}',
  placeIn: '{position} in {share}',
  stillThere: 'It is still there at {places}.',
  limbs: (n: number, reference: string): string =>
    `${n} ${quantities(n)} of arms, legs, forces and body speed ${n === 1 ? 'departs' : 'depart'} from the ${reference} (details).`,
  setUpNote: 'Part of this belongs to the longer club.',
  setUpStays: 'Some of it stays into the swing.',
  moreInDetails: '{n} more (details)',
  /** Below the list of departures. */
  furtherLeft: (n: number): string => `and ${n} more ${quantities(n)} (details)`,
  matchesAt: '{quantity} at {positions}',
  stretch: '{from} to {to}',
  moreAtSome: (n: number): string => `at some positions ${n} more ${quantities(n)}`,
  undecided: '{n} of {told} comparisons can’t be told yet',
  /** More than 40 are not counted. */
  undecidedUntil: (opening: string, count: number, club: string): string =>
    `${opening}; ${count > 40 ? 'more than 40' : `about ${count}`} more swing${count === 1 ? '' : 's'} of ${club} would settle most.`,
  undecidedEnd: '{opening}.',
  headings: {
    setUp: 'Set-up',
    slightly: 'Slightly',
    matches: 'Matches',
    limbs: 'Limbs',
    open: 'Open',
    note: 'Note',
    practice: 'Practice',
  },
  /** The same in running text. */
  told: {
    setUp: 'Set-up: {text}',
    slightly: 'Differs slightly: {text}',
    matches: 'Matches: {text}',
    whatMatches: 'What matches: {text}',
    at: '{position}: {text}',
  },
};
