/** The page of a day. */
export const DAY = {
  heading: 'Where the driver leaves what the irons already do',
  otherHeading: 'What differs: {title}',
  severalComparisons: 'comparisons of swings',
  title: '{day}: {title}',
  counts: '{day} · {players} · {used} used, {unused} not',
  watched:
    'The day is being captured: this page loads itself anew every {seconds}. Pages of players stay as they are until you load them again.',
  noPlayer: 'No player has a used swing.',
  swingsUsed: '{swings} used',
  review: '{n} of them for review',
  status: '{n} {status}',
  links: {
    page: 'moving page',
    sheet: 'sheet',
    details: 'details',
    pageOf: 'Moving page of {name}',
    sheetOf: 'Sheet of {name}',
    detailsOf: 'Tables, trials and method of {name}',
    ordersOf: 'All orders of axes of {name}',
  },
  inWords: 'In words',
  notUsed: 'Trials not used',
  heads: { trial: 'Trial', player: 'Player', status: 'Status', reason: 'Reason' },
  tables: 'Tables',
  filter: {
    show: 'Show',
    player: 'Player',
    club: 'Club',
    allPlayers: 'all players',
    allClubs: 'all clubs',
    /** Of the findings, said by the script. */
    shown: '{n} of {of} shown',
  },
};
