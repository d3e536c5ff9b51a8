import { describe, expect, it } from 'vitest';
import { present } from '../../../src/model/availability.ts';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import { DEFAULT_FILTER } from '../../../src/model/dayPlan.ts';
import type { FoundPositions } from '../../../src/model/delivery.ts';
import { LIMB_SEGMENTS, type Motion, POINTS, type SegmentId, TRUNK_SEGMENTS } from '../../../src/model/motion.ts';
import type { Moment, PositionId } from '../../../src/model/positions.ts';
import {
  DEFAULT_SENSOR_PLAN,
  type OrientedSensor,
  type SensorCalibration,
  type SensorPlace,
} from '../../../src/model/sensors.ts';
import type { Cell } from '../../../src/model/swingRecord.ts';
import { anglesFromRotation } from '../../../src/numeric/eulerAngles.ts';
import { mul3 } from '../../../src/numeric/rotation.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { clubDelivery, DEFAULT_CLUB_OPTIONS } from '../../../src/stages/clubDelivery.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions } from '../../../src/stages/findPositions.ts';
import { jointAngles } from '../../../src/stages/jointAngles.ts';
import { DEFAULT_ORDER_OPTIONS, orderOfMotion } from '../../../src/stages/orderOfMotion.ts';
import { readQuantities } from '../../../src/stages/readQuantities.ts';
import { sensorPoses } from '../../../src/stages/sensorPoses.ts';
import { zeroHeadings } from '../../../src/stages/zeroHeadings.ts';
import { NO_ORDER } from '../../support/noOrder.ts';
import { trueOrderOfSensors } from '../../support/orderTruth.ts';
import { CLUB, calibrated, type OrientedSwing, orientedSwing, type Session, session } from './sensorSupport.ts';

const DEG = 180 / Math.PI;
const FLAWLESS = {
  kit: { flawless: true },
  signals: { noise: 0, digits: [9, 9, 9], sway: 0, axisOff: [0, 0] },
} as const;

interface Posed {
  readonly made: OrientedSwing;
  readonly motion: Motion;
  readonly codes: readonly string[];
}

function posed(
  one: Session,
  made: OrientedSwing,
  changes: { readonly calibration?: SensorCalibration; readonly heading?: 'address' | 'file' } = {},
): Posed {
  const plan = { ...DEFAULT_SENSOR_PLAN, heading: changes.heading ?? 'address' };
  const calibration = present(changes.calibration ?? calibrated(one).value);
  const options = { plan, calibration, club: CLUB, height_m: one.player.height_m };
  const outcome = sensorPoses(made.trial, made.oriented, options, createWorkspace({ poison: true }));
  return { made, motion: outcome.value, codes: outcome.diagnostics.map(({ code }) => code) };
}

/** The true times of the truth as moments, or with a position left out. */
function foundOf(made: OrientedSwing, without: readonly PositionId[] = []): FoundPositions {
  const moments = new Map<PositionId, Moment>();
  for (const [position, time] of Object.entries(made.truth.time_s) as [PositionId, number][]) {
    const t = time - made.start_s;
    const window_s = position === 'P1' ? ([t - 0.1, t] as const) : position === 'P10' ? ([t, t + 0.1] as const) : null;
    const moment = {
      time_s: t,
      sd_s: 0,
      method: 'event',
      confidence: 1,
      flags: [],
      window_s,
      eventOffset_s: null,
    } as const;
    moments.set(
      position,
      without.includes(position)
        ? { found: false, why: { code: 'asked', needed: 'nothing' } }
        : { found: true, ...moment },
    );
  }
  const frame = Math.floor((made.truth.time_s.P7 - made.start_s) * 250);
  return { moments, impact: present({ before: frame, after: frame + 1, evidence: 'event' }) };
}

/** Cells of a motion at those times. */
function cellsOf({ made, motion }: Posed, without: readonly PositionId[] = []): readonly Cell[] {
  const ws = createWorkspace({ poison: true });
  const found = foundOf(made, without);
  const zeroed = zeroHeadings(motion, found, ws).value;
  const input = {
    motion: zeroed,
    angles: jointAngles(zeroed, [], ws).value,
    found,
    club: clubDelivery(zeroed, found, DEFAULT_CLUB_OPTIONS, ws).value,
    order: NO_ORDER,
  };
  const read = readQuantities(input, CATALOGUE, ws).value;
  expect(read.figures).toEqual([]);
  return read.cells;
}

