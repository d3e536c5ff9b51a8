import { describe, expect, it } from 'vitest';
import type { OrderRequest } from '../../../src/model/analysisPlan.ts';
import type { AngleSet } from '../../../src/model/angles.ts';
import { ANGLE_ORDERS } from '../../../src/model/quantity.ts';
import type { PlayerTrial } from '../../../src/model/trial.ts';
import { rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrate } from '../../../src/stages/calibrate.ts';
import { jointAngles } from '../../../src/stages/jointAngles.ts';
import { segmentPoses } from '../../../src/stages/segmentPoses.ts';
import { BODY, bodyIn, PLAYER, type Point, type Posture, place, playerTrialOf, UPRIGHT } from './support.ts';

const ws = createWorkspace({ poison: true });
const DEG = 180 / Math.PI;

function anglesOf(trial: PlayerTrial, orders: readonly OrderRequest[] = []): AngleSet {
  const calibration = calibrate(
    playerTrialOf(
      bodyIn(() => UPRIGHT),
      { role: 'static' },
    ),
    PLAYER,
    ws,
  ).value;
  const motion = segmentPoses(trial, { calibration, club: null, quality: [] }, ws).value;
  return jointAngles(motion, orders, ws).value;
}

/** Degrees of a quantity at a frame, or the reason it is missing. */
function read(angles: AngleSet, quantity: string, frame = 0): number | string {
  const series = angles.series.get(quantity)!;
  return series.ok ? series.value.values[frame]! * DEG : series.why.needed;
}

function still(postures: Partial<Record<'pelvis' | 'thorax' | 'head', Partial<Posture>>>): PlayerTrial {
  return playerTrialOf(
    bodyIn(() => ({
      pelvis: { ...UPRIGHT.pelvis, ...postures.pelvis },
      thorax: { ...UPRIGHT.thorax, ...postures.thorax },
      head: { ...UPRIGHT.head, ...postures.head },
    })),
  );
}

describe('angles against the player frame', () => {
  it('a spine leaning 35° toward the ball under a chest turned −90° reads −90, −35, 0 (definitions 2, typed by hand)', () => {
    // Drawn in G, metres: X to the ball, Y up, Z right. The spine leans toward the ball by 35°: its direction is (sin 35°, cos 35°, 0).
    // The chest faces away from the target, +Z; its right is then −X tipped by the lean: (−cos 35°, sin 35°, 0).
    const s = Math.sin(35 / DEG);
    const c = Math.cos(35 / DEG);
    const at = (front: number, up: number, right: number): (() => Point) => {
      const x = up * s - right * c;
      const y = up * c + right * s;
      return () => [x, 1.2 + y, front];
    };
    const trial = playerTrialOf({
      IJ: at(0.06, 0.1, 0),
      C7: at(-0.06, 0.1, 0),
      PX: at(0.08, -0.1, 0),
      T8: at(-0.08, -0.1, 0),
    });
    const angles = anglesOf(trial);
    expect(read(angles, 'thorax.turn')).toBeCloseTo(-90, 10);
    expect(read(angles, 'thorax.side_bend')).toBeCloseTo(-35, 10);
    expect(read(angles, 'thorax.forward_bend')).toBeCloseTo(0, 10);
    expect(read(angles, 'thorax.inclination')).toBeCloseTo(35, 10);
    expect(read(angles, 'thorax.inclination_direction')).toBeCloseTo(0, 10); // toward the ball
  });

  it('a lean toward the ball is forward bend, toward the trail side + side bend, opened toward the target + turn', () => {
    const forward = anglesOf(still({ thorax: { forward: 30 } }));
    expect([read(forward, 'thorax.turn'), read(forward, 'thorax.side_bend')].map(Number)).toEqual([
      expect.closeTo(0, 10),
      expect.closeTo(0, 10),
    ]);
    expect(read(forward, 'thorax.forward_bend')).toBeCloseTo(30, 10);
    // tipped about the ball direction so that the head comes to the trail side (+Z)
    const tipped = (p: Point): Point => place(tip(20), p, [0, 1.3, 0]);
    const side = anglesOf(
      playerTrialOf(Object.fromEntries(Object.entries(BODY.thorax).map(([id, p]) => [id, () => tipped(p)]))),
    );
    expect(read(side, 'thorax.side_bend')).toBeCloseTo(20, 10);
    expect(read(side, 'thorax.inclination_direction')).toBeCloseTo(-90, 10); // away from the target
    expect(read(anglesOf(still({ pelvis: { turn: 40 } })), 'pelvis.turn')).toBeCloseTo(40, 10);
  });

  it('turn, side and forward bend come back for any posture', () => {
    const angles = anglesOf(
      still({ pelvis: { turn: 45, side: 10, forward: 15 }, thorax: { turn: -100, side: -40, forward: -8 } }),
    );
    for (const [quantity, value] of [
      ['pelvis.turn', 45],
      ['pelvis.side_bend', 10],
      ['pelvis.forward_bend', 15],
      ['thorax.turn', -100],
      ['thorax.side_bend', -40],
      ['thorax.forward_bend', -8],
      ['turn_difference', -145],
    ] as const) {
      expect(read(angles, quantity), quantity).toBeCloseTo(value, 10);
    }
  });

  it('flags within 10° of a singular position and not outside', () => {
    const side = (angle: number): number => {
      const series = anglesOf(still({ thorax: { side: angle } })).series.get('thorax.turn')!;
      return series.ok ? series.value.singular![0]! : -1;
    };
    expect([side(79.9), side(80.1), side(-80.1), side(-79.9)]).toEqual([0, 1, 1, 0]);
  });
});

