/** A swing at every frame: all quantities that vary, angles by rotation, markers and segments. */

import type { Outcome } from '../base/diagnostics.ts';
import type { AngleSet } from '../model/angles.ts';
import type { FoundPositions } from '../model/delivery.ts';
import { type Motion, type PointId, SEGMENTS, type SegmentId } from '../model/motion.ts';
import type { Quantity } from '../model/quantity.ts';
import {
  FILLED,
  type PointSeries,
  type QuantitySeries,
  REBUILT,
  type SegmentSeries,
  type SwingSeries,
} from '../model/swingSeries.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { angleTriples, isThirdOfTriple, withWholeTriples } from './shared/angleTriples.ts';
import { fileName } from './shared/landmarkGroups.ts';
import { viewAtTimes, viewOfMotion } from './shared/motionView.ts';
import { createPlacedReader } from './shared/placedReadings.ts';
import { type QuantityRow, quantityRows } from './shared/quantityRows.ts';
import { framePlan } from './shared/sampling.ts';
import { fillFlags } from './shared/sources.ts';

export interface SeriesInput {
  readonly motion: Motion;
  readonly angles: AngleSet;
  readonly found: FoundPositions;
  /** The trial that the motion was made of, for labels and axes of its file; null of sensors. */
  readonly markers: MarkerTrial | null;
}

/** The proximal joint centre of a limb segment, the centre of a segment of the trunk. */
const ORIGINS: Readonly<Record<SegmentId, PointId>> = {
  pelvis: 'pelvis_centre',
  thorax: 'thorax_centre',
  head: 'head_centre',
  lead_upper_arm: 'lead_shoulder',
  trail_upper_arm: 'trail_shoulder',
  lead_forearm: 'lead_elbow',
  trail_forearm: 'trail_elbow',
  lead_hand: 'lead_wrist',
  trail_hand: 'trail_wrist',
  lead_thigh: 'lead_hip',
  trail_thigh: 'trail_hip',
  lead_shank: 'lead_knee',
  trail_shank: 'trail_knee',
  lead_foot: 'lead_ankle',
  trail_foot: 'trail_ankle',
};

/**
 * The same readings as at positions (`readQuantities`), at whole frames: nothing is interpolated. What the recording does not show is not
 * in the lists. `angles` are of the whole recording. Everything owns its memory.
 */
export function frameSeries(input: SeriesInput, catalogue: readonly Quantity[], ws: Workspace): Outcome<SwingSeries> {
  const { motion, angles, found, markers } = input;
  const plan = framePlan(found.moments, motion.clock, ws);
  const full = { ...viewOfMotion(motion, ws), rate: (segment: SegmentId) => angles.rates.get(segment)! };
  const view = viewAtTimes(motion, full, plan, ws);
  const placed = createPlacedReader(motion, plan, ws);
  const varying = withWholeTriples(catalogue.filter(isVarying));
  const rows = quantityRows({ motion, angles }, varying, view, plan, placed, ws);
  const at = (values: Float64Array): Float64Array => values.slice(plan.curve, plan.curve + motion.clock.frames);
  return {
    value: {
      trial: motion.head.trial,
      clock: motion.clock,
      quantities: rows.filter(({ id }) => !isThirdOfTriple(id)).flatMap((row) => quantityOf(row, plan.curve, at)),
      angles: angleTriples(rows, at),
      points: pointsOf(motion, markers),
      segments: segmentsOf(motion),
      file: markers?.fileFrame ?? null,
    },
    diagnostics: [],
  };
}

/** Whether a quantity has a value at any frame: not once a swing, and not at address alone. */
function isVarying({ at, reading }: Quantity): boolean {
  return at !== 'swing' && !['address-distance', 'address-heading', 'ball-place'].includes(reading.kind);
}

function quantityOf(
  { id, unit, order, flags, values, tracks }: QuantityRow,
  start: number,
  at: (values: Float64Array) => Float64Array,
): QuantitySeries[] {
  if (!values.ok) return [];
  const series = at(values.value.values);
  const singular = values.value.singular?.slice(start, start + series.length) ?? null;
  const filled = filledFrames(tracks, series.length);
  return [{ quantity: id, unit, order, values: series, flags: [...new Set(flags)], singular, filled }];
}

/** As the flags of a cell, of each frame by itself; null where nothing was filled. */
function filledFrames(tracks: QuantityRow['tracks'], frames: number): Uint8Array | null {
  if (fillFlags(tracks, 0, frames - 1).length === 0) return null;
  return Uint8Array.from({ length: frames }, (_, frame) =>
    fillFlags(tracks, frame, frame).reduce((sum, flag) => sum + (flag === 'filled' ? FILLED : REBUILT), 0),
  );
}

function pointsOf({ landmarks, head }: Motion, markers: MarkerTrial | null): PointSeries[] {
  return [...(landmarks ?? [])].map(([id, track]) => {
    const landmark = fileName(id, head.facts.hand.value);
    const label = markers?.points.get(id)?.provenance ?? landmark;
    return { landmark, label, data: track.data.slice(), state: track.state.slice() };
  });
}

function segmentsOf({ poses, points }: Motion): SegmentSeries[] {
  return SEGMENTS.flatMap((segment) => {
    const pose = poses.get(segment);
    if (pose?.ok !== true) return [];
    const originPoint = ORIGINS[segment];
    const origin = points.get(originPoint);
    return [
      {
        segment,
        originPoint,
        origin: origin?.ok === true ? origin.value.data.slice() : null,
        pose: pose.value.data.slice(),
      },
    ];
  });
}
