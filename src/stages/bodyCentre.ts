/** The centre of mass of the whole body, or of as much of it as there is. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { Sex } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Motion, PointId } from '../model/motion.ts';
import { MISSING, type Track } from '../model/track.ts';
import type { PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { landmarkWords } from './shared/landmarkGroups.ts';
import { type BodySegment, DE_LEVA, type EndId, endWeights, massPlan } from './shared/segmentMasses.ts';
import { meanPoint, weightedPoint } from './shared/tracks.ts';

export interface BodyCentre {
  /** In G, metres; missing where any end that it rests on is. */
  readonly track: Track<3>;
  /** Share of the body's mass in it, 0..1. */
  readonly covered: number;
  /** Segments that are not in it. */
  readonly missing: readonly BodySegment[];
  readonly substitutions: readonly string[];
  /** Such as 'de Leva 1996, female; trunk by cervicale and mid_hip; without lead thigh': centres by unlike rules are not compared. */
  readonly rule: string;
}

/** A body that lacks more is no whole body: both arms (9.9 %) may be missing, or the head, but no leg. A choice of this program. */
const LEAST_COVERED = 0.9;
/** An end counts where the trial shows it in this share of the frames. */
const LEAST_FRAMES = 0.5;

/** Ends that are points of the motion. */
const POINT_OF_END: Readonly<Partial<Record<EndId, PointId>>> = {
  head_centre: 'head_centre',
  mid_hip: 'pelvis_centre',
  ...sidedPoints('lead'),
  ...sidedPoints('trail'),
};

/** Ends that are a landmark or the mean of some. */
const LANDMARKS_OF_END: Readonly<Partial<Record<EndId, readonly LandmarkId[]>>> = {
  vertex: ['VERTEX'],
  cervicale: ['C7'],
  suprasternale: ['IJ'],
  lead_metacarpale: ['lead_MC2', 'lead_MC5'],
  trail_metacarpale: ['trail_MC2', 'trail_MC5'],
  lead_heel: ['lead_HEEL'],
  trail_heel: ['trail_HEEL'],
};

function sidedPoints(side: 'lead' | 'trail'): Partial<Record<EndId, PointId>> {
  return {
    [`${side}_shoulder`]: `${side}_shoulder`,
    [`${side}_elbow`]: `${side}_elbow`,
    [`${side}_wrist`]: `${side}_wrist`,
    [`${side}_hip`]: `${side}_hip`,
    [`${side}_knee`]: `${side}_knee`,
    [`${side}_ankle`]: `${side}_ankle`,
    [`${side}_toe`]: `${side}_toe`,
  };
}

/**
 * Whole-body centre of mass by de Leva 1996, masses renormalised to 1; `sex` null takes the mean of both, which a diagnostic says.
 * Segments without ends are left out and the rest is renormalised: absent where that is less than 90 % of the mass. Which segments count
 * is decided once for the trial, so that the centre never jumps from frame to frame. The club is not part of the body.
 */
export function bodyCentre(
  trial: PlayerTrial,
  points: Motion['points'],
  sex: Sex | null,
  ws: Workspace,
): Outcome<Avail<BodyCentre>> {
  const ends = endsOf(trial, points, ws);
  const plan = massPlan(DE_LEVA, sex, (end) => ends.has(end));
  const hand = trial.head.facts.hand.value;
  const words = plan.missing.map((segment) => segmentWords(segment, hand));
  if (plan.covered < LEAST_COVERED) {
    const percent = Math.round(100 * plan.covered);
    const needed = `${words.join(', ')}: what is there is ${percent} % of the body's mass, at least 90 % are needed`;
    return { value: absent('body-incomplete', needed), diagnostics: [] };
  }
  const diagnostics: Diagnostic[] = [];
  if (sex === null) {
    const message = 'the centre of mass is by the mean of the tables for female and male';
    diagnostics.push(stageDiagnostic('mass-sex-unknown', message));
  }
  if (words.length > 0) {
    const percent = Math.round(100 * plan.covered);
    diagnostics.push(stageDiagnostic('body-incomplete', `${percent} % of the mass, without ${words.join(', ')}`));
  }
  const weights = [...endWeights(plan)];
  const rule = [
    `de Leva 1996, ${sex ?? 'mean of female and male'}`,
    ...plan.variants,
    ...plan.missing.map((segment) => `without ${segment}`),
  ];
  const track = weightedPoint(
    weights.map(([end]) => ends.get(end)!),
    weights.map(([, weight]) => weight),
    trial.clock,
    rule.join('; '),
    ws,
  );
  const { covered, missing, substitutions } = plan;
  return { value: present({ track, covered, missing, substitutions, rule: track.provenance }), diagnostics };
}

/** The tracks of all ends that the trial shows. */
function endsOf(trial: PlayerTrial, points: Motion['points'], ws: Workspace): ReadonlyMap<EndId, Track<3>> {
  const ends = new Map<EndId, Track<3>>();
  const add = (end: EndId, track: Track<3>): void => {
    if (isSeen(track)) ends.set(end, track);
  };
  for (const [end, id] of Object.entries(POINT_OF_END) as [EndId, PointId][]) {
    const point = points.get(id);
    if (point?.ok) add(end, point.value);
  }
  for (const [end, ids] of Object.entries(LANDMARKS_OF_END) as [EndId, readonly LandmarkId[]][]) {
    const tracks = ids.map((id) => trial.points.get(id)).filter((track) => track !== undefined);
    if (tracks.length === ids.length) add(end, meanPoint(tracks, trial.clock, end, ws));
  }
  const [lead, trail] = [ends.get('lead_shoulder'), ends.get('trail_shoulder')];
  if (lead !== undefined && trail !== undefined) {
    add('mid_shoulder', meanPoint([lead, trail], trial.clock, 'midpoint of the shoulder centres', ws));
  }
  return ends;
}

function isSeen({ state, clock }: Track<3>): boolean {
  if (!state.includes(MISSING)) return clock.frames > 0;
  let seen = 0;
  for (let f = 0; f < clock.frames; f++) if (state[f] !== MISSING) seen += 1;
  return seen > 0 && seen >= LEAST_FRAMES * clock.frames;
}

/** 'lead hand' as the user's own side: 'left hand'. */
function segmentWords(segment: BodySegment, hand: 'left' | 'right'): string {
  const [side, ...rest] = segment.split(' ');
  if (rest.length === 0) return segment;
  return [landmarkWords(`${side as 'lead' | 'trail'}_HAND`, hand).split(' ')[0]!, ...rest].join(' ');
}
