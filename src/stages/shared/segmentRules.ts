/** Which landmarks make which segment, the preferred set first. */

import type { LandmarkId } from '../../model/landmarks.ts';
import type { TrunkSegmentId } from '../../model/motion.ts';
import { type FrameKernel, headFrame, pelvisFrame, pelvisFrameSacrum, thoraxFrame } from './segmentFrames.ts';

export interface SegmentRule {
  /** In the order of the kernel. */
  readonly landmarks: readonly LandmarkId[];
  readonly kernel: FrameKernel;
  /** Stored as provenance and, for pelvis and thorax, in the datum. */
  readonly name: string;
  /** A substitution that is recorded with the result, or ''. */
  readonly substitution: string;
}

export const SEGMENT_RULES: Readonly<Record<TrunkSegmentId, readonly SegmentRule[]>> = {
  pelvis: [
    {
      landmarks: ['lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'trail_PSIS'],
      kernel: pelvisFrame,
      name: 'pelvis ISB 2002, ASIS and PSIS',
      substitution: '',
    },
    {
      landmarks: ['lead_ASIS', 'trail_ASIS', 'SACRUM'],
      kernel: pelvisFrameSacrum,
      name: 'pelvis ISB 2002, ASIS and sacrum',
      substitution: 'sacrum for the middle of the PSIS',
    },
  ],
  thorax: [
    {
      landmarks: ['IJ', 'PX', 'C7', 'T8'],
      kernel: thoraxFrame,
      name: 'thorax ISB 2005, IJ PX C7 T8',
      substitution: '',
    },
    {
      landmarks: ['IJ', 'PX', 'C7', 'T10'],
      kernel: thoraxFrame,
      name: 'thorax ISB 2005, IJ PX C7 T10',
      substitution: 'T10 for T8',
    },
  ],
  head: [
    {
      landmarks: ['lead_EAR', 'trail_EAR', 'lead_ORBIT', 'trail_ORBIT'],
      kernel: headFrame,
      name: 'head, ears and orbits',
      substitution: '',
    },
    {
      landmarks: ['lead_HEAD_BACK', 'trail_HEAD_BACK', 'lead_HEAD_FRONT', 'trail_HEAD_FRONT'],
      kernel: headFrame,
      name: 'head, four head-band markers',
      substitution: '',
    },
  ],
};
