/** Positions of the swing, P1 to P10, and the frames of impact (definitions 6). */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { absent, present } from '../model/availability.ts';
import type { FoundPositions } from '../model/delivery.ts';
import type { DirectionId, Motion } from '../model/motion.ts';
import type { Moment, PositionId } from '../model/positions.ts';
import type { Track } from '../model/track.ts';
import type { Workspace } from '../numeric/workspace.ts';
import {
  CROSSING_RULES,
  type CrossingRule,
  findCrossing,
  type Limb,
  type SearchRange,
} from './positions/crossingRules.ts';
import { type AngleSeries, elevationOf } from './positions/elevation.ts';
import { applyEvents, EVENT_REACH_frames, eventTime } from './positions/events.ts';
import { findImpact, trackOf } from './positions/impact.ts';
import { fastestStep, stepSpeeds } from './positions/impactEvidence.ts';
import { type LocalFit, newLocalFit } from './positions/localFit.ts';
import { flagged, missingMoment, momentAt } from './positions/momentMaker.ts';
import { keepOrder, reportMissing } from './positions/order.ts';
import { checkPlausible } from './positions/plausibility.ts';
import { shareBetween } from './positions/rotationShare.ts';
import { findAddress, findFinish, type Rest, type SpeedSeries, speedOf } from './positions/stillness.ts';
import { BY_FOREARM, BY_MARKERS, findTops, type Limbs } from './positions/whichTop.ts';
import { widenMoments } from './positions/widenMoments.ts';
import {
  FOREARM_METHODS,
  fastestOf,
  isOfSensors,
  NEEDS_SHOCK,
  speedOfSensors,
  withSensorSpread,
} from './positions/withoutPoints.ts';

/** Choices of this stage; nothing is left to a default inside. */
export interface PositionOptions {
  /** Low-pass of the point whose stillness makes P1 and P10, Hz; null: as it is (noise-free data). */
  readonly stillnessFilter_Hz: number | null;
  /** Impact by a trigger or by sound (its delay taken off), seconds from the first stored frame; null where there is none. */
  readonly trigger_s: number | null;
  readonly sound_s: number | null;
  /** Time the ball stays on the face, seconds; 0 for a stroke without duration. */
  readonly contact_s: number;
}

/** 12 Hz (definitions 6); 0.4 ms of contact (about half a millisecond: Cochran & Stobbs 1968, from memory). */
export const DEFAULT_POSITION_OPTIONS: PositionOptions = {
  stillnessFilter_Hz: 12,
  trigger_s: null,
  sound_s: null,
  contact_s: 0.0004,
};

/** What is known while the positions are found, in frames where not said. */
interface Search {
  readonly motion: Motion;
  readonly ws: Workspace;
  readonly fit: LocalFit;
  readonly rate_Hz: number;
  readonly frames: number;
  /** Last frame before and first after impact, or the fastest moment where impact is not known. */
  readonly before: number;
  readonly after: number;
  readonly hasImpact: boolean;
  readonly bySensors: boolean;
  readonly shaft: Track<3> | null;
  readonly leadArm: Track<3> | null;
  readonly moments: Map<PositionId, Moment>;
}

/**
 * P7 first, then the top, then the passings of the horizontal, fractions, and stillness at both ends; stored events under mapped names
 * decide which moment is meant. Missing positions say why. Needs nothing in particular: joint centres alone give P1, P3, P4(arm), P5 and P9.
 */
export function findPositions(motion: Motion, options: PositionOptions, ws: Workspace): Outcome<FoundPositions> {
  const diagnostics: Diagnostic[] = [];
  const { rate_Hz, frames } = motion.clock;
  const impact = frames > 0 ? findImpact(motion, options, ws, diagnostics) : null;
  const anchor = impact === null ? fastestMoment(motion, ws) : null;
  const moments = new Map<PositionId, Moment>();
  const s: Search = {
    motion,
    ws,
    fit: newLocalFit(),
    rate_Hz,
    frames,
    before: impact?.frames.before ?? anchor ?? frames - 1,
    after: impact?.frames.after ?? (anchor === null ? frames : anchor + 1),
    hasImpact: impact !== null,
    bySensors: isOfSensors(motion),
    shaft: direction(motion, 'shaft'),
    leadArm: direction(motion, 'lead_arm'),
    moments,
  };
  moments.set('P7', impact === null ? missingMoment('no-impact-evidence', needsImpact(s)) : impact.moment);
  const tops = findTops(s.shaft, s.leadArm, s.before, ws, s.fit, limbsOf(s));
  moments.set('P4', tops.p4);
  if (tops.arm !== null) moments.set('P4(arm)', tops.arm);
  const series = new Map<Limb, AngleSeries>();
  for (const rule of CROSSING_RULES) moments.set(rule.position, crossing(s, rule, series));
  atRest(s, options);
  if (s.bySensors)
    for (const [position, moment] of moments)
      if (position !== 'P7') moments.set(position, withSensorSpread(position, moment, rate_Hz));
  applyEvents(motion, moments, diagnostics);
  keepOrder(moments, diagnostics);
  const half = halfWayDown(s);
  moments.set('P5.5', s.bySensors ? withSensorSpread('P5.5', half, rate_Hz) : half);
  applyEvents(motion, moments, diagnostics, 'P5.5');
  const head = trackOf(motion, 'head_point');
  checkPlausible(
    {
      p1_s: timeOf(moments, 'P1'),
      top_s: topOf(moments),
      p7_s: timeOf(moments, 'P7'),
    },
    head,
    head === null ? null : stepSpeeds(head, ws),
    diagnostics,
  );
  widenMoments(motion, moments);
  reportMissing(moments, diagnostics);
  const found = impact === null ? absent<never>('no-impact-evidence', needsImpact(s)) : present(impact.frames);
  return { value: { moments, impact: found }, diagnostics };
}

