/** Masses and centres of mass of the body's segments: de Leva 1996, J Biomech 29:1223-1230, table 4. */

import type { Sex } from '../../model/dayPlan.ts';

type Side = 'lead' | 'trail';
type SidedEnd = 'shoulder' | 'elbow' | 'wrist' | 'metacarpale' | 'hip' | 'knee' | 'ankle' | 'heel' | 'toe';

/** Ends of segments. `metacarpale` is the third; `suprasternale` is the ISB's IJ; `toe` is the tip of the foot. */
export type EndId =
  | 'vertex'
  | 'mid_gonion'
  | 'cervicale'
  | 'head_centre'
  | 'suprasternale'
  | 'mid_shoulder'
  | 'mid_hip'
  | `${Side}_${SidedEnd}`;

export type BodySegment = 'head' | 'trunk' | `${Side} ${'upper arm' | 'forearm' | 'hand' | 'thigh' | 'shank' | 'foot'}`;

type BySex = Readonly<Record<Sex, number>>;

/** One way to the centre of a segment: the share of the way from `from` to `to`. */
export interface Axis {
  readonly from: EndId;
  readonly to: EndId;
  readonly share: BySex;
  /** What stands in for the segment's own ends, or ''. */
  readonly substitution: string;
}

export interface MassRow {
  readonly segment: BodySegment;
  /** Share of the body's mass as printed. */
  readonly mass: BySex;
  /** The preferred first. */
  readonly axes: readonly Axis[];
}

function bySex(male: number, female: number): BySex {
  return { male, female };
}

function along(from: EndId, to: EndId, male: number, female: number): Axis {
  return { from, to, share: bySex(male, female), substitution: '' };
}

/** The whole mass of a segment at one point. Choices of this program: a wrist moves the body's centre by 0.4 mm, an ankle by 1, a head by 2. */
function at(end: EndId, substitution: string): Axis {
  return { from: end, to: end, share: bySex(0, 0), substitution };
}

function limbs(side: Side): readonly MassRow[] {
  return [
    {
      segment: `${side} upper arm`,
      mass: bySex(0.0271, 0.0255),
      axes: [along(`${side}_shoulder`, `${side}_elbow`, 0.5772, 0.5754)],
    },
    {
      segment: `${side} forearm`,
      mass: bySex(0.0162, 0.0138),
      axes: [along(`${side}_elbow`, `${side}_wrist`, 0.4574, 0.4559)],
    },
    {
      segment: `${side} hand`,
      mass: bySex(0.0061, 0.0056),
      axes: [
        along(`${side}_wrist`, `${side}_metacarpale`, 0.79, 0.7474),
        at(`${side}_wrist`, `the ${side} wrist for the ${side} hand`),
      ],
    },
    {
      segment: `${side} thigh`,
      mass: bySex(0.1416, 0.1478),
      axes: [along(`${side}_hip`, `${side}_knee`, 0.4095, 0.3612)],
    },
    {
      segment: `${side} shank`,
      mass: bySex(0.0433, 0.0481),
      axes: [along(`${side}_knee`, `${side}_ankle`, 0.4395, 0.4352)],
    },
    {
      segment: `${side} foot`,
      mass: bySex(0.0137, 0.0129),
      axes: [
        along(`${side}_heel`, `${side}_toe`, 0.4415, 0.4014),
        at(`${side}_ankle`, `the ${side} ankle for the ${side} foot`),
      ],
    },
  ];
}

/** Fourteen segments: head with neck, trunk, and six of each side. Masses sum to 1.0000 (male) and 0.9999 (female). */
export const DE_LEVA: readonly MassRow[] = [
  {
    segment: 'head',
    mass: bySex(0.0694, 0.0668),
    axes: [
      along('vertex', 'mid_gonion', 0.5976, 0.5894),
      along('vertex', 'cervicale', 0.5002, 0.4841),
      at('head_centre', 'the head centre for the centre of head and neck'),
    ],
  },
  {
    segment: 'trunk',
    mass: bySex(0.4346, 0.4257),
    axes: [
      along('suprasternale', 'mid_hip', 0.4486, 0.4151),
      along('cervicale', 'mid_hip', 0.5138, 0.4964),
      along('mid_shoulder', 'mid_hip', 0.431, 0.3782),
    ],
  },
  ...limbs('lead'),
  ...limbs('trail'),
];

/** A segment whose ends are known. */
export interface MassPart {
  readonly segment: BodySegment;
  /** Share of the whole body's mass, renormalised so that all segments sum to 1. */
  readonly mass: number;
  readonly axis: Axis;
  /** Of the way from the axis's `from` to its `to`. */
  readonly share: number;
}

/** Which segments make a centre of mass. */
export interface MassPlan {
  readonly parts: readonly MassPart[];
  readonly missing: readonly BodySegment[];
  /** Mass of the parts, 0..1. */
  readonly covered: number;
  readonly substitutions: readonly string[];
  /** Which ends were taken where the preferred were not there: centres by other ends differ. */
  readonly variants: readonly string[];
}

/** Parts for the ends that are known, each by its preferred axis. `sex` null: the mean of both, renormalised first. */
export function massPlan(table: readonly MassRow[], sex: Sex | null, isKnown: (end: EndId) => boolean): MassPlan {
  const totals = bySex(
    table.reduce((sum, row) => sum + row.mass.male, 0),
    table.reduce((sum, row) => sum + row.mass.female, 0),
  );
  const pick = ({ male, female }: BySex): number =>
    sex === null ? (male + female) / 2 : sex === 'male' ? male : female;
  const parts: MassPart[] = [];
  const missing: BodySegment[] = [];
  const variants: string[] = [];
  for (const { segment, mass, axes } of table) {
    const axis = axes.find(({ from, to }) => isKnown(from) && isKnown(to));
    if (axis === undefined) {
      missing.push(segment);
      continue;
    }
    const own = pick(bySex(mass.male / totals.male, mass.female / totals.female));
    if (axis !== axes[0]) variants.push(`${segment} by ${[...new Set([axis.from, axis.to])].join(' and ')}`);
    parts.push({ segment, mass: own, axis, share: pick(axis.share) });
  }
  return {
    parts,
    missing,
    covered: missing.length === 0 ? 1 : parts.reduce((sum, part) => sum + part.mass, 0),
    substitutions: parts.map(({ axis }) => axis.substitution).filter((text) => text !== ''),
    variants,
  };
}

/** What each end weighs in the centre of mass; the weights sum to 1. */
export function endWeights({ parts }: MassPlan): ReadonlyMap<EndId, number> {
  const weights = new Map<EndId, number>();
  const total = parts.reduce((sum, part) => sum + part.mass, 0);
  const add = (end: EndId, weight: number): void => void weights.set(end, (weights.get(end) ?? 0) + weight);
  for (const { mass, axis, share } of parts) {
    add(axis.from, (mass / total) * (1 - share));
    if (axis.to !== axis.from) add(axis.to, (mass / total) * share);
  }
  return weights;
}
