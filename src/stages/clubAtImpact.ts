/** The club at impact: speed, attack, path, face, loft, lie, lean, planes and low point just before the strike (definitions 5). */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { ClubPlan } from '../model/dayPlan.ts';
import type { ClubFigureId, ClubFigures, Figured, FoundPositions } from '../model/delivery.ts';
import type { Motion } from '../model/motion.ts';
import type { Track } from '../model/track.ts';
import type { PathFit } from '../numeric/pathFit.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { faceFigures } from './club/faceFigures.ts';
import { assumedBall, type BallPlace, lowPoint } from './club/lowPoint.ts';
import {
  disagreement,
  framesAround,
  type Instant,
  LATE_s,
  type PathPlane,
  planeFigures,
  planeOfPath,
  splineOf,
} from './club/planes.ts';
import { shaftFigures } from './club/shaftFigures.ts';
import { type ClubOptions, contactOf, flagsAfter, type Strike, strikeOf } from './club/strike.ts';
import { deliveryOf } from './clubDelivery.ts';
import { stillBall } from './positions/impactEvidence.ts';
import { fitAfter, noiseOf } from './positions/strikeFit.ts';
import { faceNormalOf } from './shared/clubBody.ts';

type PlaneFigureId = Extract<ClubFigureId, `${string}plane-${string}`>;
type LowPointId = 'low-point' | 'low-point-after';
type Some<K extends ClubFigureId> = Record<K, Avail<Figured>>;

/**
 * Every figure of the club at P7 with its ±, or the reason why it is missing; nothing is measured across the strike. Speed, attack and path as
 * `clubDelivery`; face figures need three head markers and the face normal of `clubPlan`; lie and lean the shaft alone; planes and low point
 * the head point. Of sensors, which show no places, all are absent.
 */
export function clubAtImpact(
  motion: Motion,
  found: FoundPositions,
  clubPlan: ClubPlan | null,
  options: ClubOptions,
  ws: Workspace,
): Outcome<ClubFigures> {
  const strike = strikeOf(motion, found, options);
  const targetAssumed = motion.head.facts.target.source === 'assumed';
  const delivery = deliveryOf(strike, targetAssumed);
  const contact = contactOf(found);
  const after = strike.ok ? pathAfter(strike.value) : strike;
  const isOfSensors = motion.head.source === 'sensors';
  const noPlaces = absent<never>('no-places', 'markers on the club: sensors show no places');
  const face = faceFigures(
    {
      body: isOfSensors ? noPlaces : (motion.clubBody ?? absent('landmark-missing', 'three markers on the club head')),
      normal: faceNormalOf(clubPlan, motion.head),
      contact,
      strike,
      targetAssumed,
    },
    options,
  );
  const shaft = isOfSensors
    ? noPlaces
    : (motion.directions.get('shaft') ?? absent('landmark-missing', 'two markers on the shaft'));
  return {
    value: {
      ...delivery.value,
      ...face,
      ...shaftFigures(shaft, contact, options),
      ...planesOf(strike, after, found, targetAssumed),
      ...lowPointsOf(strike, after, motion, ws),
    },
    diagnostics: delivery.diagnostics,
  };
}

function pathAfter({ track, contact, noise_m }: Strike): Avail<PathFit> {
  const fit = fitAfter(track, contact.after, noise_m);
  return fit === null
    ? absent('too-few-samples', 'six samples of the club head in the 40 ms after impact')
    : present(fit);
}

function planesOf(
  strike: Avail<Strike>,
  after: Avail<PathFit>,
  found: FoundPositions,
  targetAssumed: boolean,
): Some<PlaneFigureId> {
  const planes = strike.ok ? pathPlanes(strike.value, after, found) : { down: strike, late: strike, after: strike };
  const flags = strike.ok ? strike.value.flags : [];
  const anglesOf = (plane: Avail<PathPlane>) =>
    plane.ok ? planeFigures(plane.value, flags, targetAssumed) : { slope: plane, direction: plane };
  const against = (plane: Avail<PathPlane>): Avail<Figured> => {
    if (!plane.ok) return plane;
    return strike.ok ? disagreement(strike.value, plane.value) : strike;
  };
  const down = anglesOf(planes.down);
  const late = anglesOf(planes.late);
  const up = anglesOf(planes.after);
  return {
    'plane-slope': down.slope,
    'plane-direction': down.direction,
    'plane-disagreement': against(planes.down),
    'late-plane-slope': late.slope,
    'late-plane-direction': late.direction,
    'late-plane-disagreement': against(planes.late),
    'plane-after-slope': up.slope,
    'plane-after-direction': up.direction,
  };
}

