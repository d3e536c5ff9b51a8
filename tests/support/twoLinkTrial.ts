/** A recording of a two-link swing as a trial of markers: joint centres of the arms, club and ball. */

import type { LandmarkId } from '../../src/model/landmarks.ts';
import { MEASURED, MISSING, type Track } from '../../src/model/track.ts';
import type { Fact, MarkerTrial } from '../../src/model/trial.ts';
import { drawShape, makeTwoLinkSwing, normal, type SwingShape, uniform, type V3 } from './twoLinkSwing.ts';

export interface TwoLinkTrial {
  readonly trial: MarkerTrial;
  readonly impact_s: number;
}

const BALL_IN_SIGHT_m = 3;

/** The swing of a seed; places on the head lie in its own axes (down the shaft, toward the toe, out of the back). */
export function twoLinkTrial(
  seed: number,
  noise_m: number,
  hand: 'left' | 'right' = 'right',
  fixed: Partial<SwingShape> = {},
): TwoLinkTrial {
  const swing = makeTwoLinkSwing(drawShape(seed, fixed));
  const { rate_Hz, duration_s, impact_s } = swing.shape;
  const clock = { rate_Hz, frames: Math.floor(duration_s * rate_Hz) };
  const gauss = normal(uniform(seed + 90_000));
  const onHead =
    (place: V3) =>
    (t: number): V3 => {
      const at = swing.head(t);
      const axes = swing.headAxes(t);
      return [0, 1, 2].map(
        (c) => at[c]! + place[0] * axes[0][c]! + place[1] * axes[1][c]! + place[2] * axes[2][c]!,
      ) as V3;
    };
  const places: Partial<Record<LandmarkId, (t: number) => V3>> = {
    lead_SJC: swing.leadShoulder,
    trail_SJC: swing.trailShoulder,
    lead_WJC: swing.leadWrist,
    trail_WJC: swing.trailWrist,
    CLUB_GRIP: swing.grip,
    CLUB_SHAFT: swing.shaftLow,
    CLUB_HEAD_1: onHead([-0.02, -0.04, 0.01]),
    CLUB_HEAD_2: onHead([0, 0.05, 0.01]),
    CLUB_HEAD_3: onHead([-0.01, 0, 0.06]),
    BALL: swing.ballAt,
  };
  const points = new Map<LandmarkId, Track<3>>();
  for (const [id, place] of Object.entries(places)) {
    const data = new Float64Array(3 * clock.frames).fill(Number.NaN);
    const state = new Uint8Array(clock.frames).fill(MISSING);
    for (let f = 0; f < clock.frames; f++) {
      const p = place(f / rate_Hz);
      if (id === 'BALL' && Math.hypot(...p) > BALL_IN_SIGHT_m) continue;
      for (let c = 0; c < 3; c++) data[c * clock.frames + f] = p[c]! + noise_m * gauss();
      state[f] = MEASURED;
    }
    points.set(id as LandmarkId, { dimension: 3, clock, data, state, noise: Number.NaN, provenance: id });
  }
  const fact = <T>(value: T): Fact<T> => ({ value, source: 'set', evidence: 'of the test' });
  const facts = {
    units: fact('m' as const),
    rate_Hz: fact(rate_Hz),
    up: fact('+Y' as const),
    target: fact('+X' as const),
    hand: fact(hand),
    mirrored: fact(false),
  };
  const head = {
    trial: `two-link-${seed}`,
    file: 'two-link.c3d',
    player: 'wren',
    club: 'driver',
    kind: 'driver' as const,
    set: 'day',
    role: 'swing' as const,
    order: 0,
    facts,
    substitutions: [],
  };
  return { trial: { source: 'markers', head, clock, points, events: [], diagnostics: [] }, impact_s };
}
