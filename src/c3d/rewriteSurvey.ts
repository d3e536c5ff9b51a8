/** One pass over the frames that stay: their range, and every sample that the new form lacks. */
import { floatHolds } from './encode.ts';
import type { RewriteInput, Stretch } from './rewriteInput.ts';
import type { Processor } from './types.ts';

/** A value that the new form lacks; it is written as zero and, for a point or a rotation, its sample is marked invalid unless it rounds to zero. */
export interface SampleNotHeld {
  readonly kind: 'point' | 'channel' | 'rotation';
  /** Index from 0 in the file read. */
  readonly index: number;
  /** Stored frame of the file read, from 0. */
  readonly frame: number;
  readonly value: number;
}

/** Every sample not held; all are counted, the first thousand kept. */
export class Losses {
  readonly samples: SampleNotHeld[] = [];
  count = 0;

  add(kind: SampleNotHeld['kind'], index: number, frame: number, value: number): void {
    this.count += 1;
    if (this.samples.length < MOST_KEPT) this.samples.push({ kind, index, frame, value });
  }
}

export interface ChannelRange {
  /** Whether every raw value is a whole number inside 16 bits. */
  fits: boolean;
  largest: number;
}

export interface Survey {
  /** Largest finite size of a coordinate. */
  largest: number;
  readonly channels: readonly ChannelRange[];
  /** How often each residual byte stands in a word that is not negative. */
  readonly residuals: Float64Array;
}

export interface SurveyPlan {
  readonly processor: Processor;
  readonly form: 'float' | 'integer';
  readonly points: readonly number[];
  readonly from: number;
  readonly to: number;
  /** Per channel of the file read: value = (raw − offset) × factor. */
  readonly offsets: Float64Array;
  readonly factors: Float64Array;
  /** Integer samples run from 0 to 65535 instead of −32768 to 32767. */
  readonly unsigned: boolean;
}

const MOST_KEPT = 1000;

/** Reads the frames only where the new form needs to know: integers, and DEC. */
export function survey(input: RewriteInput, plan: SurveyPlan, losses: Losses): Survey {
  const { channels } = input.head.analog;
  const out: Survey = {
    largest: 0,
    channels: Array.from({ length: channels }, () => ({ fits: true, largest: 0 })),
    residuals: new Float64Array(256),
  };
  if (plan.form === 'float' && plan.processor !== 'dec') return out;
  const ranges = plan.form === 'integer' && input.head.form === 'float';
  for (const stretch of input.stretches(plan.from, plan.to)) {
    plan.points.forEach((p) => {
      surveyPoint(out, stretch, p, plan, ranges, losses);
    });
    for (let c = 0; c < channels; c += 1) {
      surveyChannel(out.channels[c]!, stretch, c, input.head.analog.samplesPerFrame, plan, ranges, losses);
    }
  }
  return out;
}

function surveyPoint(out: Survey, s: Stretch, p: number, plan: SurveyPlan, ranges: boolean, losses: Losses): void {
  const integer = plan.form === 'integer';
  for (let axis = 0; axis < 3; axis += 1) {
    const start = (3 * p + axis) * s.columns + s.at;
    for (let i = 0; i < s.count; i += 1) {
      const value = s.xyz[start + i]!;
      const finite = value - value === 0;
      if (integer ? !finite : !floatHolds(plan.processor, Math.fround(value)))
        losses.add('point', p, s.from + i, value);
      const size = value < 0 ? -value : value;
      if (finite && size > out.largest) out.largest = size;
    }
  }
  if (!ranges) return;
  const start = p * s.columns + s.at;
  for (let i = start; i < start + s.count; i += 1) {
    const word = s.word4[i]!;
    if (word >= 0) out.residuals[word & 0xff]! += 1;
  }
}

function surveyChannel(
  out: ChannelRange,
  s: Stretch,
  channel: number,
  samplesPerFrame: number,
  plan: SurveyPlan,
  ranges: boolean,
  losses: Losses,
): void {
  const [low, high] = plan.unsigned ? [0, 65535] : [-32768, 32767];
  const offset = plan.offsets[channel]!;
  const factor = plan.factors[channel]!;
  const start = (channel * s.columns + s.at) * samplesPerFrame;
  const integer = plan.form === 'integer';
  for (let i = 0; i < s.count * samplesPerFrame; i += 1) {
    const value = s.analog[start + i]!;
    const finite = value - value === 0;
    const raw = rawFloat(value, offset, factor);
    if (integer ? !finite : !floatHolds(plan.processor, raw)) {
      losses.add('channel', channel, s.from + Math.floor(i / samplesPerFrame), value);
    }
    if (!ranges || !finite) continue;
    if (!Number.isInteger(raw) || raw < low || raw > high) out.fits = false;
    const size = value < 0 ? -value : value;
    if (size > out.largest) out.largest = size;
  }
}

/** The 32-bit float that gives `value` again, or the nearest where none does. */
export function rawFloat(value: number, offset: number, factor: number): number {
  return Math.fround(value / factor + offset);
}
