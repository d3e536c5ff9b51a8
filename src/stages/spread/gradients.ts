/** How a reading changes with the places of points and the rotations of segments it is made of, at one sample of a view. */

import type { Motion, PointId, SegmentId } from '../../model/motion.ts';
import type { Reading } from '../../model/quantity.ts';
import type { Track } from '../../model/track.ts';
import { angleGradients, anglesFromRotation } from '../../numeric/eulerAngles.ts';
import { interpolatePointVelocity } from '../../numeric/interpolate.ts';
import { mulT3 } from '../../numeric/rotation.ts';
import { type MotionView, poseOf } from '../shared/motionView.ts';
import { addNode, createGradient, type Gradient, type Network } from './network.ts';

type Vec = readonly [number, number, number];

/** Gradients of readings of one motion; the gradient lent is overwritten by the next call. */
export interface Gradients {
  /** null where the reading is none of these, or its tracks say nothing of their noise. */
  of(reading: Reading, view: MotionView, sample: number, t_frames: number): Gradient | null;
}

/** `plain` is the view of the motion itself; a reading may see its head turned by a constant rotation (`headZeroedAtP1`). */
export function createGradients(motion: Motion, network: Network, plain: MotionView): Gradients {
  const gradient = createGradient();
  const R = new Float64Array(9);
  const angles = new Float64Array(3);
  const rows = new Float64Array(9);
  const velocity = new Float64Array(3);

  const add = (track: Track<3> | Track<9>, x: number, y: number, z: number): boolean => {
    const node = network.node(track);
    if (node < 0) return false;
    addNode(gradient, node, x, y, z);
    return true;
  };

  /** By the rotation of a segment as `view` sees it, which may be turned against the motion's own: g_own = R_ownᵀ R_seen g. */
  const addTurn = (segment: SegmentId, view: MotionView, sample: number, g: Vec): boolean => {
    const track = poseOf(motion, segment);
    if (!track.ok) return false;
    const own = plain.pose(segment);
    const seen = view.pose(segment);
    if (!own.ok || !seen.ok || own.value === seen.value) return add(track.value, g[0], g[1], g[2]);
    const inG = times(seen.value, 9 * sample, g);
    const [x, y, z] = timesTransposed(own.value, 9 * sample, inG);
    return add(track.value, x, y, z);
  };

  const addPoint = (point: PointId, x: number, y: number, z: number): boolean => {
    const track = motion.points.get(point);
    return track?.ok === true && add(track.value, x, y, z);
  };

  const angle = (
    reading: Extract<Reading, { kind: 'orientation' | 'joint' }>,
    view: MotionView,
    sample: number,
    factor: number,
  ): boolean => {
    const distal = reading.kind === 'joint' ? reading.distal : reading.segment;
    const child = view.pose(distal);
    if (!child.ok) return false;
    const parent = reading.kind === 'joint' ? view.pose(reading.proximal) : null;
    if (parent?.ok === false) return false;
    if (parent === null) for (let i = 0; i < 9; i++) R[i] = child.value[9 * sample + i]!;
    else mulT3(parent.value, 9 * sample, child.value, 9 * sample, R, 0);
    anglesFromRotation(R, 0, reading.order, angles);
    angleGradients(angles, reading.order, rows);
    const o = 3 * reading.component;
    const g: Vec = [factor * rows[o]!, factor * rows[o + 1]!, factor * rows[o + 2]!];
    if (!addTurn(distal, view, sample, g)) return false;
    if (reading.kind === 'orientation') return true;
    // R_parent_child becomes exp(−θ) R: by the parent −R g
    const [x, y, z] = times(R, 0, g);
    return addTurn(reading.proximal, view, sample, [-x, -y, -z]);
  };

  const turn = (segment: 'pelvis' | 'thorax', view: MotionView, sample: number, factor: number): boolean =>
    angle({ kind: 'orientation', segment, order: 'YXZ', component: 0, sign: 1, unwrap: true }, view, sample, factor);

  /** By a vector fixed along the segment's axis y: y × (Rᵀ g). */
  const longAxis = (segment: SegmentId, view: MotionView, sample: number, of: (v: Vec) => Vec): boolean => {
    const pose = view.pose(segment);
    if (!pose.ok) return false;
    const m = pose.value;
    const o = 9 * sample;
    const [x, , z] = timesTransposed(m, o, of([m[o + 1]!, m[o + 4]!, m[o + 7]!]));
    return addTurn(segment, view, sample, [z, 0, -x]);
  };

  const vectorAt = (from: PointId, to: PointId, view: MotionView, sample: number): Vec | null => {
    const a = view.point(from);
    const b = view.point(to);
    if (!a.ok || !b.ok) return null;
    const n = view.samples;
    const along = (c: number): number => b.value[c * n + sample]! - a.value[c * n + sample]!;
    return [along(0), along(1), along(2)];
  };

  const between = (from: PointId, to: PointId, view: MotionView, sample: number, of: (v: Vec) => Vec): boolean => {
    const v = vectorAt(from, to, view, sample);
    if (v === null) return false;
    const [x, y, z] = of(v);
    return addPoint(to, x, y, z) && addPoint(from, -x, -y, -z);
  };

  const ofLine = (
    line: Extract<Reading, { kind: 'line-tilt' }>['line'],
    view: MotionView,
    sample: number,
    of: (v: Vec) => Vec,
  ): boolean => {
    const track = motion.directions.get(line);
    const d = view.direction(line);
    if (track?.ok !== true || !d.ok) return false;
    const n = view.samples;
    const [x, y, z] = of([d.value[sample]!, d.value[n + sample]!, d.value[2 * n + sample]!]);
    return add(track.value, x, y, z);
  };

  const bend = ({ from, at, to }: Extract<Reading, { kind: 'bend' }>, view: MotionView, sample: number): boolean => {
    const u = vectorAt(from, at, view, sample);
    const v = vectorAt(at, to, view, sample);
    if (u === null || v === null) return false;
    const byU = byAngle(u, v);
    const byV = byAngle(v, u);
    return (
      addPoint(from, -byU[0], -byU[1], -byU[2]) &&
      addPoint(at, byU[0] - byV[0], byU[1] - byV[1], byU[2] - byV[2]) &&
      addPoint(to, byV[0], byV[1], byV[2])
    );
  };

  const directionIn = (
    { segment, from, to, angle: which }: Extract<Reading, { kind: 'direction-in' }>,
    view: MotionView,
    sample: number,
  ): boolean => {
    const pose = view.pose(segment);
    const v = vectorAt(from, to, view, sample);
    if (!pose.ok || v === null) return false;
    const u = timesTransposed(pose.value, 9 * sample, v);
    const g = which === 'elevation' ? byElevation(u) : byHeading(u, 2, 0);
    const inG = times(pose.value, 9 * sample, g);
    // The segment turned by θ sees the vector turned by −θ: −(u × g)
    const turned: Vec = [u[2] * g[1] - u[1] * g[2], u[0] * g[2] - u[2] * g[0], u[1] * g[0] - u[0] * g[1]];
    return (
      addTurn(segment, view, sample, turned) &&
      addPoint(to, inG[0], inG[1], inG[2]) &&
      addPoint(from, -inG[0], -inG[1], -inG[2])
    );
  };

  const ballPlace = (as: 'length' | 'share', view: MotionView, sample: number): boolean => {
    const alongAt = (point: PointId): number => {
      const track = view.point(point);
      return track.ok ? track.value[2 * view.samples + sample]! : Number.NaN;
    };
    const ball: PointId = Number.isNaN(alongAt('ball')) ? 'head_point' : 'ball';
    if (as === 'length') return addPoint('lead_ankle', 0, 0, 1) && addPoint(ball, 0, 0, -1);
    const lead = alongAt('lead_ankle');
    const width = alongAt('trail_ankle') - lead;
    const share = (lead - alongAt(ball)) / width;
    return (
      addPoint('lead_ankle', 0, 0, (1 + share) / width) &&
      addPoint(ball, 0, 0, -1 / width) &&
      addPoint('trail_ankle', 0, 0, -share / width)
    );
  };

  const speed = ({ point, part }: Extract<Reading, { kind: 'point-speed' }>, t_frames: number): boolean => {
    const track = motion.points.get(point);
    if (part === 'target') return addPoint(point, 0, 0, -1);
    if (track?.ok !== true) return false;
    const { frames, rate_Hz } = motion.clock;
    interpolatePointVelocity(track.value.data, frames, t_frames, rate_Hz, velocity);
    const [x, y, z] = unit(velocity as unknown as Vec);
    return add(track.value, x, y, z);
  };

  const write = (reading: Reading, view: MotionView, sample: number, t_frames: number): boolean => {
    switch (reading.kind) {
      case 'orientation':
      case 'joint':
        return angle(reading, view, sample, 1);
      case 'turn-difference':
        return turn('thorax', view, sample, 1) && turn('pelvis', view, sample, -1);
      case 'inclination':
        return longAxis(reading.segment, view, sample, byElevation);
      case 'inclination-direction':
        return longAxis(reading.segment, view, sample, (v) => byHeading(v, 2, 0));
      case 'angular-speed':
        return addTurn(reading.segment, view, sample, [0, 1, 0]);
      case 'displacement': {
        const by = 1 / (reading.over === 'height' ? (motion.height_m ?? Number.NaN) : 1);
        const { axis, point } = reading;
        return addPoint(point, axis === 'ball' ? by : 0, axis === 'rise' ? by : 0, axis === 'target' ? -by : 0);
      }
      case 'line-tilt':
        return ofLine(reading.line, view, sample, byElevation);
      case 'line-turn':
      case 'address-heading':
        return ofLine(reading.line, view, sample, (v) => byHeading(v, 0, 2));
      case 'line-lean':
        return ofLine(reading.line, view, sample, (v) => byHeading(v, reading.toward === 'ball' ? 0 : 2, 1));
      case 'axis-tilt':
        return between('pelvis_centre', 'thorax_centre', view, sample, (v) => byHeading(v, 2, 1));
      case 'bend':
        return bend(reading, view, sample);
      case 'direction-in':
        return directionIn(reading, view, sample);
      case 'address-distance':
        return between(reading.from, reading.to, view, sample, unit);
      case 'ball-place':
        return ballPlace(reading.as, view, sample);
      case 'point-speed':
        return speed(reading, t_frames);
      default:
        return false;
    }
  };
  return {
    of(reading, view, sample, t_frames) {
      gradient.count = 0;
      return write(reading, view, sample, t_frames) ? gradient : null;
    },
  };
}