interface Planes {
  /** P6 to P7. */
  readonly down: Avail<PathPlane>;
  /** The last 50 ms before P7. */
  readonly late: Avail<PathPlane>;
  /** P7 to P8. */
  readonly after: Avail<PathPlane>;
}

/** Between samples a spline; between impact and the sample next to it the fit of that side. */
function pathPlanes(strike: Strike, fitted: Avail<PathFit>, found: FoundPositions): Planes {
  const { fit, contact, track } = strike;
  const { rate_Hz } = track.clock;
  const p6 = momentOf(found, 'P6');
  const p8 = momentOf(found, 'P8');
  const start = { time_s: contact.time_s - LATE_s, sd_s: contact.sd_s };
  const earliest_s = p6.ok ? Math.min(start.time_s, p6.value.time_s) : start.time_s;
  const before = splineOf(track, framesAround(track, earliest_s), contact.before);
  const after = p8.ok ? splineOf(track, contact.after, Math.ceil(p8.value.time_s * rate_Hz) + 4) : null;
  const down = (from: Instant): Avail<PathPlane> => {
    if (before === null) return absent('too-few-samples', 'six samples of the club head before impact');
    return planeOr(
      planeOfPath((t, out) => (t > fit.to_s ? fit.positionAt(t, out) : before(t, out)), from, contact, strike),
    );
  };
  const up = (to: Instant): Avail<PathPlane> => {
    if (!fitted.ok) return fitted;
    if (after === null) return absent('too-few-samples', 'six samples of the club head from impact to P8');
    const first = fitted.value;
    return planeOr(
      planeOfPath((t, out) => (t < first.from_s ? first.positionAt(t, out) : after(t, out)), contact, to, strike),
    );
  };
  return { down: p6.ok ? down(p6.value) : p6, late: down(start), after: p8.ok ? up(p8.value) : p8 };
}

function planeOr(plane: PathPlane | null): Avail<PathPlane> {
  return plane === null
    ? absent('path-is-a-line', 'a path of the club head that is bent enough to lie in one plane')
    : present(plane);
}

function momentOf(found: FoundPositions, position: 'P6' | 'P8'): Avail<Instant> {
  const moment = found.moments.get(position);
  if (moment === undefined) return absent('position-missing', `the moment of ${position}`);
  return moment.found ? present(moment) : { ok: false, why: moment.why };
}

function lowPointsOf(strike: Avail<Strike>, after: Avail<PathFit>, motion: Motion, ws: Workspace): Some<LowPointId> {
  if (!strike.ok) return { 'low-point': strike, 'low-point-after': strike };
  const { fit, contact, flags } = strike.value;
  const ball = ballOf(strike.value, motion, ws);
  return {
    'low-point': lowPoint(fit, [fit.from_s, contact.time_s], ball, flags),
    'low-point-after': after.ok
      ? lowPoint(after.value, [after.value.from_s, after.value.to_s], ball, flagsAfter(strike.value))
      : after,
  };
}

function ballOf(strike: Strike, motion: Motion, ws: Workspace): BallPlace {
  const ball = motion.points.get('ball');
  const still = ball?.ok ? stillBallOf(ball.value, strike.contact.before, ws) : null;
  return still === null ? assumedBall(strike) : { z_m: still.place[2]!, sd_m: still.sd_m, flags: [] };
}

const stillBallOf = (ball: Track<3>, until: number, ws: Workspace) => stillBall(ball, until, noiseOf(ball), ws);