const NEEDS_IMPACT = 'a marker on the ball or the club head, or an event at impact';
const NEEDS_SHAFT = 'two markers on the club’s shaft';
const NEEDS_TOP = 'the top of the backswing (P4)';

function needsImpact(s: Search): string {
  return s.bySensors ? NEEDS_SHOCK : NEEDS_IMPACT;
}

/** What a missing top needs; a motion of sensors knows why a direction is not there. */
function limbsOf({ motion, bySensors }: Search): Limbs {
  if (!bySensors) return BY_MARKERS;
  const shaft = motion.directions.get('shaft');
  const leadArm = motion.directions.get('lead_arm');
  return {
    ...BY_FOREARM,
    ...(shaft?.ok === false ? { shaft: shaft.why } : {}),
    ...(leadArm?.ok === false ? { leadArm: leadArm.why } : {}),
  };
}

/** Why there is no shaft: a motion of sensors says which sensor. */
function noShaft(s: Search): Moment {
  const shaft = s.motion.directions.get('shaft');
  return s.bySensors && shaft?.ok === false ? { found: false, why: shaft.why } : missingMoment('no-shaft', NEEDS_SHAFT);
}

function direction(motion: Motion, id: DirectionId): Track<3> | null {
  const track = motion.directions.get(id);
  return track?.ok ? track.value : null;
}

function timeOf(moments: ReadonlyMap<PositionId, Moment>, position: PositionId): number | null {
  const moment = moments.get(position);
  return moment?.found ? moment.time_s : null;
}

/** The top that bounds the searches: P4, without it P4(arm). */
function topOf(moments: ReadonlyMap<PositionId, Moment>): number | null {
  return timeOf(moments, 'P4') ?? timeOf(moments, 'P4(arm)');
}

/** Frame of the fastest head or, without one, lead wrist; of sensors, of the nominal speed. */
function fastestMoment(motion: Motion, ws: Workspace): number | null {
  if (isOfSensors(motion)) return fastestOf(motion) < 0 ? null : fastestOf(motion);
  const track = trackOf(motion, 'head_point') ?? trackOf(motion, 'lead_wrist');
  if (track === null || track.clock.frames < 3) return null;
  const fastest = fastestStep(stepSpeeds(track, ws), 0, track.clock.frames);
  return fastest < 0 ? null : fastest;
}

function crossing(s: Search, rule: CrossingRule, known: Map<Limb, AngleSeries>): Moment {
  const id: DirectionId = rule.limb === 'shaft' ? 'shaft' : rule.limb === 'lead arm' ? 'lead_arm' : 'trail_arm';
  const track = direction(s.motion, id);
  if (track === null) {
    const given = s.motion.directions.get(id);
    if (s.bySensors && given?.ok === false) return { found: false, why: given.why };
    return rule.limb === 'shaft'
      ? missingMoment('no-shaft', NEEDS_SHAFT)
      : missingMoment('no-arm', `the shoulder and wrist centres of the ${rule.limb}`);
  }
  const range = searchRange(s, rule);
  if ('found' in range) return range;
  let series = known.get(rule.limb);
  if (series === undefined) {
    series = elevationOf(track, s.ws);
    known.set(rule.limb, series);
  }
  const event_s = eventTime(s.motion, rule.position);
  const method = (s.bySensors ? FOREARM_METHODS[rule.method] : undefined) ?? rule.method;
  const words = s.bySensors ? rule.limb.replace('arm', 'forearm') : rule.limb;
  return findCrossing({ ...rule, method, words }, series, range, event_s, EVENT_REACH_frames, s.rate_Hz, s.fit);
}

