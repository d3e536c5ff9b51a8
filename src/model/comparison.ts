import type { CheckpointResult } from './checkpoint.ts';
import type { CompareOptions } from './dayPlan.ts';
import type { Datum } from './motion.ts';
import type { OrderSensitivity } from './orderSensitivity.ts';
import type { OrderSummary } from './orderSummary.ts';
import type { PositionId } from './positions.ts';
import type { AngleOrder } from './quantity.ts';
import type { Unit } from './units.ts';

/** What a row of a comparison says, none where it is not judged (docs/statistics.md). */
export type Verdict = 'departs' | 'matches' | 'differs-slightly' | 'undecided' | 'none';
/** Whether values at a position are compared, or their changes since P1. */
export type Basis = 'value' | 'change';
/** Each family is adjusted over its own p-values: primary by Holm, screening and limbs by Benjamini–Hochberg. */
export type FamilyId = 'primary' | 'screening' | 'limbs' | 'change-primary' | 'change-screening' | 'change-limbs';

/** One quantity at one position, a group against its reference. All numbers in DISPLAY units of `unit`; null where not available. */
export interface ComparisonRow {
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  readonly basis: Basis;
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  readonly nGroup: number;
  readonly nReference: number;
  readonly meanGroup: number | null;
  readonly meanReference: number | null;
  readonly sdGroup: number | null;
  /** All reference swings as one group. */
  readonly sdReference: number | null;
  readonly difference: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly low90: number | null;
  readonly high90: number | null;
  readonly hedgesG: number | null;
  readonly margin: number | null;
  /** Where the margin came from: 'default', 'day file', '3 % of the mean'. */
  readonly marginRule: string;
  /** The references' own SD within iron length, pooled; it is the typical error, and gives mdc = 1.96·√2 × it. */
  readonly sdWithin: number | null;
  readonly mdc: number | null;
  /** True difference that these swings would find four times in five. */
  readonly detectable: number | null;
  readonly p: number | null;
  readonly pBeyond: number | null;
  readonly pWithin: number | null;
  readonly pAdjusted: number | null;
  readonly pBeyondAdjusted: number | null;
  readonly family: FamilyId | null;
  readonly verdict: Verdict;
  /** |difference| > mdc. */
  readonly outsideUsual: boolean;
  /** For 'undecided': the largest |difference| not excluded ("more than x is unlikely"). */
  readonly excludesBeyond: number | null;
  /** For 'undecided': about how many more swings of which club would settle it; null when not; 41 stands for "more than 40". */
  readonly moreSwings: { readonly count: number; readonly club: string } | null;
  /** Exact or sampled permutation p, a check beside the verdict. */
  readonly pPermutation: number | null;
  /** Bias-corrected and accelerated bootstrap interval of the difference, a check: of primary rows, their changes and rows of the whole swing that have a verdict. */
  readonly bcaLow95: number | null;
  readonly bcaHigh95: number | null;
  /** 95 % interval of the effect size that hedgesG estimates, by the non-central t. */
  readonly gLow95: number | null;
  readonly gHigh95: number | null;
  /** What the player's other clubs would have at this length; null where there is no trend or no family. */
  readonly trend: LengthTrend | null;
  readonly flags: readonly string[];
  /** Why there is no verdict, or how many swings lacked the value. */
  readonly reason: string;
}

/** The straight line through all swings of the player's other clubs against club length, carried to the length of the group's. Display units. */
export interface LengthTrend {
  /** Clubs that it is drawn from. */
  readonly clubs: readonly string[];
  /** The length it is carried to: the mean over the group's swings. */
  readonly length_m: number;
  readonly slopePer10cm: number;
  readonly expected: number;
  readonly low95: number;
  readonly high95: number;
  /** Mean of the group less the expected value. */
  readonly difference: number;
  readonly differenceLow95: number;
  readonly differenceHigh95: number;
  /** Of that difference, read as the verdict of a row; 'none' where the trend is not sure enough or not straight. */
  readonly verdict: Verdict;
  /** Why it is not judged, or ''. */
  readonly reason: string;
}

