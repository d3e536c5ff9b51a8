/** The player's sheet. */
export const SHEET = {
  /** 'irons, 8 swings (iron7, iron9)' */
  side: '{label}, {swings}{clubs}',
  sideClubs: ' ({clubs})',
  figureSide: '{label}, n = {n}',
  foot: {
    intervals: 'whiskers and intervals: 95 % · bands: mean ± 1 and ± 2 SD of the {reference}',
    differ: ' · bars under the axis: the curves differ there',
    figures: ' · figures: heavier lines are the lead side',
    target: 'The target line was taken from the feet: turns are relative to it, path is not given',
    targetInSome:
      'The target line was taken from the feet in {n} of {swings}: turns are relative to it, path is not given there',
    sets: 'sets {sets} together',
    noName: 'without a name',
    used: '{trials} used',
    usedNot: '{trials} used, {n} not (reasons in the details)',
    review: '{n} for review',
    outlying: '{n} outlying',
    doubts: '{doubts} (details)',
    confounded: 'club and order cannot be told apart: all swings of one came before the other’s',
    reduced: 'reduced form: joint centres alone',
  },
  figures: {
    at: 'Figures at {position}, {name}',
    front: 'front',
    line: 'along the line',
    lineFirst: 'along the target line',
    frontRight: 'front, target →',
    frontLeft: 'front, ← target',
    none: 'No figures: joint positions of both groups are needed at P1, P4, P5.5 or P7.',
    noStart: 'No figures: they are aligned on the pelvis at P1, and P1 is missing in all swings of the {groups}.',
    /** At the arcs. */
    segments: { pelvis: 'pelvis', thorax: 'chest', trunk: 'trunk' },
    arc: '{segment} {difference}',
  },
  curves: {
    of: 'Curve of {quantity} from P1 to P9{differs}',
    missing: 'not available from these recordings',
    differs: '; the curves differ {stretches}',
    /** A stretch by its name: 'P4 to P5', 'P7', 'half-way P5–P6'. */
    stretch: (name: string): string => {
      if (name.includes(' to ')) return `from ${name}`;
      return name.startsWith('P') ? `at ${name}` : name;
    },
  },
  impact: {
    heading: 'At impact',
    eachSwing: '{title} of each swing',
    band: 'off a tee {low} to {high}: {source}',
    common: 'common practice, no source',
    set: 'set in the day file',
    elsewhere: 'In the details: {figures}.',
    none: 'No club figures: {cause}.',
    needs: 'they need two shaft markers or more and a head point that is the same for all clubs compared',
    absent: 'No {figures}: {cause}.',
    both: '{figure}: {group} {groupMean}, {reference} {referenceMean}{band}',
  },
  nothing: {
    used: 'Used: {group} {groupSwings}, {reference} {referenceSwings}. A verdict needs 5 of each; 8 of each settle far more.',
    trial: '{trial}: {status}, {reason}',
    more: 'and {n} more (details)',
    swingsOf: 'Single swings: {label}, {swings}',
    firstSwingsOf: 'Single swings: {label}, the first {n} of {swings}',
    allClubs: 'all clubs',
    caption: 'One column a swing, in the order of the day. – missing. All values in tables/angles.csv.',
    marker: 'Head speed, attack and path are those of a marker on the head: never compared between clubs.',
  },
  panels: {
    description:
      '{day}. Whiskers and intervals: 95 %. Bands: mean ± 1 and ± 2 SD of the {reference}. The numbers are in {name}.csv.',
    title: '{sheet}: {panel}',
    positions: 'figures at the positions',
    curve: 'curve of {quantity}',
    order: 'order of motion, {method}',
    table: 'Primary quantities at the positions',
  },
};