function cell(cells: readonly Cell[], quantity: string, position: string): Cell {
  const one = cells.find((c) => c.quantity === quantity && c.position === position);
  if (one === undefined) throw new Error(`no ${quantity}@${position}`);
  return one;
}

function worst(cells: readonly Cell[], truth: Readonly<Record<string, Readonly<Record<string, number>>>>): number {
  let most = 0;
  for (const { quantity, position, value } of cells) {
    const is = truth[position]?.[quantity];
    if (is === undefined) continue;
    if (value === null) throw new Error(`${quantity}@${position} is missing`);
    const off = value - is - 2 * Math.PI * Math.round((value - is) / (2 * Math.PI));
    most = Math.max(most, Math.abs(off) * DEG);
  }
  return most;
}

describe('sensorPoses: angles', () => {
  it('are the true ones within 0.03° where signals and orientations are flawless, whatever heading each sensor has', () => {
    // 0.01° of mounting, interpolation and the swing's motion inside P1's window.
    for (const hand of ['right', 'left'] as const) {
      const one = session(5, { ...FLAWLESS, kit: { ...FLAWLESS.kit, hand } });
      const made = orientedSwing(one, 21);
      expect(worst(cellsOf(posed(one, made)), made.truth.zeroed), hand).toBeLessThan(0.03);
    }
  });

  it('are anatomical where the still pose has the bends of a marker static trial', () => {
    const bends = (forward: number) => ({ forwardBend_rad: forward / DEG, sideBend_rad: 0 });
    const one = session(5, {
      ...FLAWLESS,
      standing: { trial: 'static', segments: { pelvis: bends(9), thorax: bends(4) } },
    });
    const made = orientedSwing(one, 21);
    const result = posed(one, made);
    expect(worst(cellsOf(result), made.truth.anatomical)).toBeLessThan(0.03);
    expect(result.motion.datum).toEqual({ kind: 'calibration', id: 'calibration still on static' });
  });

  it('turn speeds are those of the gyro', () => {
    const one = session(5, FLAWLESS);
    const made = orientedSwing(one, 21);
    const cells = cellsOf(posed(one, made));
    const t = made.truth.time_s.P6;
    const h = 1e-5;
    const z = (at: number) => made.swing.bodyPose(at).thorax.z;
    const x = made.swing.bodyPose(t).thorax.x;
    const rate = [0, 1, 2].reduce((sum, c) => sum + ((z(t + h)[c]! - z(t - h)[c]!) / (2 * h)) * x[c]!, 0);
    const read = cells.find((c) => c.quantity.startsWith('thorax.turn_') && c.position === 'P6')!;
    // Against the axis zeroed in the pose, 4° from the truth's, and the nearest sample instead of the instant.
    expect(Math.abs(read.value! / rate - 1)).toBeLessThan(0.03);
  });
});

