/** What is true of a swing for sensors: positions that forearms and shaft define, angles anatomical and against the standing pose. */
import { STATIC_PELVIS_BEND_deg } from './body.ts';
import { type Axes, followedBy, RAD, turnSideBend, type Vec } from './geometry.ts';
import { forearmRise, STATIC_THORAX_BEND_deg } from './sensorMotion.ts';
import type { Swing } from './swing.ts';
import { firstCrossing, lastCrossing, share, TRUE_POSITIONS, type TruePosition, truthOf } from './truth.ts';

export interface SensorTruth {
  /** Seconds of the swing's own time. */
  readonly time_s: Readonly<Record<TruePosition, number>>;
  /** Radians, by quantity, at each position; turns as changes since P1. */
  readonly anatomical: Values;
  /** Forward and side bend are nought in the standing pose. */
  readonly zeroed: Values;
}
export type Values = Readonly<Record<TruePosition, Readonly<Record<string, number>>>>;

export interface Angles {
  readonly turn: number;
  readonly side_bend: number;
  readonly forward_bend: number;
}

const MEAN_s = 0.1;

/** Turn, side bend and forward bend of axes whose second axis is up the segment. */
export function anglesOf(axes: Axes): Angles {
  const { x, y, z } = axes;
  return {
    turn: Math.atan2(z[0], z[2]),
    side_bend: Math.asin(-z[1]),
    forward_bend: -Math.atan2(x[1], y[1]),
  };
}

/** Axes of a segment that are level and upright in the standing pose. */
export function zeroedAxes(axes: Axes, segment: 'pelvis' | 'thorax'): Axes {
  const bend = segment === 'pelvis' ? STATIC_PELVIS_BEND_deg : STATIC_THORAX_BEND_deg;
  return followedBy(axes, turnSideBend(0, 0, bend * RAD));
}

export function sensorTruth(swing: Swing): SensorTruth {
  const marker = truthOf(swing, 0).time_s;
  const contact = swing.setup.contact;
  const shaft = (t: number): Vec => swing.clubPose(t, swing.bodyPose(t)).axes.x;
  const lead = (t: number): number => forearmRise(swing, 'lead', t);
  const trail = (t: number): number => forearmRise(swing, 'trail', t);
  const p3 = lastCrossing(lead, 0, marker.P4, 1);
  const p5 = firstCrossing(lead, marker.P4, contact, -1);
  const end = swing.knots[swing.knots.length - 1]! + 0.2;
  const p9 = firstCrossing(trail, marker.P8, end, 1);
  const time_s = { ...marker, P3: p3, P5: p5, 'P5.5': share(shaft, p5, marker.P6, 0.5), P9: p9 };
  return { time_s, anatomical: valuesOf(swing, time_s, false), zeroed: valuesOf(swing, time_s, true) };
}

function valuesOf(swing: Swing, time_s: Readonly<Record<TruePosition, number>>, zeroed: boolean): Values {
  const at = (segment: 'pelvis' | 'thorax', t: number): Angles => {
    const axes = swing.bodyPose(t)[segment];
    return anglesOf(zeroed ? zeroedAxes(axes, segment) : axes);
  };
  const out = {} as Record<TruePosition, Record<string, number>>;
  for (const segment of ['pelvis', 'thorax'] as const) {
    const mean = (from: number): Angles => {
      const sum = { turn: 0, side_bend: 0, forward_bend: 0 };
      for (let i = 0; i <= 100; i += 1) {
        const weight = (i === 0 || i === 100 ? 0.5 : 1) / 100;
        const angles = at(segment, from + (MEAN_s * i) / 100);
        for (const name of ['turn', 'side_bend', 'forward_bend'] as const) sum[name] += weight * angles[name];
      }
      return sum;
    };
    const address = mean(time_s.P1 - MEAN_s);
    for (const position of TRUE_POSITIONS) {
      const t = time_s[position];
      const angles = position === 'P1' ? address : position === 'P10' ? mean(t) : at(segment, t);
      const change = angles.turn - address.turn;
      out[position] ??= {};
      out[position][`${segment}.turn`] = change > Math.PI ? change - 2 * Math.PI : change;
      out[position][`${segment}.side_bend`] = angles.side_bend;
      out[position][`${segment}.forward_bend`] = angles.forward_bend;
    }
  }
  return out;
}