describe('angles between segments', () => {
  it('trunk and neck are zero where the segments agree, whatever their place in the room', () => {
    const same = { turn: -70, side: 12, forward: 33 };
    const angles = anglesOf(still({ pelvis: same, thorax: same, head: same }));
    for (const joint of ['trunk', 'neck']) {
      for (const component of ['flexion', 'side_bend', 'axial']) {
        expect(read(angles, `${joint}.${component}`)).toBeCloseTo(0, 10);
      }
    }
  });

  it('trunk flexion is + forward, side bend + to the trail side, axial + toward the target (ISB joint system, definitions 3)', () => {
    expect(read(anglesOf(still({ thorax: { forward: 25 } })), 'trunk.flexion')).toBeCloseTo(25, 10);
    expect(read(anglesOf(still({ thorax: { side: 25 } })), 'trunk.side_bend')).toBeCloseTo(25, 10);
    expect(read(anglesOf(still({ thorax: { turn: -50 } })), 'trunk.axial')).toBeCloseTo(-50, 10);
  });
});

describe('lines, speed and what is missing', () => {
  it('turn rate is the rotation about the segment’s own long axis', () => {
    // turned steadily at 300°/s under a constant lean about its own long axis: R = Rz(−lean) · Ry(ωt)
    const trial = playerTrialOf(
      Object.fromEntries(
        Object.entries(BODY.pelvis).map(([id, p]) => [
          id,
          (f: number) => {
            const R = new Float64Array(9);
            rotationFromAngles(-20 / DEG, 0, ((300 * f) / 240 - 30) / DEG, 'ZXY', R);
            return place(R, p, [0, 1, 0]);
          },
        ]),
      ),
    );
    for (const frame of [0, 30, 59]) expect(read(anglesOf(trial), 'pelvis.turn_rate', frame)).toBeCloseTo(300, 6);
  });

  it('shoulder line tilt is + with the lead shoulder higher, axis tilt + away from the target', () => {
    const angles = anglesOf(still({ thorax: { side: 20, at: [0.05, 1.35, 0.1] } }));
    expect(read(angles, 'shoulder_line.tilt')).toBeCloseTo(20, 10); // leaning to the trail side lifts the lead shoulder
    expect(Number(read(angles, 'axis_tilt'))).toBeGreaterThan(10);
  });

  it('a missing landmark costs only the rows that need it, each with the landmark’s name', () => {
    const { T8: _gone, ...points } = bodyIn(() => UPRIGHT);
    const angles = anglesOf(playerTrialOf(points));
    for (const id of [
      'thorax.turn',
      'trunk.flexion',
      'neck.axial',
      'turn_difference',
      'shoulder_line.tilt',
      'axis_tilt',
    ]) {
      expect(read(angles, id), id).toMatch(/T8/);
    }
    for (const id of ['pelvis.turn', 'head.turn', 'pelvis_line.tilt', 'pelvis.turn_rate']) {
      expect(typeof read(angles, id), id).toBe('number');
    }
  });

  it('rows of the reduced form exist only where there are no frames', () => {
    expect(anglesOf(still({})).series.has('shoulder_line.turn')).toBe(false);
    const joints = anglesOf(
      playerTrialOf({
        lead_HJC: () => [0, 1, -0.1],
        trail_HJC: () => [0, 1, 0.1],
        lead_SJC: () => [0.2 + 0.1, 1.4, -0.1],
        trail_SJC: () => [0.2 - 0.1, 1.4, 0.1],
      }),
    );
    expect(read(joints, 'shoulder_line.turn')).toBeCloseTo(-45, 10); // lead shoulder toward the ball: turned away
    expect(read(joints, 'pelvis_line.turn')).toBeCloseTo(0, 10);
    expect(read(joints, 'trunk_axis.to_ball')).toBeCloseTo(Math.atan2(0.2, 0.4) * DEG, 10);
    expect(read(joints, 'trunk_axis.to_trail')).toBeCloseTo(0, 10);
  });

  it('all twelve orders give the rotation back from their raw angles', () => {
    const trial = still({ thorax: { turn: -90, side: -35, forward: 10 } });
    const orders = ANGLE_ORDERS.map((order) => ({ segment: 'thorax', order }) as const);
    const angles = anglesOf(trial, orders);
    const expected = new Float64Array(9);
    rotationFromAngles(-90 / DEG, -35 / DEG, -10 / DEG, 'YXZ', expected);
    for (const order of ANGLE_ORDERS) {
      const [a, b, c] = (['first', 'second', 'third'] as const).map((name) => {
        const series = angles.extra.get(`thorax.${name}:${order}`)!;
        return series.ok ? series.value.values[0]! : Number.NaN;
      }) as [number, number, number];
      const R = new Float64Array(9);
      rotationFromAngles(a, b, c, order, R);
      R.forEach((value, i) => void expect(value).toBeCloseTo(expected[i]!, 12));
    }
  });
});

/** Rotation about X by degrees: the top comes toward +Z. */
function tip(angle: number): Float64Array {
  const R = new Float64Array(9);
  rotationFromAngles(angle / DEG, 0, 0, 'XYZ', R);
  return R;
}