describe('sensorPoses: headings', () => {
  it('are zero at P1 one by one, which flags turns and what lies between two segments, not bends', () => {
    const one = session(2);
    const cells = cellsOf(posed(one, orientedSwing(one, 22)));
    expect(Math.abs(cell(cells, 'pelvis.turn', 'P1').value!)).toBeLessThan(1e-9);
    expect(Math.abs(cell(cells, 'thorax.turn', 'P1').value!)).toBeLessThan(1e-9);
    for (const id of ['pelvis.turn', 'thorax.inclination_direction', 'trunk.axial', 'turn_difference']) {
      expect(cell(cells, id, 'P4').flags, id).toContain('heading-zeroed-at-P1');
      expect(cell(cells, id, 'P4').flags, id).not.toContain('target-assumed');
    }
    for (const id of ['thorax.inclination', 'thorax.forward_bend', 'pelvis.side_bend']) {
      expect(cell(cells, id, 'P4').flags, id).not.toContain('heading-zeroed-at-P1');
    }
  });

  it('of a file that holds them hold between segments: the pelvis is zero, the thorax keeps its turn against it', () => {
    const one = session(5, FLAWLESS);
    const made = orientedSwing(one, 21, { tied: true });
    const result = posed(one, made, { heading: 'file' });
    const cells = cellsOf(result);
    expect(Math.abs(cell(cells, 'pelvis.turn', 'P1').value!)).toBeLessThan(1e-9);
    const t = made.truth.time_s.P1 - 0.05;
    const turns = made.swing.value('thoraxTurn', t) - made.swing.value('pelvisTurn', t);
    expect(Math.abs(turns) * DEG).toBeGreaterThan(0.5);
    expect(Math.abs(cell(cells, 'thorax.turn', 'P1').value! - turns) * DEG).toBeLessThan(0.02);
    expect(cell(cells, 'trunk.axial', 'P4').flags).not.toContain('heading-zeroed-at-P1');
    expect(result.motion.datum.id).toBe('calibration still, headings of the file');
  });

  it('of a file carry the swing plane to the segments: their part about it is the true one', () => {
    const one = session(5, FLAWLESS);
    const made = orientedSwing(one, 21, { tied: true });
    const { motion } = posed(one, made, { heading: 'file' });
    const found = foundOf(made);
    const ws = createWorkspace({ poison: true });
    const zeroed = zeroHeadings(motion, found, ws).value;
    const options = { ...DEFAULT_ORDER_OPTIONS, filter: DEFAULT_FILTER };
    const order = orderOfMotion(zeroed, found, options, ws).value;
    const truth = trueOrderOfSensors(made.swing, made.truth);
    for (const link of ['pelvis', 'thorax', 'club'] as const) {
      const peak = order.swing_plane[link];
      if (!peak.ok) throw new Error(peak.why.needed);
      // The plane is of the shaft's directions at the samples from P6 on, the true one of a hundred between P6 and impact.
      expect(Math.abs(peak.value.speed_radPerS / truth[link].swing_plane!.speed_radPerS - 1), link).toBeLessThan(0.01);
    }
    const shaft = motion.directions.get('shaft')!;
    const after = zeroed.directions.get('shaft')!;
    const pelvis = motion.poses.get('pelvis')!;
    const turned = zeroed.poses.get('pelvis')!;
    if (!shaft.ok || !after.ok || !pelvis.ok || !turned.ok) throw new Error('flawless sensors');
    const { frames } = motion.clock;
    const along = (d: Float64Array, R: Float64Array, f: number): number =>
      [0, 1, 2].reduce((sum, c) => sum + d[f + frames * c]! * R[9 * f + 3 * c]!, 0);
    for (const f of [50, 200, 350]) {
      const before = along(shaft.value.data, pelvis.value.data, f);
      expect(along(after.value.data, turned.value.data, f)).toBeCloseTo(before, 12);
    }
  });

  it('without P1 leave no turn and no joint angle, while bends stay', () => {
    const one = session(2);
    const cells = cellsOf(posed(one, orientedSwing(one, 22)), ['P1']);
    for (const id of ['pelvis.turn', 'trunk.flexion', 'turn_difference', 'thorax.inclination_direction']) {
      expect(cell(cells, id, 'P4').why?.needed, id).toBe('P1, at which the headings of the sensors are zero');
    }
    expect(cell(cells, 'thorax.side_bend', 'P4').value).not.toBeNull();
    expect(cell(cells, 'thorax.side_bend', 'P4').flags).toEqual([]);
  });

  it('leave a motion of markers as it is', () => {
    const one = session(2);
    const { motion } = posed(one, orientedSwing(one, 22));
    const { headingZero: _, ...markers } = motion;
    const found = { moments: new Map(), impact: { ok: false, why: { code: 'none', needed: 'none' } } } as const;
    expect(zeroHeadings(markers, found, createWorkspace()).value).toBe(markers);
  });
});

