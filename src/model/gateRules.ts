/** The rules by which a swing is accepted, marked for review or rejected: one table, for the program, the day file and docs/gates.md. */
import type { ClubKind } from './dayPlan.ts';
import type { Unit } from './units.ts';

/** What a rule does to the swing that trips it: 'review' uses and marks it, 'reject' keeps it out of the comparison. */
export type GateLevel = 'review' | 'reject';

/** In the unit of the rule. A value at the limit passes. */
export type GateLimit =
  | { readonly kind: 'most' | 'least'; readonly value: number }
  | { readonly kind: 'between'; readonly low: number; readonly high: number };

/** By kind of club where the kinds differ; null: there is nothing to measure, the rule trips or it does not. */
type RuleLimit =
  | GateLimit
  | { readonly kind: 'most' | 'least'; readonly byClub: Readonly<Record<ClubKind, number>> }
  | null;

export interface GateRule {
  readonly level: GateLevel;
  readonly limit: RuleLimit;
  readonly unit: Unit;
  readonly decimals: number;
  /** What is measured, in a few words; '' where the rule has no number. */
  readonly short: string;
  /** What is looked at. */
  readonly looksAt: string;
  /** Why this number; a source, or "common practice, no source". */
  readonly reason: string;
  readonly whatToDo: string;
}

const NO_SOURCE = 'Common practice, no source.';

