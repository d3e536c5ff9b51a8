/** One swing from trial to record: 60 markers × 1200 frames at 240 Hz, workspace warm. */
import { performance } from 'node:perf_hooks';
import type { AnalysisPlan } from '../src/model/analysisPlan.ts';
import { CATALOGUE } from '../src/model/catalogue.ts';
import { CUTOFF_METHODS, DEFAULT_FILTER, DEFAULT_GAPS } from '../src/model/dayPlan.ts';
import { FILE_LANDMARKS, type LandmarkId, landmarkOfPlayer } from '../src/model/landmarks.ts';
import { MEASURED, type Track } from '../src/model/track.ts';
import type { MarkerTrial } from '../src/model/trial.ts';
import { createWorkspace } from '../src/numeric/workspace.ts';
import { analyseTrial } from '../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../src/pipeline/motionFromMarkers.ts';
import { calibrate } from '../src/stages/calibrate.ts';
import { clubDelivery, DEFAULT_CLUB_OPTIONS } from '../src/stages/clubDelivery.ts';
import { fillGaps } from '../src/stages/fillGaps.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions } from '../src/stages/findPositions.ts';
import { jointAngles } from '../src/stages/jointAngles.ts';
import { measureMarkers } from '../src/stages/measureMarkers.ts';
import { DEFAULT_ORDER_OPTIONS, orderOfMotion } from '../src/stages/orderOfMotion.ts';
import { readQuantities } from '../src/stages/readQuantities.ts';
import { SEGMENT_CLUSTERS } from '../src/stages/shared/segmentClusters.ts';
import { smooth } from '../src/stages/smooth.ts';
import { toPlayerFrame } from '../src/stages/toPlayerFrame.ts';
import { NOISY, truthCase } from '../tests/support/truthCases.ts';

export interface AnalyseRow {
  readonly name: string;
  readonly median_ms: number;
  /** The least of all runs: what is left where other programs share the cores. */
  readonly least_ms: number;
}

const MARKERS = 60;
const FRAMES = 1200;

/** An invented swing without a fault, its end held to the full length, with further markers until there are sixty: each rides on another of its segment. */
export function bigTrial(): { trial: MarkerTrial; plan: AnalysisPlan } {
  const { trial, plan } = truthCase(3, NOISY);
  const clock = { rate_Hz: trial.clock.rate_Hz, frames: FRAMES };
  const points = new Map<LandmarkId, Track<3>>();
  for (const [id, track] of trial.points) points.set(id, stretched(track, trial.clock.frames, clock));
  for (const name of FILE_LANDMARKS) {
    const id = landmarkOfPlayer(name, 'right');
    if (points.size >= MARKERS || points.has(id) || id.startsWith('CLUB')) continue;
    const segment = SEGMENT_CLUSTERS.find(({ landmarks }) => landmarks.includes(id))?.landmarks ?? [...points.keys()];
    points.set(id, { ...points.get(segment.find((other) => points.has(other))!)! });
  }
  return { trial: { ...trial, clock, points }, plan: { ...plan, filter: DEFAULT_FILTER, gaps: DEFAULT_GAPS } };
}

function stretched(track: Track<3>, frames: number, clock: { rate_Hz: number; frames: number }): Track<3> {
  const data = new Float64Array(3 * clock.frames);
  const state = new Uint8Array(clock.frames).fill(MEASURED);
  for (let f = 0; f < clock.frames; f++) {
    const from = Math.min(f, frames - 1 - ((f - frames + 1) % 7));
    const source = f < frames ? f : from;
    state[f] = track.state[source]!;
    for (let c = 0; c < 3; c++) data[c * clock.frames + f] = track.data[c * frames + source]!;
  }
  return { ...track, clock, data, state };
}

export function median(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

/** Medians of `runs` after as many to warm up; the stages one by one, then the whole. */
export function benchAnalyse(runs = 151): AnalyseRow[] {
  const { trial, plan } = bigTrial();
  const ws = createWorkspace();
  const calibration = plan.calibration ?? calibrate(toPlayerFrame(trial, ws).value, plan.player, ws).value;
  const full: AnalysisPlan = { ...plan, calibration };
  const orderOptions = { ...DEFAULT_ORDER_OPTIONS, filter: DEFAULT_FILTER };
  const parts = new Map<string, number[]>();
  const timed = <T>(name: string, work: () => T): T => {
    const start = performance.now();
    const value = work();
    const taken = performance.now() - start;
    const all = parts.get(name) ?? [];
    parts.set(name, all);
    all.push(taken);
    return value;
  };
  for (let run = 0; run < 2 * runs; run++) {
    if (run === runs) parts.clear();
    ws.reset();
    const filled = timed('fillGaps and noise', () => fillGaps(measureMarkers(trial, ws).trial, full.gaps, ws)).value;
    timed('smooth', () => smooth(filled, full.filter, ws));
    for (const rule of run % 5 === 0 ? CUTOFF_METHODS : []) {
      const options = { trunk_Hz: rule, head_Hz: rule, legs_Hz: rule, upperArm_Hz: rule, forearm_Hz: rule };
      timed(`smooth, cutoffs by ${rule}`, () => smooth(filled, options, ws));
    }
    ws.reset();
    const motion = timed('markers to motion, all', () => motionFromMarkers(trial, full, ws)).value;
    const angles = timed('jointAngles', () => jointAngles(motion, full.orders, ws)).value;
    const found = timed('findPositions', () => findPositions(motion, DEFAULT_POSITION_OPTIONS, ws)).value;
    const club = timed('clubDelivery', () => clubDelivery(motion, found, DEFAULT_CLUB_OPTIONS, ws)).value;
    const order = timed('orderOfMotion', () => orderOfMotion(motion, found, orderOptions, ws)).value;
    timed('readQuantities', () => readQuantities({ motion, angles, found, club, order }, CATALOGUE, ws));
    ws.reset();
    timed('analyseTrial, whole', () => analyseTrial(trial, full, ws));
  }
  return [...parts].map(([name, times]) => ({ name, median_ms: median(times), least_ms: Math.min(...times) }));
}
