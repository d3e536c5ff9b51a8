/** Invented bodies for the stages' tests: rigid landmarks moved by rotations that are known. */

import type { AnalysisPlan } from '../../../src/model/analysisPlan.ts';
import {
  DEFAULT_FAULTS,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type Hand,
  type PlayerPlan,
  type Role,
} from '../../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../../src/model/landmarks.ts';
import { MEASURED, MISSING, type Track } from '../../../src/model/track.ts';
import type { Fact, MarkerTrial, PlayerTrial, TrialHead } from '../../../src/model/trial.ts';
import { rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';

export type Point = readonly [number, number, number];

const fact = <T>(value: T, source: Fact<T>['source'] = 'set'): Fact<T> => ({ value, source, evidence: 'of the test' });

export interface TrialOptions {
  readonly rate_Hz?: number;
  readonly frames?: number;
  readonly hand?: Hand;
  readonly mirrored?: boolean;
  readonly role?: Role;
  readonly targetAssumed?: boolean;
}

function headOf(options: TrialOptions): TrialHead {
  return {
    trial: 'swing-1',
    file: 'swing-1.c3d',
    player: 'p1',
    club: 'd',
    kind: 'driver',
    set: 'a',
    role: options.role ?? 'swing',
    order: 0,
    facts: {
      units: fact('mm'),
      rate_Hz: fact(options.rate_Hz ?? 240),
      up: fact('+Z'),
      target: fact('+X', options.targetAssumed ? 'assumed' : 'set'),
      hand: fact(options.hand ?? 'right'),
      mirrored: fact(options.mirrored ?? false),
    },
    substitutions: [],
  };
}

/** A track from a function of the frame; null is a missing sample. */
export function track(rate_Hz: number, frames: number, at: (frame: number) => Point | null): Track<3> {
  const data = new Float64Array(3 * frames).fill(Number.NaN);
  const state = new Uint8Array(frames).fill(MISSING);
  for (let f = 0; f < frames; f++) {
    const point = at(f);
    if (point === null) continue;
    for (let c = 0; c < 3; c++) data[c * frames + f] = point[c]!;
    state[f] = MEASURED;
  }
  return { dimension: 3, clock: { rate_Hz, frames }, data, state, noise: Number.NaN, provenance: 'of the test' };
}

/** A trial whose landmarks are functions of the frame, in whatever frame the caller means. */
export function trialOf(
  points: Partial<Record<LandmarkId, (frame: number) => Point | null>>,
  options: TrialOptions = {},
): MarkerTrial {
  const { rate_Hz = 240, frames = 60 } = options;
  return {
    source: 'markers',
    head: headOf(options),
    clock: { rate_Hz, frames },
    points: new Map(
      (Object.entries(points) as [LandmarkId, (frame: number) => Point | null][]).map(([id, at]) => [
        id,
        track(rate_Hz, frames, at),
      ]),
    ),
    events: [],
    diagnostics: [],
  };
}

/** The same, declared to be in the player frame. */
export function playerTrialOf(
  points: Partial<Record<LandmarkId, (frame: number) => Point | null>>,
  options: TrialOptions = {},
): PlayerTrial {
  return { ...trialOf(points, options), frame: 'player' };
}

/** From G to L: the inverse of `toPlayerFrame`, for trials built in G. x_L = −z_G, y_L = y_G, z_L = x_G. */
export function toLab(p: Point): Point {
  return [-p[2], p[1], p[0]];
}

/** Landmarks of each segment in its own ISB axes (X forward, Y up, Z right), metres: exact, so that the frame is the identity at rest. */
export const BODY: Readonly<Record<'pelvis' | 'thorax' | 'head', Partial<Record<LandmarkId, Point>>>> = {
  pelvis: {
    lead_ASIS: [0, 0, -0.125],
    trail_ASIS: [0, 0, 0.125],
    lead_PSIS: [-0.15, 0, -0.045],
    trail_PSIS: [-0.15, 0, 0.045],
  },
  thorax: {
    IJ: [0.06, 0.1, 0],
    C7: [-0.06, 0.1, 0],
    PX: [0.08, -0.1, 0],
    T8: [-0.08, -0.1, 0],
    lead_AC: [-0.02, 0.11, -0.19],
    trail_AC: [-0.02, 0.11, 0.19],
  },
  head: {
    lead_EAR: [0, 0, -0.07],
    trail_EAR: [0, 0, 0.07],
    lead_ORBIT: [0.08, 0, -0.03],
    trail_ORBIT: [0.08, 0, 0.03],
  },
};

/** Turn, side bend and forward bend (degrees, signs of definitions 2) of a segment, and where its origin is. */
export interface Posture {
  readonly turn: number;
  readonly side: number;
  readonly forward: number;
  readonly at: Point;
}

const RAD = Math.PI / 180;

export function rotationOf({ turn, side, forward }: Omit<Posture, 'at'>): Float64Array {
  const R = new Float64Array(9);
  rotationFromAngles(turn * RAD, side * RAD, -forward * RAD, 'YXZ', R);
  return R;
}

export function place(R: Float64Array, p: Point, at: Point): Point {
  return [0, 1, 2].map(
    (r) => at[r]! + R[3 * r]! * p[0] + R[3 * r + 1]! * p[1] + R[3 * r + 2]! * p[2],
  ) as unknown as Point;
}

/** Landmarks in G of a whole body in given postures. */
export function bodyIn(
  postures: (frame: number) => Readonly<Record<'pelvis' | 'thorax' | 'head', Posture>>,
): Partial<Record<LandmarkId, (frame: number) => Point>> {
  const points: Partial<Record<LandmarkId, (frame: number) => Point>> = {};
  for (const segment of ['pelvis', 'thorax', 'head'] as const) {
    for (const [id, local] of Object.entries(BODY[segment]) as [LandmarkId, Point][]) {
      points[id] = (frame) => {
        const posture = postures(frame)[segment];
        return place(rotationOf(posture), local, posture.at);
      };
    }
  }
  return points;
}

export const UPRIGHT: Readonly<Record<'pelvis' | 'thorax' | 'head', Posture>> = {
  pelvis: { turn: 0, side: 0, forward: 0, at: [0, 1, 0] },
  thorax: { turn: 0, side: 0, forward: 0, at: [0.05, 1.35, 0] },
  head: { turn: 0, side: 0, forward: 0, at: [0.08, 1.6, 0] },
};

export const PLAYER: PlayerPlan = {
  id: 'p1',
  hand: 'right',
  sex: 'male',
  mass_kg: null,
  height_m: null,
  static: null,
  still: null,
  note: '',
};

export const PLAN: AnalysisPlan = {
  player: PLAYER,
  club: null,
  calibration: null,
  filter: DEFAULT_FILTER,
  gaps: DEFAULT_GAPS,
  faults: DEFAULT_FAULTS,
  orders: [],
  sensors: null,
  sha256: '',
};

/** A small repeatable source of normal deviates (sum of twelve uniforms of a 32-bit generator). */
export function noiseSource(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += uniform();
    return sum;
  };
}

/** Freezes a trial as far as typed arrays allow: objects are frozen, arrays are remembered for `unchanged`. */
export function snapshot(trial: MarkerTrial): () => boolean {
  Object.freeze(trial);
  Object.freeze(trial.head);
  const kept = [...trial.points.entries()].map(([id, t]) => {
    Object.freeze(t);
    return [id, t, t.data.slice(), t.state.slice()] as const;
  });
  return () =>
    trial.points.size === kept.length &&
    kept.every(
      ([id, t, data, state]) =>
        trial.points.get(id) === t &&
        data.every((value, i) => Object.is(value, t.data[i])) &&
        state.every((value, i) => value === t.state[i]),
    );
}
