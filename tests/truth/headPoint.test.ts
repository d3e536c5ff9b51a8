// Two material points of one club head: the velocity of a rigid body, v(b) − v(a) = ω × r (any textbook of mechanics), with ω from the
// generator's own club axes and nothing of the program's.
import { describe, expect, it } from 'vitest';
import { add, cross, dot, length, scale, sub, turnOut, unit, type Vec, vec } from '../../samples/generator/geometry.ts';
import type { SwingRecording } from '../../samples/generator/makeSwing.ts';
import type { DeliveryFigures } from '../../src/model/delivery.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { clubDelivery, DEFAULT_CLUB_OPTIONS } from '../../src/stages/clubDelivery.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions } from '../../src/stages/findPositions.ts';
import { CLEAN, truthCase } from '../support/truthCases.ts';

const APART_m = 0.05;
const STEP_s = 1e-5;

/** Angular velocity of the unstruck club at contact: half the sum of axis × rate of axis, by central differences. */
function turning({ swing }: SwingRecording): Vec {
  const at = (t: number) => swing.clubPose(t, swing.bodyPose(t), false).axes;
  const t = swing.setup.contact;
  const [before, now, after] = [at(t - STEP_s), at(t), at(t + STEP_s)];
  let sum = vec(0, 0, 0);
  for (const axis of ['x', 'y', 'z'] as const) {
    sum = add(sum, cross(now[axis], scale(sub(after[axis], before[axis]), 1 / (2 * STEP_s))));
  }
  return scale(sum, 0.5);
}

/** From the first head marker toward the second, 50 mm long, at contact. */
function between({ swing, club }: SwingRecording): Vec {
  const t = swing.setup.contact;
  const { axes } = swing.clubPose(t, swing.bodyPose(t), false);
  return scale(turnOut(axes, unit(sub(club.head[1], club.head[0]))), APART_m);
}

function velocityOf(figures: DeliveryFigures): Vec {
  const read = (figure: keyof DeliveryFigures): number => {
    const entry = figures[figure];
    if (!entry.ok) throw new Error(`${figure}: needs ${entry.why.needed}`);
    return entry.value.value;
  };
  const [speed, attack, path] = [read('head-speed'), read('attack'), read('path')];
  const flat = speed * Math.cos(attack);
  return vec(flat * Math.sin(path), speed * Math.sin(attack), -flat * Math.cos(path));
}

describe('two points of one club head, 50 mm apart', () => {
  it.each([1, 2, 3, 4, 5, 6])('seed %i: their velocities differ as ω × r says', (seed) => {
    const one = truthCase(seed, CLEAN);
    const ws = createWorkspace();
    const [x, y, z] = one.plan.club!.faceCentre_mm!;
    const motionOf = (shift_mm: number) => {
      const club = { ...one.plan.club!, faceCentre_mm: [x + shift_mm, y, z] as const };
      return motionFromMarkers(one.trial, { ...one.plan, club }, ws).value;
    };
    const near = motionOf(0);
    const found = findPositions(near, { ...DEFAULT_POSITION_OPTIONS, stillnessFilter_Hz: null }, ws).value;
    const figures = (motion: typeof near) => clubDelivery(motion, found, DEFAULT_CLUB_OPTIONS, ws).value;
    const measured = sub(velocityOf(figures(motionOf(1000 * APART_m))), velocityOf(figures(near)));
    const expected = cross(turning(one.made), between(one.made));
    // The difference is some 2 m/s; the fits of both points err alike, and each is allowed 0.1° of 46 m/s (definitions 9): 0.08 m/s.
    expect(length(expected)).toBeGreaterThan(1);
    expect(length(sub(measured, expected))).toBeLessThan(0.08);
    expect(dot(measured, expected)).toBeGreaterThan(0);
  });
});