/** R · v. */
function times(R: Float64Array, o: number, [x, y, z]: Vec): Vec {
  return [
    R[o]! * x + R[o + 1]! * y + R[o + 2]! * z,
    R[o + 3]! * x + R[o + 4]! * y + R[o + 5]! * z,
    R[o + 6]! * x + R[o + 7]! * y + R[o + 8]! * z,
  ];
}

/** Rᵀ · v. */
function timesTransposed(R: Float64Array, o: number, [x, y, z]: Vec): Vec {
  return [
    R[o]! * x + R[o + 3]! * y + R[o + 6]! * z,
    R[o + 1]! * x + R[o + 4]! * y + R[o + 7]! * z,
    R[o + 2]! * x + R[o + 5]! * y + R[o + 8]! * z,
  ];
}

/** Of the angle of a vector above the X-Z plane. */
function byElevation([x, y, z]: Vec): Vec {
  const flat2 = x * x + z * z;
  const flat = Math.sqrt(flat2);
  const all2 = flat2 + y * y;
  return [(-x * y) / (flat * all2), flat / all2, (-z * y) / (flat * all2)];
}

/** Of atan2(v[up], v[along]). */
function byHeading(v: Vec, up: 0 | 1 | 2, along: 0 | 1 | 2): Vec {
  const square = v[up] * v[up] + v[along] * v[along];
  const out: [number, number, number] = [0, 0, 0];
  out[up] = v[along] / square;
  out[along] = -v[up] / square;
  return out;
}

function unit([x, y, z]: Vec): Vec {
  const length = Math.sqrt(x * x + y * y + z * z);
  return [x / length, y / length, z / length];
}

/** Of the angle between u and v, by u: away from v across u, over its length. */
function byAngle(u: Vec, v: Vec): Vec {
  const uu = u[0] * u[0] + u[1] * u[1] + u[2] * u[2];
  const part = (u[0] * v[0] + u[1] * v[1] + u[2] * v[2]) / uu;
  const across: Vec = [part * u[0] - v[0], part * u[1] - v[1], part * u[2] - v[2]];
  const [x, y, z] = unit(across);
  const length = Math.sqrt(uu);
  return [x / length, y / length, z / length];
}
