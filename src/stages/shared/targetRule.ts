/** What an assumed target line, or headings that are zero at P1, mean for a quantity: a flag, or that it is missing. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import { type Avail, absent } from '../../model/availability.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion } from '../../model/motion.ts';
import type { Quantity } from '../../model/quantity.ts';

type Row = Pick<Quantity, 'usesTarget' | 'needsTarget' | 'reading'>;

export interface TargetRule {
  /** Markers whose target line is assumed. */
  readonly isAssumed: boolean;
  flags(quantity: Row): string[];
  /** Null where the quantity may be read. */
  missing(quantity: Row): Avail<never> | null;
  flagsOfRotation(rotation: OrderedRotation): string[];
  missingRotation(): Avail<never> | null;
}

const ASSUMED = 'target-assumed';
const ZEROED = 'heading-zeroed-at-P1';

/** The rule of a motion; `hasP1`: the moment at which sensors' headings are zeroed was found. */
export function targetRule(motion: Motion, hasP1: boolean): TargetRule {
  return motion.headingZero === 'P1' ? ofSensors(motion.headingsTied === true, hasP1) : ofMarkers(motion);
}

function ofMarkers(motion: Motion): TargetRule {
  const isAssumed = motion.head.facts.target.source === 'assumed';
  return {
    isAssumed,
    flags: ({ usesTarget }) => (isAssumed && usesTarget ? [ASSUMED] : []),
    missing: ({ needsTarget }) =>
      isAssumed && needsTarget ? absent(ASSUMED, 'a target line that is set or given by an alignment marker') : null,
    flagsOfRotation: (rotation) => (isAssumed && jointOf(rotation) === null ? [ASSUMED] : []),
    missingRotation: () => null,
  };
}

/**
 * Sensors have no target line. Each heading is zero at P1 by itself, so that joint angles too rest on it, unless the headings are tied. Bends
 * do not depend on a heading (turn comes first): they carry no flag and stay without P1; what depends on it is missing.
 */
function ofSensors(tied: boolean, hasP1: boolean): TargetRule {
  const restsOn = (quantity: Row): boolean => isHeading(quantity) || (!tied && isBetween(quantity));
  const noP1 = absent<never>('position-missing', 'P1, at which the headings of the sensors are zero');
  return {
    isAssumed: false,
    flags: (quantity) => (hasP1 && restsOn(quantity) ? [ZEROED] : []),
    missing: (quantity) => {
      if (quantity.needsTarget) return absent('no-target-line', 'a target line: sensors show headings against P1 only');
      return !hasP1 && restsOn(quantity) ? noP1 : null;
    },
    flagsOfRotation: (rotation) => (hasP1 && (!tied || jointOf(rotation) === null) ? [ZEROED] : []),
    missingRotation: () => (hasP1 ? null : noP1),
  };
}

/** Between two segments whose headings are zeroed one by one. */
function isBetween({ reading }: Row): boolean {
  return reading.kind === 'joint' || reading.kind === 'turn-difference';
}

/** A direction in the horizontal plane. */
function isHeading({ reading }: Row): boolean {
  if (reading.kind === 'orientation') return !(reading.order === 'YXZ' && reading.component > 0);
  return reading.kind === 'inclination-direction' || reading.kind === 'line-turn';
}
