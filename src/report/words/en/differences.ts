/** What has a quantity, and what there is more of when it is above zero and when it is below. */
export interface Phrase {
  readonly subject: string;
  readonly plus: string;
  readonly minus: string;
}

const SUBJECT: Readonly<Record<string, string>> = {
  pelvis: 'the pelvis',
  thorax: 'the chest',
  head: 'the head',
  trunk: 'the chest on the pelvis',
  neck: 'the head on the chest',
  shoulder_line: 'the shoulder line',
  pelvis_line: 'the pelvis line',
  trunk_axis: 'the trunk',
  stance: 'the stance',
  lead_shoulder: 'the lead shoulder',
  trail_shoulder: 'the trail shoulder',
  lead_foot: 'the lead foot',
  trail_foot: 'the trail foot',
  body: 'the whole body',
};

const BY_COMPONENT: Readonly<Record<string, readonly [plus: string, minus: string]>> = {
  forward_bend: ['forward bend', 'backward lean'],
  side_bend: ['side bend toward the trail side', 'side bend toward the lead side'],
  turn: ['turn toward the target', 'turn away from the target'],
  flexion: ['forward bend', 'arch'],
  axial: ['rotation toward the target', 'rotation away from the target'],
  to_target: ['shift toward the target', 'shift away from the target'],
  to_ball: ['movement toward the ball', 'movement away from the ball'],
  to_trail: ['lean away from the target', 'lean toward the target'],
  rise: ['rise', 'drop'],
  inclination: ['lean from the vertical', 'lean from the vertical'],
  turn_rate: ['turning speed toward the target', 'turning speed away from the target'],
  alignment: ['aim open to the target', 'aim closed to the target'],
  toe_alignment: ['aim of the toes open to the target', 'aim of the toes closed to the target'],
  speed_to_target: ['speed toward the target', 'speed away from the target'],
  flare: ['turn of the toes outward', 'turn of the toes inward'],
};

const BY_ID: Readonly<Record<string, Phrase>> = {
  'shoulder_line.tilt': {
    subject: 'the shoulder line',
    plus: 'tilt with the lead shoulder higher',
    minus: 'tilt with the trail shoulder higher',
  },
  'pelvis_line.tilt': {
    subject: 'the pelvis line',
    plus: 'tilt with the lead hip higher',
    minus: 'tilt with the trail hip higher',
  },
  'trunk_axis.to_ball': { subject: 'the trunk', plus: 'lean toward the ball', minus: 'backward lean' },
  'thorax.inclination': { subject: 'the spine', plus: 'lean from the vertical', minus: 'lean from the vertical' },
  'thorax.inclination_direction': {
    subject: 'the spine',
    plus: 'lean round toward the target',
    minus: 'lean round away from the target',
  },
  axis_tilt: { subject: 'the trunk', plus: 'tilt away from the target', minus: 'tilt toward the target' },
  turn_difference: { subject: 'the chest', plus: 'turn ahead of the pelvis', minus: 'turn behind the pelvis' },
  'club.head_speed': { subject: 'the club head', plus: 'speed', minus: 'speed' },
  'club.attack': { subject: 'the club head', plus: 'upward attack', minus: 'downward attack' },
  'club.path': {
    subject: 'the club head',
    plus: 'path away from the player',
    minus: 'path toward the player',
  },
  'head_line.tilt': {
    subject: 'the head',
    plus: 'tilt with the lead ear higher',
    minus: 'tilt with the trail ear higher',
  },
  'eyes_line.tilt': {
    subject: 'the eyes',
    plus: 'tilt with the lead eye higher',
    minus: 'tilt with the trail eye higher',
  },
  'body.speed': { subject: 'the whole body', plus: 'speed', minus: 'speed' },
  'stance.width': { subject: 'the stance', plus: 'width', minus: 'width' },
  'ball.from_lead_ankle': {
    subject: 'the ball',
    plus: 'distance ahead of the lead ankle',
    minus: 'distance behind the lead ankle',
  },
};

/** The parts of a difference in words. */
export interface SaidDifference {
  readonly subject: string;
  readonly noun: string;
  readonly amount: string;
  readonly more: boolean;
  /** True of what was there at address and is still there. */
  readonly keeps: boolean;
}

/** The parts of a change since P1 in words. */
export interface SaidChange {
  readonly subject: string;
  readonly noun: string;
  readonly amount: string;
  readonly more: boolean;
  readonly gains: boolean;
}

/** Differences of one quantity. */
export const DIFFERENCES = {
  subjects: SUBJECT,
  byComponent: BY_COMPONENT,
  byId: BY_ID,
  /** 'the pelvis keeps 6.8° more forward bend': as a sentence of its own, or behind the position that the sentence begins with. */
  clause: ({ subject, noun, amount, more, keeps }: SaidDifference, _after: 'alone' | 'position'): string =>
    `${subject} ${keeps ? 'keeps' : 'has'} ${amount} ${more ? 'more' : 'less'} ${noun}`,
  /** The same of a subject that was said just before; null where it cannot be left out. */
  clauseGoingOn: ({ noun, amount, more, keeps }: SaidDifference): string | null =>
    keeps ? null : `${amount} ${more ? 'more' : 'less'} ${noun}`,
  /** Of a quantity without a phrase of its own. */
  plain: (label: string, amount: string, more: boolean, _after: 'alone' | 'position'): string =>
    `the ${label} is ${amount} ${more ? 'higher' : 'lower'}`,
  /** 'the pelvis loses 5.8° less forward bend', behind the stretch that the sentence begins with. */
  change: ({ subject, noun, amount, more, gains }: SaidChange): string =>
    `${subject} ${gains ? 'gains' : 'loses'} ${amount} ${more ? 'more' : 'less'} ${noun}`,
  plainChange: (label: string, amount: string, more: boolean): string =>
    `the ${label} changes by ${amount} ${more ? 'more' : 'less'}`,
  /** 'From address to the top (P4)', of the phrase of the position. */
  sinceAddress: (phrase: string): string => {
    const bare = phrase.replace(/^(At|With) /, '');
    return `From address to ${bare.slice(0, 1).toLowerCase()}${bare.slice(1)}`;
  },
};
