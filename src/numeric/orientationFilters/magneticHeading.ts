/** Heading from a magnetometer, with disturbed fields left out (after Laidig and Seel 2023). */

import { toWorld } from './signals.ts';

export interface MagneticOptions {
  readonly useMagnetometer: boolean;
  /** Time constant of the heading, s. */
  readonly tauMag_s: number;
}

/** State of the heading; one object for a recording. */
export interface Heading {
  /** Turn about the vertical that brings magnetic north to +Y of the papers' world. */
  angle_rad: number;
  samples: number;
  norm: number;
  dip_rad: number;
  referenceNorm: number;
  referenceDip_rad: number;
  undisturbed_s: number;
  rejected_s: number;
  since_s: number;
}

/** A field is disturbed where its strength is off by a tenth or its dip by 10° (authors' values), until it has been sound for half a second. */
const DISTURBED = { share: 0.1, dip_rad: (10 * Math.PI) / 180, sound_s: 0.5 } as const;
/** Low-pass of strength and dip; the reference follows in 20 s; it is learnt in the first 3 s; rejection lasts 60 s, then half the weight. */
const FIELD = { current_s: 0.05, reference_s: 20, learn_s: 3, reject_s: 60, weight: 0.5 } as const;

/** Cutoff of the first-order low-pass (heading) of time constant τ: 1 / (2 π τ), Hz. */
export function headingCutoff(tau_s: number): number {
  return 1 / (2 * Math.PI * tau_s);
}

export function newHeading(): Heading {
  return {
    angle_rad: 0,
    samples: 0,
    norm: 0,
    dip_rad: 0,
    referenceNorm: 0,
    referenceDip_rad: 0,
    undisturbed_s: 0,
    rejected_s: 0,
    since_s: 0,
  };
}

const m = new Float64Array(3);

/** Moves the heading by sample `k` of the field (planar, stride `count`); `q` turns sensor into level coordinates of any heading. */
export function headingFromField(
  heading: Heading,
  mag: Float64Array,
  count: number,
  k: number,
  h: number,
  q: Float64Array,
  options: MagneticOptions,
): void {
  for (let c = 0; c < 3; c++) m[c] = mag[c * count + k]!;
  const norm = Math.sqrt(m[0]! * m[0]! + m[1]! * m[1]! + m[2]! * m[2]!);
  if (!(norm > 0)) return;
  toWorld(q, m, m);
  const dip = -Math.asin(Math.min(1, Math.max(-1, m[2]! / norm)));
  const level = Math.sqrt(m[0]! * m[0]! + m[1]! * m[1]!);
  if (!(level > 1e-6 * norm)) return;
  const current = heading.samples === 0 ? 1 : 1 - Math.exp(-h / FIELD.current_s);
  heading.norm += current * (norm - heading.norm);
  heading.dip_rad += current * (dip - heading.dip_rad);
  heading.samples += 1;
  heading.since_s += h;
  const weight = weightOf(heading, h);
  const gain = weight * Math.max(1 - Math.exp(-2 * Math.PI * headingCutoff(options.tauMag_s) * h), 1 / heading.samples);
  const off = Math.atan2(m[0]!, m[1]!) - heading.angle_rad;
  heading.angle_rad += gain * Math.atan2(Math.sin(off), Math.cos(off));
}

/** 1 for a sound field, 0 for a disturbed one, a half once it has been disturbed for long; the reference is moved on the way. */
function weightOf(heading: Heading, h: number): number {
  if (heading.since_s <= FIELD.learn_s) {
    const share = 1 / heading.samples;
    heading.referenceNorm += share * (heading.norm - heading.referenceNorm);
    heading.referenceDip_rad += share * (heading.dip_rad - heading.referenceDip_rad);
    heading.undisturbed_s += h;
    return 1;
  }
  const sound =
    Math.abs(heading.norm - heading.referenceNorm) < DISTURBED.share * heading.referenceNorm &&
    Math.abs(heading.dip_rad - heading.referenceDip_rad) < DISTURBED.dip_rad;
  heading.undisturbed_s = sound ? heading.undisturbed_s + h : 0;
  if (heading.undisturbed_s >= DISTURBED.sound_s) {
    const share = 1 - Math.exp(-h / FIELD.reference_s);
    heading.referenceNorm += share * (heading.norm - heading.referenceNorm);
    heading.referenceDip_rad += share * (heading.dip_rad - heading.referenceDip_rad);
    heading.rejected_s = Math.max(0, heading.rejected_s - 2 * h);
    return 1;
  }
  heading.rejected_s = Math.min(FIELD.reject_s, heading.rejected_s + h);
  return heading.rejected_s < FIELD.reject_s ? 0 : FIELD.weight;
}
