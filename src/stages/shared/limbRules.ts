/** Which landmarks and joint centres make which limb segment, the preferred set first. */

import type { LandmarkId, SidedLandmark } from '../../model/landmarks.ts';
import type { LimbSegmentId, PointId } from '../../model/motion.ts';
import { footFrame, forearmFrame, frameFromPairs, frameFromTop, upperArmFrameByForearm } from './limbFrames.ts';
import type { FrameKernel } from './segmentFrames.ts';

export interface LimbRule {
  /** The proximal joint centre, first among the kernel's points, where it needs one that is no landmark. */
  readonly joint: PointId | null;
  /** After the joint, in the order of the kernel. */
  readonly landmarks: readonly LandmarkId[];
  readonly kernel: FrameKernel;
  /** Stored as provenance; the player's calibration fixes it. */
  readonly name: string;
  /** A substitution that is recorded with the result, or ''. */
  readonly substitution: string;
}

type Side = 'lead' | 'trail';
/** Landmarks from the left to the right of the player: lateral first on the lead (left) side, medial first on the trail side. */
type Pair = readonly [lateral: SidedLandmark, medial: SidedLandmark];

function rulesOf(side: Side): Readonly<Partial<Record<LimbSegmentId, readonly LimbRule[]>>> {
  const on = (...names: readonly SidedLandmark[]): LandmarkId[] => names.map((name): LandmarkId => `${side}_${name}`);
  const across = ([lateral, medial]: Pair): LandmarkId[] =>
    side === 'lead' ? on(lateral, medial) : on(medial, lateral);
  const radial = side === 'trail' ? 1 : -1;
  const rule = (
    name: string,
    joint: PointId | null,
    landmarks: readonly LandmarkId[],
    kernel: FrameKernel,
    instead = '',
  ): LimbRule => ({
    joint,
    landmarks,
    kernel,
    name: `${side} ${name}`,
    substitution: instead === '' ? '' : `${side} ${instead}`,
  });
  const noEM = 'upper arm by the plane of the elbow (ISB 2005, second option) for the epicondyles';
  return {
    [`${side}_upper_arm`]: [
      rule('humerus ISB 2005, first option', `${side}_shoulder`, across(['EL', 'EM']), frameFromTop),
      rule('humerus ISB 2005, second option', `${side}_shoulder`, on('EJC', 'US'), upperArmFrameByForearm, noEM),
      rule(
        'humerus ISB 2005, second option, EL',
        `${side}_shoulder`,
        on('EL', 'US'),
        upperArmFrameByForearm,
        `${noEM}, EL for the elbow centre`,
      ),
    ],
    [`${side}_forearm`]: [
      rule('forearm ISB 2005', null, on('US', 'RS', 'EL', 'EM'), forearmFrame(radial, 2)),
      rule('forearm ISB 2005, elbow centre of the file', null, on('US', 'RS', 'EJC'), forearmFrame(radial, 1)),
      rule(
        'forearm ISB 2005, EL',
        null,
        on('US', 'RS', 'EL'),
        forearmFrame(radial, 1),
        'forearm with EL for the elbow centre',
      ),
    ],
    [`${side}_hand`]: [
      rule('hand, styloids and metacarpal heads', null, [...on('RS', 'US'), ...across(['MC2', 'MC5'])], frameFromPairs),
      rule(
        'hand, wrist centre of the file and metacarpal heads',
        null,
        [...on('WJC'), ...across(['MC2', 'MC5'])],
        frameFromTop,
      ),
    ],
    [`${side}_thigh`]: [rule('femur ISB 2002', `${side}_hip`, across(['FL', 'FM']), frameFromTop)],
    [`${side}_shank`]: [
      rule('shank, long axis and malleoli', null, [...on('FL', 'FM'), ...across(['LM', 'MM'])], frameFromPairs),
      rule('shank, knee centre of the file and malleoli', null, [...on('KJC'), ...across(['LM', 'MM'])], frameFromTop),
    ],
    [`${side}_foot`]: [
      rule('foot, heel and metatarsal heads', null, [...on('HEEL'), ...across(['MT5', 'MT1'])], footFrame),
    ],
  };
}

export const LIMB_RULES = { ...rulesOf('lead'), ...rulesOf('trail') } as Readonly<
  Record<LimbSegmentId, readonly LimbRule[]>
>;
