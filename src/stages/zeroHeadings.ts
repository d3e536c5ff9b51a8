/** The headings of sensors, zero at P1. */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, present } from '../model/availability.ts';
import type { FoundPositions } from '../model/delivery.ts';
import { type DirectionId, type Motion, type SegmentId, TRUNK_SEGMENTS } from '../model/motion.ts';
import type { Track } from '../model/track.ts';
import { anglesFromRotation } from '../numeric/eulerAngles.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { takeTurnOff } from './sensors/headings.ts';
import { sampleTimes, viewAtTimes, viewOfMotion } from './shared/motionView.ts';

/**
 * The same motion with every segment's turn zero at P1 (the mean of its window), or with tied headings all turned alike so that the pelvis
 * (else the thorax, else the head) is, and directions with them. The still stretch from which sensors were strapped down may lie before a waggle: P1 is what positions
 * and changes are read against. Markers, and a swing without P1, stay as they are.
 */
export function zeroHeadings(motion: Motion, found: FoundPositions, ws: Workspace): Outcome<Motion> {
  const p1 = found.moments.get('P1');
  if (motion.headingZero !== 'P1' || p1?.found !== true) return { value: motion, diagnostics: [] };
  const { rate_Hz } = motion.clock;
  const window = p1.window_s;
  const time = {
    t_frames: p1.time_s * rate_Hz,
    window: window === null ? null : ([window[0] * rate_Hz, window[1] * rate_Hz] as const),
  };
  const view = viewAtTimes(motion, viewOfMotion(motion, ws), sampleTimes([time], motion.clock.frames, ws), ws);
  const angles = new Float64Array(3);
  const turnAtP1 = (segment: SegmentId): number => {
    const R = view.pose(segment);
    if (!R.ok) return Number.NaN;
    anglesFromRotation(R.value, 0, 'YXZ', angles);
    return angles[0]!;
  };
  const common =
    motion.headingsTied === true ? TRUNK_SEGMENTS.map(turnAtP1).find((turn) => !Number.isNaN(turn)) : undefined;
  const poses = new Map<SegmentId, Avail<Track<9>>>();
  for (const [segment, pose] of motion.poses) {
    const turn = pose.ok ? (common ?? turnAtP1(segment)) : Number.NaN;
    if (!pose.ok || Number.isNaN(turn)) {
      poses.set(segment, pose);
      continue;
    }
    const data = ws.float64(pose.value.data.length);
    data.set(pose.value.data);
    takeTurnOff(data, turn);
    poses.set(segment, present({ ...pose.value, data }));
  }
  const directions = common === undefined ? motion.directions : turnedDirections(motion, common, ws);
  return { value: { ...motion, poses, directions }, diagnostics: [] };
}

/** Shaft and forearms with the heading of the segments taken off, so that they stay what they are against them. */
function turnedDirections({ directions }: Motion, turn: number, ws: Workspace): Motion['directions'] {
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const out = new Map<DirectionId, Avail<Track<3>>>();
  for (const [id, direction] of directions) {
    if (!direction.ok) {
      out.set(id, direction);
      continue;
    }
    const { frames } = direction.value.clock;
    const data = ws.float64(3 * frames);
    data.set(direction.value.data);
    for (let f = 0; f < frames; f++) {
      const x = data[f]!;
      const z = data[2 * frames + f]!;
      data[f] = c * x - s * z;
      data[2 * frames + f] = s * x + c * z;
    }
    out.set(id, present({ ...direction.value, data }));
  }
  return out;
}
