/** A segment's landmarks in a trial as one rigid cluster that carries those that are missing. */

import type { ClusterModel } from '../../model/calibration.ts';
import { MISSING, REBUILT, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { createPoseFit, fitPoseInto, type PoseFit } from '../../numeric/poseFit.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { carriedNoiseGain } from './segmentClusters.ts';

/** A cluster that fits worse than this is not rigid, or a marker is another's: skin moves 5 to 20 mm. */
const LARGEST_RESIDUAL_m = 0.02;
/** A carried point may be this much noisier than the markers that carry it; beyond, nearly a line or far away, it is refused. A choice of this program. */
const LARGEST_GAIN = 3;
/**
 * Seconds on each side of a gap from which the landmark's own shift on the skin is taken. The noise of that mean runs through the whole gap
 * and no filter takes it away: eight frames at 240 Hz would leave 0.6 mm per axis of 1 mm, 0.1 s leaves 0.35 mm.
 */
const EDGE_s = 0.1;
const FEWEST_AT_EDGE = 8;
const NO_SHIFT: readonly number[] = [0, 0, 0];

/** How one segment's cluster fits a trial. */
export interface ClusterFit {
  readonly segment: string;
  /**
   * RMS distance per landmark from the calibrated shape in the frames in which a landmark is missing, metres; NaN in the others and where the
   * cluster gives no pose.
   */
  readonly residual_m: Float64Array;
  /** Landmarks that were measured in those frames; 0 in the others. */
  readonly used: Uint8Array;
}

const UNKNOWN = 0;
const STATUSES = ['', 'ok', 'near-line', 'too-few'] as const;

/** One landmark's missing frames carried by the rest of its cluster. */
export interface Made {
  readonly track: Track<3>;
  readonly frames: number;
  readonly gain: number;
  readonly nearLine: number;
  readonly loose: number;
}

/** One cluster in one trial. Rebuilt samples of one landmark are never used for another. */
export class ClusterCarrier {
  readonly #trial: MarkerTrial;
  readonly #model: ClusterModel;
  readonly #ws: Workspace;
  readonly #shape: Float64Array;
  readonly #tracks: readonly (Track<3> | undefined)[];
  readonly #measured: Float64Array;
  readonly #fit: PoseFit = createPoseFit();
  /** What the landmarks move against each other beyond their noise, per axis, in the frames of `fits`. */
  #excess_m = 0;
  /** Poses of frames from all landmarks there, each made once: index into STATUSES; R, L and residual, thirteen numbers a frame. */
  readonly #status: Uint8Array;
  readonly #poses: Float64Array;

  constructor(trial: MarkerTrial, model: ClusterModel, ws: Workspace) {
    this.#trial = trial;
    this.#model = model;
    this.#ws = ws;
    this.#shape = Float64Array.from(model.places_m);
    this.#tracks = model.landmarks.map((id) => trial.points.get(id));
    this.#measured = ws.float64(3 * model.landmarks.length);
    this.#status = ws.uint8(trial.clock.frames).fill(UNKNOWN);
    this.#poses = ws.float64(13 * trial.clock.frames);
  }

  fits(): ClusterFit {
    const { frames } = this.#trial.clock;
    const residual_m = this.#ws.float64(frames).fill(Number.NaN);
    const used = this.#ws.uint8(frames).fill(0);
    let squares = 0;
    let freedom = 0;
    const lacks = this.#lacking();
    for (let f = 0; f < frames; f++) {
      if (lacks[f] === 0) continue;
      const status = this.#poseOfAll(f);
      const { used: n, rmsPerMarker } = this.#fit;
      used[f] = n;
      if (status !== 'ok') continue;
      residual_m[f] = rmsPerMarker;
      squares += n * rmsPerMarker * rmsPerMarker;
      freedom += 3 * n - 6;
    }
    const noise = this.#markerNoise();
    this.#excess_m =
      freedom > 0 && !Number.isNaN(noise) ? Math.sqrt(Math.max(0, squares / freedom - noise * noise)) : 0;
    return { segment: this.#model.segment, residual_m, used };
  }

  /**
   * The track of landmark k with its missing frames rebuilt, but for gaps longer than `longest_s` of a landmark that the trial shows; null
   * where none is missing. `given` is the landmark's track as it is by now, its samples of this trial and some rebuilt before.
   */
  rebuild(k: number, longest_s: number, given: Track<3> | undefined): Made | null {
    const { clock } = this.#trial;
    const { frames, rate_Hz } = clock;
    const own = given;
    const isMissing = (f: number): boolean => own === undefined || own.state[f] === MISSING;
    let wanted = 0;
    for (let f = 0; f < frames; f++) if (isMissing(f)) wanted += 1;
    if (wanted === 0) return null;
    const data = this.#ws.float64(3 * frames);
    const state = this.#ws.uint8(frames);
    if (own === undefined) {
      data.fill(Number.NaN);
      state.fill(MISSING);
    } else {
      data.set(own.data);
      state.set(own.state);
    }
    const filledSd_m = own === undefined ? null : this.#ws.float64(frames);
    if (own?.filledSd_m === undefined) filledSd_m?.fill(0);
    else filledSd_m?.set(own.filledSd_m);
    const markerNoise = this.#markerNoise();
    const carried = Number.isNaN(markerNoise) ? (own?.noise ?? Number.NaN) : markerNoise;
    const gains = new Map<number, number>();
    const at = new Float64Array(3);
    const tally = { made: 0, gain: 0, nearLine: 0, loose: 0 };
    for (let from = 0; from < frames; from++) {
      if (!isMissing(from)) continue;
      let to = from;
      while (to < frames && isMissing(to)) to += 1;
      const isGap = from > 0 || to < frames;
      if (isGap && (to - from) / rate_Hz > longest_s + 1e-9) {
        from = to;
        continue;
      }
      const left = this.#shift(k, from, from - 1, -1);
      const right = this.#shift(k, to - 1, to, 1);
      const before = left ?? right ?? NO_SHIFT;
      const after = right ?? left ?? NO_SHIFT;
      for (let f = from; f < to; f++) {
        const status = this.#poseOfAll(f);
        if (status === 'too-few') continue;
        const gain = status === 'ok' ? this.#gain(gains, k) : Number.POSITIVE_INFINITY;
        if (gain > LARGEST_GAIN) {
          tally.nearLine += 1;
          continue;
        }
        if (this.#fit.rmsPerMarker > LARGEST_RESIDUAL_m) {
          tally.loose += 1;
          continue;
        }
        this.#place(k, before, after, (f - from + 1) / (to - from + 1), at);
        for (let c = 0; c < 3; c++) data[c * frames + f] = at[c]!;
        state[f] = REBUILT;
        if (isGap && filledSd_m !== null) filledSd_m[f] = Math.hypot(gain * carried, this.#excess_m);
        tally.made += 1;
        tally.gain = Math.max(tally.gain, gain);
      }
      from = to;
    }
    const noise = own === undefined ? tally.gain * markerNoise : own.noise;
    const provenance = own?.provenance ?? `from the ${this.#model.segment} cluster`;
    return {
      track: {
        dimension: 3,
        clock,
        data,
        state,
        noise,
        ...(filledSd_m === null ? {} : { filledSd_m }),
        provenance,
      },
      frames: tally.made,
      gain: tally.gain,
      nearLine: tally.nearLine,
      loose: tally.loose,
    };
  }

  /** 1 in the frames in which a landmark is missing. */
  #lacking(): Uint8Array {
    const { frames } = this.#trial.clock;
    const lacks = this.#ws.uint8(frames).fill(0);
    for (const track of this.#tracks) {
      if (track === undefined) lacks.fill(1);
      else if (track.state.includes(MISSING)) {
        for (let f = 0; f < frames; f++) if (track.state[f] === MISSING) lacks[f] = 1;
      }
    }
    return lacks;
  }

  /** Pose of a frame from every landmark there, kept: several landmarks of a cluster may be missing in it. */
  #poseOfAll(f: number): PoseFit['status'] {
    const { R, L } = this.#fit;
    const at = 13 * f;
    if (this.#status[f] === UNKNOWN) {
      const status = this.#pose(f, null);
      this.#status[f] = STATUSES.indexOf(status);
      this.#poses.set(R, at);
      this.#poses.set(L, at + 9);
      this.#poses[at + 12] = this.#fit.rmsPerMarker;
      return status;
    }
    this.#gather(f, null);
    for (let i = 0; i < 9; i++) R[i] = this.#poses[at + i]!;
    for (let i = 0; i < 3; i++) L[i] = this.#poses[at + 9 + i]!;
    this.#fit.rmsPerMarker = this.#poses[at + 12]!;
    return STATUSES[this.#status[f]!] as PoseFit['status'];
  }

  /** Pose of a frame from the landmarks there, but for those that are missing in the frame `like`. */
  #pose(f: number, like: number | null): PoseFit['status'] {
    this.#gather(f, like);
    return fitPoseInto(this.#fit, this.#shape, this.#measured, this.#tracks.length);
  }

  #gather(f: number, like: number | null): void {
    const { frames } = this.#trial.clock;
    for (let k = 0; k < this.#tracks.length; k++) {
      const track = this.#tracks[k];
      const here = track !== undefined && (like === null || track.state[like] !== MISSING);
      for (let c = 0; c < 3; c++) this.#measured[3 * k + c] = here ? track.data[c * frames + f]! : Number.NaN;
    }
  }

  /** R · (place + shift) + L, with the shift that far on its way from `before` to `after`. */
  #place(k: number, before: readonly number[], after: readonly number[], share: number, out: Float64Array): void {
    const { R, L } = this.#fit;
    const x = this.#shape[3 * k]! + before[0]! + share * (after[0]! - before[0]!);
    const y = this.#shape[3 * k + 1]! + before[1]! + share * (after[1]! - before[1]!);
    const z = this.#shape[3 * k + 2]! + before[2]! + share * (after[2]! - before[2]!);
    for (let c = 0; c < 3; c++) out[c] = L[c]! + R[3 * c]! * x + R[3 * c + 1]! * y + R[3 * c + 2]! * z;
  }

  /** Mean place of landmark k in the segment, less the calibrated one, over frames from `first` in a direction; null where it is not seen there. */
  #shift(k: number, like: number, first: number, step: 1 | -1): readonly number[] | null {
    const { frames, rate_Hz } = this.#trial.clock;
    const own = this.#tracks[k];
    if (own === undefined) return null;
    const most = Math.max(FEWEST_AT_EDGE, Math.round(EDGE_s * rate_Hz));
    const sum = [0, 0, 0];
    let n = 0;
    for (let f = first; n < most && f >= 0 && f < frames && own.state[f] !== MISSING; f += step) {
      if (this.#pose(f, like) !== 'ok') break;
      const { R, L } = this.#fit;
      const x = own.data[f]! - L[0]!;
      const y = own.data[frames + f]! - L[1]!;
      const z = own.data[2 * frames + f]! - L[2]!;
      for (let c = 0; c < 3; c++) {
        sum[c] = sum[c]! + R[c]! * x + R[3 + c]! * y + R[6 + c]! * z - this.#shape[3 * k + c]!;
      }
      n += 1;
    }
    return n === 0 ? null : sum.map((value) => value / n);
  }

  /** Noise gain of landmark k for the landmarks of the last pose, computed once for each set of them. */
  #gain(gains: Map<number, number>, k: number): number {
    let key = 0;
    for (let i = 0; i < this.#tracks.length; i++) if (!Number.isNaN(this.#measured[3 * i]!)) key += 1 << i;
    const known = gains.get(key);
    if (known !== undefined) return known;
    const gain = carriedNoiseGain(this.#shape, (i) => !Number.isNaN(this.#measured[3 * i]!), k);
    gains.set(key, gain);
    return gain;
  }

  /** RMS noise of the markers that the trial shows. */
  #markerNoise(): number {
    const seen = this.#tracks.filter((track) => track !== undefined);
    return Math.sqrt(seen.reduce((sum, { noise }) => sum + noise * noise, 0) / seen.length);
  }
}