/** The frames in which a position lies; each side of impact by itself. */
function searchRange(s: Search, rule: CrossingRule): SearchRange | Moment {
  const top_s = topOf(s.moments);
  const beforeImpact = { low: 0, high: Math.min(s.frames, s.before + 1) };
  const afterImpact = { low: Math.min(s.frames, s.after), high: s.frames };
  if (rule.position === 'P8' || rule.position === 'P9') {
    if (!s.hasImpact && rule.limb === 'shaft') return missingMoment('no-impact-evidence', needsImpact(s));
    const p8_s = timeOf(s.moments, 'P8');
    const from = rule.position === 'P9' && p8_s !== null ? Math.ceil(p8_s * s.rate_Hz) : afterImpact.low;
    return { from, to: s.frames, ...afterImpact };
  }
  if (top_s === null) return missingMoment('no-top', NEEDS_TOP);
  if (rule.position === 'P2' || rule.position === 'P3') {
    return { from: 0, to: Math.min(beforeImpact.high, Math.floor(top_s * s.rate_Hz) + 1), ...beforeImpact };
  }
  return { from: Math.ceil(top_s * s.rate_Hz), to: beforeImpact.high, ...beforeImpact };
}

/** P1 and P10 from the head point, without one from the lead wrist, of sensors from the nominal speed. */
function atRest(s: Search, options: PositionOptions): void {
  const speedIn = speedSource(s, options.stillnessFilter_Hz);
  if (typeof speedIn !== 'function') {
    s.moments.set('P1', speedIn);
    s.moments.set('P10', speedIn);
    return;
  }
  const top_s = topOf(s.moments);
  const bound_s = timeOf(s.moments, 'P2') ?? timeOf(s.moments, 'P3') ?? (top_s === null ? null : top_s - 0.3);
  if (bound_s === null) {
    s.moments.set('P1', missingMoment('no-top', NEEDS_TOP));
  } else {
    const speed = speedIn(0, Math.min(s.frames, s.before + 1));
    const first = Math.max(0, Math.min(s.before, Math.floor(bound_s * s.rate_Hz)));
    s.moments.set('P1', restMoment(findAddress(speed, first), 'moving-address'));
  }
  const late_s =
    timeOf(s.moments, 'P9') ?? timeOf(s.moments, 'P8') ?? Math.min(s.frames, s.before + 0.2 * s.rate_Hz) / s.rate_Hz;
  const speed = speedIn(Math.min(s.frames, s.after), s.frames);
  s.moments.set('P10', restMoment(findFinish(speed, Math.ceil(late_s * s.rate_Hz)), 'moving-finish'));
}

/** The speed that shows stillness in a stretch of frames, or why there is none. */
function speedSource(s: Search, cutoff_Hz: number | null): ((from: number, to: number) => SpeedSeries) | Moment {
  if (s.bySensors) {
    const speed = s.motion.nominalSpeed;
    if (speed?.ok === true) return (from, to) => speedOfSensors(speed.value, from, to, cutoff_Hz, s.ws);
    if (speed?.ok === false) return { found: false, why: speed.why };
  }
  const track = trackOf(s.motion, 'head_point') ?? trackOf(s.motion, 'lead_wrist');
  if (track === null) return missingMoment('no-point', 'the club head or the lead wrist centre');
  return (from, to) => speedOf(track, from, to, cutoff_Hz, s.ws);
}

function restMoment(rest: Rest, flag: string): Moment {
  if (rest.kind === 'missing') return missingMoment(rest.code, rest.needed);
  const isStill = rest.kind === 'still';
  return momentAt(rest.time_s, rest.sd_s, isStill ? 'stillness' : 'slowest', isStill ? [] : [flag], rest.window_s);
}

/** P5.5, in the plane of the shaft's directions between P5 and P6. */
function halfWayDown(s: Search): Moment {
  const p5 = s.moments.get('P5');
  const p6 = s.moments.get('P6');
  if (s.shaft === null) return noShaft(s);
  if (!p5?.found) return missingMoment('neighbour-missing', 'P5');
  if (!p6?.found) return missingMoment('neighbour-missing', 'P6');
  const top_s = topOf(s.moments);
  const low = top_s === null ? 0 : Math.ceil(top_s * s.rate_Hz);
  const found = shareBetween(s.shaft, p5, p6, 0.5, low, Math.min(s.frames, s.before + 1), s.ws, s.fit);
  if (found === null) return missingMoment('too-few-samples', 'the shaft between P5 and P6');
  const moment = momentAt(found.time_s, found.sd_s, 'shaft-rotation-share', found.filled ? ['filled'] : []);
  return p5.flags.includes('reversed') ? flagged(moment, 'reversed') : moment;
}