export interface FirstDeparture {
  readonly quantity: string;
  readonly basis: Basis;
  readonly position: PositionId;
  readonly difference: number;
  readonly unit: Unit;
  /** Share of resamples of swings that name the same position, 0 to 1. */
  readonly certainty: number;
  /** Other positions named by more than 20 % of the resamples. */
  readonly neighbours: readonly { readonly position: PositionId; readonly share: number }[];
}

/** What a thorax difference is made of: pelvis share + trunk share = the difference of the means, exactly. Degrees. */
export interface Shares {
  readonly quantity: string;
  readonly position: PositionId;
  readonly total_deg: number;
  readonly pelvis_deg: number;
  readonly trunk_deg: number;
  readonly pelvisLow95_deg: number;
  readonly pelvisHigh95_deg: number;
  /** Percentages only where the thorax difference departs, both have its sign and |side bend| < 80°. */
  readonly pelvisPercent: number | null;
  readonly trunkPercent: number | null;
}

export interface Drift {
  readonly club: string;
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  /** Display units per swing. */
  readonly slope: number;
  readonly p: number;
  readonly lag1: number;
  readonly flagged: boolean;
}

/** Swings of one side made one after the other. */
export interface SwingBlock {
  /** Label of the side. */
  readonly label: string;
  readonly swings: number;
  readonly clubs: readonly string[];
}

/** From the ground up. */
export const BODY_LINKS = [
  'feet', 'ankles', 'knees', 'hips', 'pelvis', 'trunk', 'chest', 'neck', 'head', 'shoulders', 'elbows', 'wrists',
] as const; // biome-ignore format: one glance

/** One link of the body at a position: rows with a verdict, and those of them that depart, the largest in margins first. */
export interface ChainLink {
  readonly link: (typeof BODY_LINKS)[number];
  readonly tested: number;
  readonly departing: readonly { readonly quantity: string; readonly difference: number; readonly unit: Unit }[];
}

/** What departs at a position, from the ground up; links without a row that has a verdict are absent. */
export interface DepartureChain {
  readonly position: PositionId;
  readonly basis: Basis;
  readonly links: readonly ChainLink[];
}

export interface GroupInfo {
  readonly label: string;
  readonly clubs: readonly string[];
  readonly trials: readonly string[];
}

/** Steps 0–80 of a curve, both ends included, where the two groups differ. */
export interface CurveStretch {
  readonly from: number;
  readonly to: number;
  /** 'P4 to half-way P5–P6', 'shortly after P7': by the share of the time between two positions. */
  readonly name: string;
  /** 1 where the group lies above the reference. */
  readonly sign: 1 | -1;
}

/** Mean and spread of curves of one quantity in one group, display units, 81 steps. */
export interface CurveSummary {
  readonly quantity: string;
  readonly unit: Unit;
  readonly groupMean: Float64Array;
  readonly referenceMean: Float64Array;
  readonly referenceSd: Float64Array;
  readonly groupCurves: readonly { readonly trial: string; readonly values: Float64Array }[];
  /** Where |t| is beyond the permutation threshold: 5 % over all steps of this curve, each curve by itself. Empty also where not tested. */
  readonly stretches: readonly CurveStretch[];
  /** |t| that the largest of all steps exceeds by chance once in twenty, by permutation of swings; null where not tested. */
  readonly thresholdPermutation: number | null;
  /** The same by random-field theory: a check beside it. */
  readonly thresholdRandomField: number | null;
  /** Share of the permutations whose largest |t| is at least the observed one; null where not tested (fewer than five swings, not drawn). */
  readonly p: number | null;
  /**
   * The same with neighbouring blocks of the two groups as pairs, which slow drift through the session does not reach: share of the changes
   * of sign whose largest |t| is at least the observed one; null below six pairs.
   */
  readonly pPaired: number | null;
  /** Welch's t by step; NaN where not tested. */
  readonly t: Float64Array;
}