export const GATE_RULES = {
  'marker-lost-in-downswing': {
    level: 'review',
    limit: { kind: 'most', value: 25 },
    unit: '%',
    decimals: 0,
    short: 'share of the downswing without a marker',
    looksAt:
      'the share of the downswing (P4 to P7) in which one marker of pelvis, chest or shaft is missing or filled otherwise than by the rest of its segment',
    reason: `A spline fills half of 0.1 s in a downswing of some 0.25 s, a fifth of it; beyond a quarter the bend at P5.5 rests on a guess. ${NO_SOURCE}`,
    whatToDo: 'See that two cameras hold the marker from the top to impact; fasten it anew where it turns away.',
  },
  'markers-lost-in-downswing': {
    level: 'review',
    limit: { kind: 'most', value: 20 },
    unit: '%',
    decimals: 0,
    short: 'share of the samples of the downswing not measured',
    looksAt:
      'the share of all samples of pelvis, chest and shaft in the downswing that were not measured, however they were filled',
    reason: `A segment of four markers can lose one; a fifth of all samples is near to that in each. ${NO_SOURCE}`,
    whatToDo:
      'Look at the calibration of the cameras and at what stood between them and the player; capture the swing again.',
  },
  'most-lost-in-downswing': {
    level: 'reject',
    limit: { kind: 'most', value: 50 },
    unit: '%',
    decimals: 0,
    short: 'share of the samples of the downswing not measured',
    looksAt:
      'the share of all samples of pelvis, chest and shaft in the downswing that were not measured, however they were filled',
    reason: 'Above one half more is made up than measured.',
    whatToDo: 'Capture the swing again.',
  },
  'marker-noise': {
    level: 'review',
    limit: { kind: 'most', value: 3 },
    unit: 'mm',
    decimals: 1,
    short: 'marker noise',
    looksAt: 'the white noise of the worst marker of pelvis and chest (standard deviation per axis)',
    reason:
      'Angles are shown to be right to 0.5° at 1 mm (docs/accuracy.md); error grows with noise, so that 3 mm comes near the margin of 2°.',
    whatToDo: 'Calibrate the cameras again; look for reflections and for a loose marker.',
  },
  'marker-noise-extreme': {
    level: 'reject',
    limit: { kind: 'most', value: 10 },
    unit: 'mm',
    decimals: 1,
    short: 'marker noise',
    looksAt: 'the white noise of the worst marker of pelvis and chest (standard deviation per axis)',
    reason: 'By the same arithmetic 10 mm is an error of some 5°, more than twice the margin, in every angle.',
    whatToDo: 'Calibrate the cameras again and capture the swing again.',
  },
  'no-address': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'address (P1)',
    reason: 'Three of the twelve primary values and all changes since address rest on it.',
    whatToDo: 'Start the recording a second before the swing; let the player stand still over the ball.',
  },
  'no-top': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'the top (P4)',
    reason: 'Three of the twelve primary values and every time of the swing rest on it.',
    whatToDo: 'See that the markers of shaft or lead arm are held at the top.',
  },
  'no-late-downswing': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'P5.5, although the shaft was seen at the top',
    reason: 'Three of the twelve primary values rest on it.',
    whatToDo: 'See that the two markers of the shaft are held from the top to impact.',
  },
  'no-impact': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'impact (P7)',
    reason: 'Three of the twelve primary values, the club figures and every time of the swing rest on it.',
    whatToDo: 'End the recording half a second after the hit; see that the club head is held through impact.',
  },
  'head-speed-low': {
    level: 'review',
    limit: { kind: 'least', byClub: { driver: 20, wood: 18, hybrid: 16, iron: 14, wedge: 6, putter: 0.3 } },
    unit: 'm/s',
    decimals: 1,
    short: 'head speed',
    looksAt: 'the head speed',
    reason: `Slower is a practice swing, a chip, or a frame rate that is set too low. ${NO_SOURCE}`,
    whatToDo: 'Look whether it is a full swing and whether the frame rate is right.',
  },
  'head-speed-high': {
    level: 'reject',
    limit: { kind: 'most', byClub: { driver: 75, wood: 70, hybrid: 65, iron: 65, wedge: 60, putter: 10 } },
    unit: 'm/s',
    decimals: 1,
    short: 'head speed',
    looksAt: 'the head speed',
    reason: `The fastest drivers reach some 65 to 70 m/s (from memory); more means a wrong unit, rate or marker, and nothing else of the swing is then sure. ${NO_SOURCE}`,
    whatToDo: 'Look at unit and frame rate, and whether the marker of the head is the right one.',
  },
  'turned-at-address': {
    level: 'review',
    limit: { kind: 'most', value: 30 },
    unit: 'deg',
    decimals: 0,
    short: 'pelvis turn at address',
    looksAt: 'the turn of the pelvis at address, either way',
    reason: `Players stand within some 10° of the target line; more says that the line is set otherwise than the player aimed. ${NO_SOURCE}`,
    whatToDo: 'Look at target in the day file and at where the player aimed.',
  },
  'turned-away-at-address': {
    level: 'reject',
    limit: { kind: 'most', value: 60 },
    unit: 'deg',
    decimals: 0,
    short: 'pelvis turn at address',
    looksAt: 'the turn of the pelvis at address, either way',
    reason: `Nobody hits a ball from there: target line, hand or sides are wrong, and so is every angle. ${NO_SOURCE}`,
    whatToDo: 'Set target and hand in the day file; look whether left and right markers are exchanged.',
  },
  'pelvis-bend-at-address': {
    level: 'review',
    limit: { kind: 'between', low: -15, high: 60 },
    unit: 'deg',
    decimals: 0,
    short: 'pelvis forward bend at address',
    looksAt: 'the forward bend of the pelvis at address',
    reason: `Upright standing reads 5 to 15° by these landmarks, address 15 to 35°. ${NO_SOURCE}`,
    whatToDo: 'Look whether front and back markers of the pelvis are exchanged or one sits elsewhere.',
  },
  'chest-bend-at-address': {
    level: 'review',
    limit: { kind: 'between', low: 0, high: 75 },
    unit: 'deg',
    decimals: 0,
    short: 'chest forward bend at address',
    looksAt: 'the forward bend of the chest at address',
    reason: `Address is 25 to 50°; nobody leans back over the ball. ${NO_SOURCE}`,
    whatToDo: 'Look whether markers of chest and back are exchanged or one sits elsewhere.',
  },
  'bend-impossible': {
    level: 'reject',
    limit: { kind: 'most', value: 85 },
    unit: 'deg',
    decimals: 0,
    short: 'bend of the body',
    looksAt: 'the largest bend of pelvis or chest at P1, P4, P5.5 and P7, any way',
    reason: `No swing bends a segment flat to the floor: its markers are exchanged or the up axis is wrong. ${NO_SOURCE}`,
    whatToDo: 'Look at up in the day file and at the names of the markers.',
  },
  'backswing-time': {
    level: 'review',
    limit: { kind: 'between', low: 0.3, high: 2.5 },
    unit: 's',
    decimals: 2,
    short: 'backswing',
    looksAt: 'the time from address to the top',
    reason: `Full swings take 0.7 to 1.2 s. ${NO_SOURCE}`,
    whatToDo: 'Look at the frame rate, and whether the player stopped on the way back.',
  },
  'downswing-time': {
    level: 'review',
    limit: { kind: 'between', low: 0.12, high: 0.6 },
    unit: 's',
    decimals: 3,
    short: 'downswing',
    looksAt: 'the time from the top to impact',
    reason: `Full swings take 0.2 to 0.35 s. ${NO_SOURCE}`,
    whatToDo: 'Look at the frame rate, and whether top and impact are those of one swing.',
  },
  'tempo-ratio': {
    level: 'review',
    limit: { kind: 'between', low: 1, high: 8 },
    unit: 'ratio',
    decimals: 1,
    short: 'backswing over downswing',
    looksAt: 'the time of the backswing over that of the downswing',
    reason: `Common are 2 to 4.5. ${NO_SOURCE}`,
    whatToDo: 'Look whether address and top are those of this swing.',
  },
  'fault-kept': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'a fault of the recording that was found and could not be put right (docs/faults.md)',
    reason: 'What was found is still in the values.',
    whatToDo: 'See what is said of the fault; capture the swing again where it touches pelvis, chest or club.',
  },
  'fault-of-whole-trial': {
    level: 'reject',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'a fault that makes every value of the swing wrong and was kept: sides, unit of length or static trial',
    reason: 'Sides exchanged, another unit or another body: no angle or length of the swing holds.',
    whatToDo: 'Put the setting right in the day file, or capture the swing again.',
  },
  'same-content': {
    level: 'reject',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt:
      'a swing that stands in the day already under another trial id: the same file, or the same samples to the last digit',
    reason: 'One swing counted twice makes a group look surer than it is.',
    whatToDo: 'Leave one of the two out, or name the file that was meant.',
  },
  'content-named-twice': {
    level: 'review',
    limit: null,
    unit: 'none',
    decimals: 0,
    short: '',
    looksAt: 'a swing that comes again in the day as that of another player, club or set',
    reason: 'It cannot be both, and the samples do not say which.',
    whatToDo: 'Find out whose swing it is and with which club; leave the other out.',
  },
} as const satisfies Readonly<Record<string, GateRule>>;

export type GateRuleId = keyof typeof GATE_RULES;

export const GATE_RULE_IDS = Object.keys(GATE_RULES) as readonly GateRuleId[];

/** The row of a rule. */
export function gateRule(id: GateRuleId): GateRule {
  return GATE_RULES[id];
}
