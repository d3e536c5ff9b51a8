/** A recording of a two-link swing as a Motion: samples, noise, filters and what is left out. Built without the stages that make one. */
import { absent, present } from '../../src/model/availability.ts';
import type { Clock } from '../../src/model/clock.ts';
import type { DirectionId, Motion, PointId } from '../../src/model/motion.ts';
import { MEASURED, MISSING, type Track } from '../../src/model/track.ts';
import type { TrialEvent } from '../../src/model/trial.ts';
import { filterGain, filtfiltInto, zeroLag } from '../../src/numeric/butterworth.ts';
import { normal, type Swing, uniform, type V3 } from './twoLinkSwing.ts';

export interface MotionOptions {
  readonly seed: number;
  readonly noise_m: number;
  /** Filters of shoulders (12 Hz) and wrists (20 Hz); the club is never filtered. */
  readonly filter: boolean;
  readonly rate_Hz?: number;
  /** Time of the swing at the first frame. */
  readonly start_s?: number;
  readonly end_s?: number;
  readonly ball?: boolean;
  readonly club?: boolean;
  readonly headKind?: 'face-centre' | 'marker';
  readonly events?: readonly TrialEvent[];
  readonly targetSource?: 'set' | 'assumed';
  /** Frames of the head that are missing, as seconds of the recording. */
  readonly headGap_s?: readonly [number, number];
  /** The same of the shaft's direction, on the clock of the swing. */
  readonly shaftGap_s?: readonly [number, number];
}

export interface Recorded {
  readonly motion: Motion;
  /** Subtract from times of the swing to get times of the recording. */
  readonly start_s: number;
}

/** Samples a swing; the first frame lies at a random fraction of a frame. */
export function recordMotion(swing: Swing, options: MotionOptions): Recorded {
  const rate_Hz = options.rate_Hz ?? swing.shape.rate_Hz;
  const next = uniform(options.seed + 40_000);
  const gauss = normal(next);
  const start_s = (options.start_s ?? 0) + next() / rate_Hz;
  const frames = Math.floor(((options.end_s ?? swing.shape.duration_s) - start_s) * rate_Hz);
  const clock: Clock = { rate_Hz, frames };

  const sample = (point: (t: number) => V3, cutoff_Hz: number | null): Track<3> => {
    const data = new Float64Array(3 * frames);
    const state = new Uint8Array(frames).fill(MEASURED);
    for (let f = 0; f < frames; f++) {
      const p = point(start_s + f / rate_Hz);
      for (let c = 0; c < 3; c++) data[c * frames + f] = p[c]! + options.noise_m * gauss();
    }
    let noise = options.noise_m;
    if (cutoff_Hz !== null && options.filter) {
      const design = zeroLag(cutoff_Hz, rate_Hz);
      for (let c = 0; c < 3; c++) {
        const column = data.subarray(c * frames, (c + 1) * frames);
        filtfiltInto(column, column.slice(), 0, frames, design);
      }
      let power = 0;
      for (let i = 0; i < 64; i++) {
        const gain = filterGain(design, ((i + 0.5) * rate_Hz) / 128, rate_Hz);
        power += (gain * gain * gain * gain) / 64;
      }
      noise *= Math.sqrt(power);
    }
    return { dimension: 3, clock, data, state, noise, provenance: 'test' };
  };
  const between = (a: Track<3>, b: Track<3>): Track<3> => {
    const data = new Float64Array(3 * frames);
    let sum = 0;
    for (let f = 0; f < frames; f++) {
      const d = [0, 1, 2].map((c) => b.data[c * frames + f]! - a.data[c * frames + f]!);
      const length = Math.hypot(d[0]!, d[1]!, d[2]!);
      sum += length / frames;
      for (let c = 0; c < 3; c++) data[c * frames + f] = d[c]! / length;
    }
    return { ...a, data, noise: Math.hypot(a.noise, b.noise) / sum };
  };

  const leadShoulder = sample(swing.leadShoulder, 12);
  const trailShoulder = sample(swing.trailShoulder, 12);
  const leadWrist = sample(swing.leadWrist, 20);
  const trailWrist = sample(swing.trailWrist, 20);
  const points = new Map<PointId, ReturnType<typeof present<Track<3>>>>([
    ['lead_shoulder', present(leadShoulder)],
    ['trail_shoulder', present(trailShoulder)],
    ['lead_wrist', present(leadWrist)],
    ['trail_wrist', present(trailWrist)],
  ]);
  const directions = new Map<DirectionId, ReturnType<typeof present<Track<3>>>>([
    ['lead_arm', present(between(leadShoulder, leadWrist))],
    ['trail_arm', present(between(trailShoulder, trailWrist))],
  ]);
  if (options.club !== false) {
    const grip = sample(swing.grip, null);
    const head = sample(swing.head, null);
    if (options.headGap_s) {
      for (let f = 0; f < frames; f++) {
        const t = f / rate_Hz;
        if (t < options.headGap_s[0] || t > options.headGap_s[1]) continue;
        for (let c = 0; c < 3; c++) head.data[c * frames + f] = Number.NaN;
        head.state[f] = MISSING;
      }
    }
    points.set('head_point', present(head));
    points.set('club_grip', present(grip));
    const shaft = between(grip, sample(swing.shaftLow, null));
    if (options.shaftGap_s) {
      for (let f = 0; f < frames; f++) {
        const t = start_s + f / rate_Hz;
        if (t < options.shaftGap_s[0] || t > options.shaftGap_s[1]) continue;
        for (let c = 0; c < 3; c++) shaft.data[c * frames + f] = Number.NaN;
        shaft.state[f] = MISSING;
      }
    }
    directions.set('shaft', present(shaft));
  }
  if (options.ball !== false) points.set('ball', present(sample(swing.ballAt, null)));
  const kind = options.headKind ?? 'face-centre';
  const motion: Motion = {
    head: headOf(options.targetSource ?? 'set', rate_Hz),
    clock,
    datum: { kind: 'anatomical', id: 'test' },
    form: 'reduced',
    poses: new Map(),
    directions,
    points,
    headPoint:
      options.club === false
        ? absent('no-club', 'a club')
        : present(kind === 'marker' ? { kind, id: 'marker:driver:CLUB_HEAD_1' } : { kind, id: 'face-centre' }),
    events: options.events ?? [],
    quality: [],
    height_m: null,
  };
  return { motion, start_s };
}

function headOf(source: 'set' | 'assumed', rate_Hz: number): Motion['head'] {
  const fact = <T>(value: T) => ({ value, source: 'set' as const, evidence: 'test' });
  return {
    trial: 't',
    file: 't.c3d',
    player: 'p',
    club: 'driver',
    kind: 'driver',
    set: '',
    role: 'swing',
    order: 0,
    facts: {
      units: fact('mm'),
      rate_Hz: fact(rate_Hz),
      up: fact('+Y'),
      target: { value: '+X', source, evidence: 'test' },
      hand: fact('right'),
      mirrored: fact(false),
    },
    substitutions: [],
  };
}