/** Values of single swings for a picture, display units. */
export interface SwingMarks {
  readonly quantity: string;
  readonly unit: Unit;
  readonly group: readonly { readonly trial: string; readonly value: number; readonly plusMinus: number | null }[];
  readonly reference: readonly { readonly trial: string; readonly value: number; readonly plusMinus: number | null }[];
}

/** Mean joint positions of each group at one position, metres in G, moved so that the pelvis centre at P1 is the origin in X and Z. */
export interface MeanFigures {
  readonly position: PositionId;
  readonly group: Readonly<Record<string, readonly [number, number, number]>>;
  readonly reference: Readonly<Record<string, readonly [number, number, number]>>;
}

/** Which of a player's recordings a comparison is made of: those of one source and one zero of the angles, never across. */
export interface ComparisonPart {
  readonly source: 'markers' | 'sensors';
  /** The zero of the angles of all swings compared; null where no swing settles it. */
  readonly datum: Datum | null;
  /** Of calibrated sensors: the still pose, the marker static trial that lent its bends, whose headings hold. */
  readonly calibration: {
    readonly still: string;
    readonly anatomicalFrom: string | null;
    /** 'address': each segment's turn is zero there by itself. 'file': the headings of the file tie the segments together. */
    readonly headings: 'address' | 'file';
  } | null;
  /** 'markers', 'sensors', 'sensors calibrated in <trial>'; '' where the player has no other part. */
  readonly label: string;
  /** Follows the player's id in the names of the sheets: '' for the player's first part, then '-sensors', '-sensors-2' …; then '-' and the comparison's name, where it has one. */
  readonly suffix: string;
}

/** One comparison of one player: the swings of a group against those of a reference. Numbers of rows in display units. */
export interface PlayerComparison {
  readonly player: string;
  /** Of a comparison beside the player's first, as the day file names it; '' or absent: the first. */
  readonly name?: string;
  readonly part: ComparisonPart;
  readonly hand: 'left' | 'right';
  readonly group: GroupInfo;
  readonly reference: GroupInfo;
  readonly rows: readonly ComparisonRow[];
  readonly familySizes: Readonly<Record<FamilyId, number>>;
  /** Earliest departing position by quantity, values and changes; the first entry is the earliest of the primary quantities. */
  readonly firstDepartures: readonly FirstDeparture[];
  readonly shares: readonly Shares[];
  /** By position, values before changes since P1; what a position hands on is read from the lowest link up. */
  readonly chains: readonly DepartureChain[];
  readonly drift: readonly Drift[];
  /** The order of the day. */
  readonly blocks: readonly SwingBlock[];
  /** True where every driver swing follows every iron, or the other way round: club and order cannot be told apart. */
  readonly orderConfounded: boolean;
  readonly curves: readonly CurveSummary[];
  readonly figures: readonly MeanFigures[];
  /** Club figures and tempo of every swing. */
  readonly marks: readonly SwingMarks[];
  /** Mean time of each position relative to P7, seconds, by group. */
  readonly times: readonly {
    readonly position: PositionId;
    readonly group_s: number | null;
    readonly reference_s: number | null;
  }[];
  /** When each link turns fastest and whether methods and clubs give one order; null where no link has a peak in both groups. */
  readonly orderOfMotion: OrderSummary | null;
  readonly counts: Readonly<Record<Verdict, number>>;
  /** The orders of axes asked for beside the main ones, described; absent: none was. */
  readonly orderRows?: readonly ComparisonRow[];
  /** Of the segments and joints whose orders were asked for; absent: none was. */
  readonly orderChecks?: readonly OrderSensitivity[];
  /** The rules of the day file, or those that ship, in their order; empty without a swing of the group. */
  readonly checkpoints: readonly CheckpointResult[];
  /** Why there is no comparison at all ("only 1 iron swing"), or ''. */
  readonly reason: string;
  readonly notes: readonly string[];
  readonly options: CompareOptions;
}