describe('sensorPoses: what sensors cannot give is absent, with the reason', () => {
  const one = session(3);
  const made = orientedSwing(one, 23);
  const whole = posed(one, made);

  it('places and lines', () => {
    for (const id of POINTS) {
      expect(whole.motion.points.get(id)).toEqual({
        ok: false,
        why: { code: 'no-places-from-sensors', needed: 'places in space: sensors give orientations only' },
      });
    }
    for (const line of ['pelvis_line', 'shoulder_line', 'trunk_axis'] as const) {
      expect(whole.motion.directions.get(line)).toMatchObject({ ok: false, why: { code: 'no-places-from-sensors' } });
    }
  });

  it('displacement, head speed, attack and path', () => {
    const cells = cellsOf(whole);
    for (const [id, position] of [
      ['pelvis.to_target', 'P4'],
      ['shoulder_line.tilt', 'P7'],
      ['club.head_speed', 'swing'],
      ['club.attack', 'swing'],
      ['club.path', 'swing'],
    ] as const) {
      expect(cell(cells, id, position).value, id).toBeNull();
      expect(cell(cells, id, position).why?.code, id).toBe('no-places-from-sensors');
    }
  });

  it('segments without a sensor, and the head', () => {
    const { motion } = posed(one, orientedSwing(one, 23, { without: ['pelvis', 'club'] }));
    expect(motion.poses.get('pelvis')).toMatchObject({
      ok: false,
      why: { code: 'no-sensor', needed: 'a sensor on the pelvis' },
    });
    expect(motion.poses.get('head')).toMatchObject({
      ok: false,
      why: { code: 'no-sensor', needed: 'a sensor on the head' },
    });
    expect(motion.directions.get('shaft')).toMatchObject({
      ok: false,
      why: { code: 'no-sensor', needed: 'a sensor on the club' },
    });
    expect(motion.form).toBe('full');
  });

  it('segments whose flexion axis is not known', () => {
    const calibration = calibrated(one, { movements: [] }).value;
    const { motion } = posed(one, made, { calibration });
    expect(motion.poses.get('thorax')).toMatchObject({ ok: false, why: { code: 'no-flexion-axis' } });
    expect(motion.directions.get('lead_arm')?.ok).toBe(true);
  });

  it('all of them where there is no calibration', () => {
    const options = {
      plan: DEFAULT_SENSOR_PLAN,
      calibration: { ok: false, why: { code: 'no-still-pose', needed: 'a still pose of the player' } },
      club: CLUB,
      height_m: null,
    } as const;
    const { value, diagnostics } = sensorPoses(made.trial, made.oriented, options, createWorkspace({ poison: true }));
    const reasonOf = (segment: SegmentId): string => {
      const pose = value.poses.get(segment)!;
      return pose.ok ? '' : pose.why.code;
    };
    expect(TRUNK_SEGMENTS.map(reasonOf)).toEqual(['no-still-pose', 'no-still-pose', 'no-sensor']);
    expect(LIMB_SEGMENTS.map(reasonOf).every((code) => code === 'no-still-pose' || code === 'no-sensor')).toBe(true);
    expect(value.nominalSpeed).toMatchObject({ ok: false, why: { code: 'no-sensor' } });
    expect(diagnostics.filter(({ code }) => code === 'sensor-absent')).toHaveLength(5);
    expect(findPositions(value, DEFAULT_POSITION_OPTIONS, createWorkspace()).value.impact.ok).toBe(false);
  });
});

describe('sensorPoses: directions', () => {
  it('call the forearm a forearm, elbow to wrist', () => {
    const one = session(5, FLAWLESS);
    const made = orientedSwing(one, 21);
    const { motion } = posed(one, made);
    const arm = motion.directions.get('lead_arm');
    if (!arm?.ok) throw new Error('no forearm');
    expect(arm.value.provenance).toMatch(/^forearm, elbow to wrist, sensor /);
    const { frames } = motion.clock;
    const frame = Math.round((made.truth.time_s.P3 - made.start_s) * 250);
    // Level at its own crossing, to half a frame of 2 rad/s.
    expect(Math.abs(arm.value.data[frames + frame]!)).toBeLessThan(0.01);
  });
});

