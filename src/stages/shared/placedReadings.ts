/** Readings of places that are no angle series: the stance and the ball at address, the speed of a point, the force platforms. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { Motion, PointId } from '../../model/motion.ts';
import type { Reading } from '../../model/quantity.ts';
import type { Track } from '../../model/track.ts';
import { velocityAtSample } from '../../numeric/sampleWeights.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { BALL_RADIUS_m } from '../positions/strikeFit.ts';
import { createForceReader } from './forceReadings.ts';
import { type SampleTime, vectorAt } from './motionView.ts';
import type { ReadValues } from './readSeries.ts';
import type { SamplePlan } from './sampling.ts';

export type PlacedReading = Extract<
  Reading,
  { kind: 'address-distance' | 'address-heading' | 'ball-place' | 'point-speed' | 'force' }
>;

/** Values at the samples of the plan, with what goes beside them. */
export interface PlacedValues {
  readonly values: Avail<ReadValues>;
  readonly flags: readonly string[];
  /** What the values were made of, or undefined. */
  readonly rule?: string;
  /** What a single missing value lacks, where that is not its markers. */
  readonly lack?: string;
}

export interface PlacedReader {
  read(reading: PlacedReading): PlacedValues;
  readonly diagnostics: readonly Diagnostic[];
}

export function isPlacedReading(reading: Reading): reading is PlacedReading {
  switch (reading.kind) {
    case 'address-distance':
    case 'address-heading':
    case 'ball-place':
    case 'point-speed':
    case 'force':
      return true;
    default:
      return false;
  }
}

type Vec = readonly [number, number, number];

/** A reader of one motion at the samples of a plan; what several readings share is made once. */
export function createPlacedReader(motion: Motion, plan: SamplePlan, ws: Workspace): PlacedReader {
  const p1 = plan.positions.get('P1') ?? null;
  const frames = motion.clock.frames;
  const out = ws.float64(3);
  const forces = createForceReader(motion, plan, ws);

  const trackAtAddress = (track: Track<3>, time: SampleTime, words: string): Avail<Vec> => {
    vectorAt(track.data, frames, time, out);
    if (Number.isNaN(out[0])) return absent('sample-missing', `the markers of ${words} at P1`);
    return present([out[0]!, out[1]!, out[2]!]);
  };
  const atAddress = (track: Avail<Track<3>> | undefined, words: string): Avail<Vec> => {
    if (track === undefined) return absent('landmark-missing', `the ${words}`);
    if (!track.ok) return track;
    if (p1 === null) return absent('position-missing', 'P1, at which it is measured');
    return trackAtAddress(track.value, p1.time, words);
  };
  const pointAtAddress = (id: PointId): Avail<Vec> => atAddress(motion.points.get(id), id.replaceAll('_', ' '));

  /** One value, at P1. */
  const once = (value: number): Avail<ReadValues> => {
    const values = ws.float64(plan.times.length);
    values.fill(Number.NaN);
    values[p1!.at] = value;
    return present({ values, singular: null });
  };

  const distance = (from: PointId, to: PointId): PlacedValues => {
    const a = pointAtAddress(from);
    const b = pointAtAddress(to);
    if (!a.ok || !b.ok) return without(a.ok ? b : a);
    const [x, y, z] = minus(b.value, a.value);
    return { values: once(Math.sqrt(x * x + y * y + z * z)), flags: [] };
  };

  const heading = ({ line, from }: Extract<Reading, { kind: 'address-heading' }>): PlacedValues => {
    const found = atAddress(motion.directions.get(line), line.replaceAll('_', ' '));
    if (!found.ok) return without(found);
    const [x, , z] = found.value;
    const angle = from === 'square' ? Math.atan2(x, z) : Math.atan2(from === 'lead-out' ? 0 - z : z, x);
    return { values: once(angle), flags: [] };
  };

  /** The ball's own place, else one radius ahead of the face centre, else the head marker's: by unlike rules, so that they are never compared. */
  const ballAtAddress = (): Avail<{ readonly at: Vec; readonly rule: string; readonly flags: readonly string[] }> => {
    const ball = pointAtAddress('ball');
    if (ball.ok) return present({ at: ball.value, rule: 'ball marker', flags: [] });
    const head = pointAtAddress('head_point');
    if (!head.ok) {
      const { code, needed } = head.why;
      return absent(code, ball.why.code === code && code === 'position-missing' ? needed : `BALL; or ${needed}`);
    }
    const { kind, id } = motion.headPoint.ok ? motion.headPoint.value : { kind: 'marker', id: 'club head' };
    const [x, y, z] = head.value;
    const at = [x, y, kind === 'face-centre' ? z - BALL_RADIUS_m : z] as const;
    return present({ at, rule: `club head at address: ${id}`, flags: ['from-club-head'] });
  };

  const ballPlace = (as: 'length' | 'share'): PlacedValues => {
    const ball = ballAtAddress();
    const lead = pointAtAddress('lead_ankle');
    const trail = pointAtAddress('trail_ankle');
    if (!ball.ok) return without(ball);
    if (!lead.ok) return without(lead);
    const { rule, flags } = ball.value;
    // The target lies toward −Z.
    const ahead = lead.value[2] - ball.value.at[2];
    if (as === 'length') return { values: once(ahead), flags, rule };
    if (!trail.ok) return without(trail);
    const width = trail.value[2] - lead.value[2];
    if (!(width > 0)) return without(absent('sample-missing', 'the lead foot nearer the target than the trail foot'));
    return { values: once(1 + ahead / width), flags, rule };
  };

  const speed = ({ point, part }: Extract<Reading, { kind: 'point-speed' }>): PlacedValues => {
    const track = motion.points.get(point);
    if (track === undefined || !track.ok) return without(track ?? absent('landmark-missing', `the ${point}`));
    const values = ws.float64(plan.times.length);
    for (let i = 0; i < values.length; i++) {
      velocityAtSample(plan.weights, i, track.value.data, motion.clock.rate_Hz, out);
      const x = out[0]!;
      const y = out[1]!;
      const z = out[2]!;
      values[i] = part === 'target' ? 0 - z : Math.sqrt(x * x + y * y + z * z);
    }
    return {
      values: present({ values, singular: null }),
      flags: [],
      ...ruleOf(motion, point),
    };
  };

  return {
    diagnostics: forces.diagnostics,
    read(reading) {
      switch (reading.kind) {
        case 'address-distance':
          return distance(reading.from, reading.to);
        case 'address-heading':
          return heading(reading);
        case 'ball-place':
          return ballPlace(reading.as);
        case 'point-speed':
          return speed(reading);
        case 'force':
          return { ...forces.read(reading.figure), lack: 'a load on the platforms' };
      }
    },
  };
}

/** The rule behind a point that may be made by several. */
export function ruleOf(motion: Motion, point: PointId): { readonly rule?: string } {
  return point === 'body_centre' && motion.massRule !== undefined ? { rule: motion.massRule } : {};
}

function without(why: Avail<unknown>): PlacedValues {
  if (why.ok) throw new RangeError('nothing is missing');
  return { values: why, flags: [] };
}

function minus(a: Vec, b: Vec): Vec {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}