describe('sensorPoses: what is said of the sensors', () => {
  const one = session(4);
  const made = orientedSwing(one, 24);

  /** The swing with one sensor changed. */
  function withSensor(place: SensorPlace, change: (sensor: OrientedSensor) => Partial<OrientedSensor>): OrientedSwing {
    const old = made.oriented.sensors.get(place)!;
    if (!old.ok) throw new Error(old.why.needed);
    const sensors = new Map([...made.oriented.sensors, [place, present({ ...old.value, ...change(old.value) })]]);
    return { ...made, oriented: { ...made.oriented, sensors } };
  }

  it('has a note and a row of the quality table for each, and events on the clock of the motion', () => {
    const trial = { ...made.trial, events: [{ label: 'hit', position: 'P7', time_s: made.start_s + 1.5 }] };
    const { motion, codes } = posed(one, { ...made, trial });
    expect(motion.sensors?.map(({ place }) => place)).toEqual([...made.trial.sensors.keys()]);
    expect(motion.sensors?.[0]).toMatchObject({
      method: 'strap-down',
      bias_radPerS: 0,
      closingTilt_rad: 0.005,
      flags: [],
      reason: '',
    });
    expect(motion.quality[0]).toMatchObject({
      marker: `sensor ${motion.sensors![0]!.name}`,
      missing: 0,
      filled: 0,
      longestGap_s: 0,
    });
    expect(motion.quality[0]!.noise_m).toBeNaN();
    expect(motion.events[0]!.time_s).toBeCloseTo(1.5, 12);
    expect(codes).toEqual([]);
  });

  it('flags a sensor whose gravity at the finish is 6° off', () => {
    const { motion, codes } = posed(
      one,
      withSensor('thorax', () => ({ closingTilt_rad: 6 / DEG })),
    );
    expect(motion.sensors?.find(({ place }) => place === 'thorax')?.flags).toEqual(['closing-tilt']);
    expect(codes).toEqual(['closing-tilt']);
  });

  it('counts missing and filled frames and the longest run of them', () => {
    const gap = (sensor: OrientedSensor) => {
      const state = sensor.R.state.slice();
      const data = sensor.R.data.slice();
      for (let f = 300; f < 325; f++) {
        state[f] = f < 310 ? 2 : 0;
        if (f >= 310) data.fill(Number.NaN, 9 * f, 9 * f + 9);
      }
      return { R: { ...sensor.R, state, data } };
    };
    const { motion } = posed(one, withSensor('pelvis', gap));
    expect(motion.quality[0]).toMatchObject({ missing: 15, filled: 10, longestGap_s: 0.1 });
  });

  it('has a nominal speed where a sensor lacks the last frames of the address', () => {
    const gap = (sensor: OrientedSensor) => {
      const data = sensor.R.data.slice();
      data.fill(Number.NaN, 9 * 45, 9 * 52);
      return { R: { ...sensor.R, data } };
    };
    const { motion } = posed(one, withSensor('club', gap));
    const speed = motion.nominalSpeed;
    if (!speed?.ok) throw new Error('no speed');
    expect(speed.value.provenance).toMatch(/4 links/);
    expect(speed.value.data[48]).toBeNaN();
    expect(speed.value.data[60]).toBeLessThan(0.05);
  });

  it('gives no angles of a chest that leans back at address or lies on its side, and says so in the trial and of the sensor', () => {
    const turnedOver = (R_add: readonly number[]) => (sensor: OrientedSensor) => {
      const data = new Float64Array(sensor.R.data.length);
      const mounting = calibrated(one).value.mountings.get('thorax')!;
      if (!mounting.ok) throw new Error('none');
      const M = Float64Array.from(mounting.value.R_sensor_segment);
      const Mt = Float64Array.of(M[0]!, M[3]!, M[6]!, M[1]!, M[4]!, M[7]!, M[2]!, M[5]!, M[8]!);
      const a = new Float64Array(9);
      const b = new Float64Array(9);
      // R_world_sensor · M · A · Mᵀ: the segment seems turned by A.
      mul3(M, 0, Float64Array.from(R_add), 0, a, 0);
      mul3(a, 0, Mt, 0, b, 0);
      for (let f = 0; f < data.length; f += 9) mul3(sensor.R.data, f, b, 0, data, f);
      return { R: { ...sensor.R, data } };
    };
    // Half a turn about Y: the bow read the wrong way round. A quarter about X: on its side.
    for (const A of [
      [-1, 0, 0, 0, 1, 0, 0, 0, -1],
      [1, 0, 0, 0, 0, -1, 0, 1, 0],
    ]) {
      const { codes, motion } = posed(one, withSensor('thorax', turnedOver(A)));
      expect(codes).toEqual(['sensor-moved']);
      expect(motion.poses.get('thorax')).toMatchObject({ ok: false, why: { code: 'sensor-moved' } });
      expect(motion.poses.get('pelvis')!.ok).toBe(true);
      expect(motion.sensors!.find((note) => note.place === 'thorax')!.reason).toMatch(/^a posture that is possible: /);
    }
  });

  it('leaves its input alone', () => {
    const before = [...made.oriented.sensors.values()].map((s) => (s.ok ? s.value.R.data.slice() : null));
    const { motion } = posed(one, made);
    const angles = new Float64Array(3);
    const pelvis = motion.poses.get('pelvis')!;
    if (!pelvis.ok) throw new Error('no pelvis');
    anglesFromRotation(pelvis.value.data, 9 * 10, 'YXZ', angles);
    expect(Math.abs(angles[0]!) * DEG).toBeLessThan(0.5);
    [...made.oriented.sensors.values()].forEach((s, i) => {
      if (s.ok) expect(s.value.R.data).toEqual(before[i]);
    });
  });
});
