import { describe, expect, it } from 'vitest';
import { turned } from '../../../samples/generator/geometry.ts';
import type { Kit } from '../../../samples/generator/sensorKit.ts';
import { recordCalibration } from '../../../samples/generator/sensorTrials.ts';
import { type Avail, absent, present } from '../../../src/model/availability.ts';
import {
  DEFAULT_SENSOR_PLAN,
  type SensorMounting,
  type SensorPlace,
  type SensorTrack,
} from '../../../src/model/sensors.ts';
import type { SensorTrial } from '../../../src/model/trial.ts';
import { rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { mul3, mul3T, rotationAngle } from '../../../src/numeric/rotation.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrate } from '../../../src/stages/calibrate.ts';
import { standingPose } from '../../../src/stages/calibrateSensors.ts';
import { clubPlan } from '../../support/plans.ts';
import { CLUB, calibrated, sensorTrial, session } from './sensorSupport.ts';
import { bodyIn, PLAYER, playerTrialOf, UPRIGHT } from './support.ts';

const DEG = 180 / Math.PI;
/** Bends of the generator's standing pose (samples/generator/body.ts, sensorMotion.ts). */
const PELVIS_BEND = 9 / DEG;
const THORAX_BEND = 4 / DEG;
const FLAWLESS = {
  kit: { flawless: true },
  signals: { noise: 0, digits: [9, 9, 9], sway: 0, axisOff: [0, 0] },
} as const;

function full(mounting: Avail<SensorMounting> | undefined): SensorMounting {
  if (mounting?.ok !== true) throw new Error(mounting?.why.needed ?? 'no mounting');
  return mounting.value;
}

function reason(mounting: Avail<SensorMounting> | undefined): string {
  return mounting?.ok === false ? `${mounting.why.code}: ${mounting.why.needed}` : 'there is one';
}

/** True R_segment_sensor, row-major, mirrored for a left-hander. */
function trueMount(kit: Kit, place: SensorPlace): Float64Array {
  const { mount } = kit.sensors.find((one) => one.place === place)!;
  const flip = kit.hand === 'left' ? [1, 1, -1] : [1, 1, 1];
  const out = new Float64Array(9);
  (['x', 'y', 'z'] as const).forEach((name, c) => {
    for (let r = 0; r < 3; r++) out[3 * r + c] = mount[name][r]! * flip[r]! * flip[c]!;
  });
  return out;
}

/** R_true-segment_found-segment: the identity where the mounting is right. */
function found(kit: Kit, place: SensorPlace, mounting: SensorMounting): Float64Array {
  const out = new Float64Array(9);
  mul3(trueMount(kit, place), 0, Float64Array.from(mounting.R_sensor_segment), 0, out, 0);
  return out;
}

/** Degrees between the found segment and the true one bent by `bend` in the pose: zero at the pose means its own axes turned back. */
function errorOf(kit: Kit, place: SensorPlace, mounting: SensorMounting, bend: number): number {
  const level = new Float64Array(9);
  rotationFromAngles(0, 0, bend, 'YXZ', level);
  const off = new Float64Array(9);
  mul3T(found(kit, place, mounting), 0, level, 0, off, 0);
  return rotationAngle(off, 0) * DEG;
}

/** A trial with one sensor's signals changed. */
function changed(
  trial: SensorTrial,
  place: SensorPlace,
  change: (track: SensorTrack) => Partial<SensorTrack>,
): SensorTrial {
  const track = trial.sensors.get(place)!;
  return { ...trial, sensors: new Map([...trial.sensors, [place, { ...track, ...change(track) }]]) };
}

const times = (data: Float64Array | null, factor: number): Float64Array => data!.map((value) => factor * value);

describe('calibrateSensors: pelvis and thorax', () => {
  it('finds how sensors sit within 3° from a noisy pose and movements whose axes miss by 1 to 2°, right- and left-handed', () => {
    // 2° of missed axis, 0.2° of accelerometer bias, sway.
    for (const seed of [1, 2, 3, 4]) {
      for (const hand of ['right', 'left'] as const) {
        const made = session(seed, { kit: { hand } });
        const { mountings } = calibrated(made).value;
        const pelvis = full(mountings.get('pelvis'));
        const thorax = full(mountings.get('thorax'));
        expect(errorOf(made.kit, 'pelvis', pelvis, PELVIS_BEND), `pelvis ${seed} ${hand}`).toBeLessThan(3);
        expect(errorOf(made.kit, 'thorax', thorax, THORAX_BEND), `thorax ${seed} ${hand}`).toBeLessThan(3);
        expect([pelvis.method, pelvis.hasFlexionAxis]).toEqual(['pose-and-movement', true]);
        expect(pelvis.trials).toEqual(['still', 'pelvic-tilt']);
        expect(thorax.trials).toEqual(['still', 'bow']);
      }
    }
  });

  it('finds them to 0.01° from flawless signals', () => {
    for (const hand of ['right', 'left'] as const) {
      const made = session(5, { ...FLAWLESS, kit: { ...FLAWLESS.kit, hand } });
      const { mountings } = calibrated(made).value;
      expect(errorOf(made.kit, 'pelvis', full(mountings.get('pelvis')), PELVIS_BEND)).toBeLessThan(0.01);
      expect(errorOf(made.kit, 'thorax', full(mountings.get('thorax')), THORAX_BEND)).toBeLessThan(0.01);
    }
  });

  it('has the bends of a marker static trial in the still pose where there is one', () => {
    const bends = (forward: number) => ({ forwardBend_rad: forward, sideBend_rad: 0 });
    const standing = { trial: 'static', segments: { pelvis: bends(PELVIS_BEND), thorax: bends(THORAX_BEND) } };
    const made = session(5, { ...FLAWLESS, standing });
    const { value } = calibrated(made);
    expect(value.anatomicalFrom).toBe('static');
    expect(errorOf(made.kit, 'pelvis', full(value.mountings.get('pelvis')), 0)).toBeLessThan(0.01);
    expect(errorOf(made.kit, 'thorax', full(value.mountings.get('thorax')), 0)).toBeLessThan(0.01);
  });

  it('says which segment the static trial does not show, and names no static trial where it shows none', () => {
    const standing = { trial: 'static', segments: {} };
    const { value, diagnostics } = calibrated(session(5, { standing }));
    expect(value.anatomicalFrom).toBeNull();
    expect(diagnostics.filter(({ code }) => code === 'anatomical-offset-missing')).toHaveLength(2);
  });

  it('takes forward from the bow where the tilt begins backward, and from the tilt’s own beginning without a bow', () => {
    const made = session(2);
    const [bow, tilt] = made.input.movements;
    const backward = { ...tilt!, trial: changed(tilt!.trial, 'pelvis', ({ gyro }) => ({ gyro: times(gyro, -1) })) };
    const forwardOf = (movements: typeof made.input.movements): number =>
      found(made.kit, 'pelvis', full(calibrated(made, { movements }).value.mountings.get('pelvis')))[0]!;
    expect(forwardOf([bow!, tilt!])).toBeGreaterThan(0.9);
    expect(forwardOf([bow!, backward])).toBeGreaterThan(0.9);
    expect(forwardOf([tilt!]) * forwardOf([backward])).toBeLessThan(-0.8);
  });

  it('takes the pelvis from the bow where there is no tilt', () => {
    const made = session(3, { movements: ['bow'] });
    const pelvis = full(calibrated(made).value.mountings.get('pelvis'));
    expect(pelvis.trials).toEqual(['still', 'bow']);
    expect(errorOf(made.kit, 'pelvis', pelvis, PELVIS_BEND)).toBeLessThan(3);
    const stiff = made.input.movements.map((one) => ({
      ...one,
      trial: changed(one.trial, 'pelvis', ({ gyro }) => ({ gyro: times(gyro, 0.5) })),
    }));
    expect(reason(calibrated(made, { movements: stiff }).value.mountings.get('pelvis'))).toMatch(
      /^movement-small: .* turns by [34]°, at least 5°/,
    );
  });

  it('reports the angle between the axis of a turn and the long axis, and doubts a large one', () => {
    const made = session(4, { movements: ['bow', 'pelvic-tilt', 'turn'] });
    const words = calibrated(made).diagnostics.map(({ code, message }) => `${code} ${message}`);
    expect(words.filter((one) => /^mounting-quality .*axis of the turn in turn lies \d\.\d°/.test(one))).toHaveLength(
      2,
    );
    // A bow that is named a turn lies across the long axis.
    const wrong = [...made.input.movements, { movement: 'turn' as const, trial: made.input.movements[0]!.trial }];
    const doubts = calibrated(made, { movements: wrong }).diagnostics.filter(
      ({ code }) => code === 'mounting-doubtful',
    );
    expect(doubts.map(({ message }) => message).join()).toMatch(
      /the thorax: the axis of the turn in bow lies 8\d\.\d°/,
    );
  });
});

describe('calibrateSensors: what is not clean is absent, with its numbers', () => {
  const made = session(1);
  const thoraxWith = (changes: Parameters<typeof calibrated>[1]) =>
    calibrated(made, changes).value.mountings.get('thorax');
  const bowWith = (change: (track: SensorTrack) => Partial<SensorTrack>) => ({
    movements: [{ movement: 'bow' as const, trial: changed(made.input.movements[0]!.trial, 'thorax', change) }],
  });
  const stillWith = (change: (track: SensorTrack) => Partial<SensorTrack>) => ({
    still: changed(made.input.still, 'thorax', change),
  });

  it('a bow of a few degrees', () => {
    expect(reason(thoraxWith(bowWith(({ gyro }) => ({ gyro: times(gyro, 0.3) }))))).toMatch(
      /movement-small: a clear bow of the thorax: in bow it turns by \d°, at least 15°/,
    );
  });

  it('a bow in which nothing moves', () => {
    expect(reason(thoraxWith(bowWith(({ gyro }) => ({ gyro: times(gyro, 0) }))))).toMatch(/^no-movement/);
  });

  it('a turn that is called a bow', () => {
    const turn = sensorTrial(recordCalibration(8, made.kit, 'turn', { rate_Hz: 250 }), 'turn');
    const words = reason(thoraxWith({ movements: [{ movement: 'bow', trial: turn }] }));
    expect(words).toMatch(/axis-not-level: .* the axis lies (8\d|90)° from level, 35° are allowed/);
  });

  it('a bow whose axis wanders', () => {
    const wandering = (track: SensorTrack) => {
      const n = track.times_s.length;
      const gyro = new Float64Array(3 * n);
      const up = full(thoraxWith({})).R_sensor_segment;
      // Forward in the first half, to the side in the second.
      for (let k = 0; k < n; k++) {
        const axis = k < n / 2 ? 2 : 0;
        for (let c = 0; c < 3; c++) gyro[c * n + k] = -up[3 * c + axis]! * Math.max(0, Math.sin((8 * Math.PI * k) / n));
      }
      return { gyro };
    };
    expect(reason(thoraxWith(bowWith(wandering)))).toMatch(/axis-spread: .* wanders by \d\d°, 25° are allowed/);
  });

  it('a still pose in which the sensor turns', () => {
    const moving = ({ gyro, times_s }: SensorTrack) => ({
      gyro: gyro!.map((w, i) => w + 0.6 * Math.sin(7 * times_s[i % times_s.length]!)),
    });
    expect(reason(thoraxWith(stillWith(moving)))).toMatch(/not-still: .* turns by \d\d\.\d°\/s in still, 12°\/s/);
  });

  it('gravity that is 15 % off; 5 % is doubted', () => {
    expect(reason(thoraxWith(stillWith(({ acc }) => ({ acc: times(acc, 1.15) }))))).toMatch(
      /no-gravity: .*11\.\d\d m\/s²/,
    );
    const doubted = calibrated(
      made,
      stillWith(({ acc }) => ({ acc: times(acc, 1.05) })),
    );
    expect(doubted.value.mountings.get('thorax')?.ok).toBe(true);
    const doubts = doubted.diagnostics.filter(({ code }) => code === 'mounting-doubtful');
    expect(doubts.map(({ message }) => message).join()).toMatch(/the thorax feels 10\.\d\d m\/s² in still/);
  });

  it('a recording of a third of a second', () => {
    const short = ({ times_s, gyro, acc }: SensorTrack) => {
      const n = times_s.length;
      const cut = (data: Float64Array | null) =>
        Float64Array.from([0, 1, 2].flatMap((c) => [...data!.subarray(c * n, c * n + 80)]));
      return { times_s: times_s.slice(0, 80), gyro: cut(gyro), acc: cut(acc) };
    };
    expect(reason(thoraxWith(stillWith(short)))).toMatch(/^too-short/);
  });

  it('and says so in a diagnostic', () => {
    const { diagnostics } = calibrated(
      made,
      bowWith(({ gyro }) => ({ gyro: times(gyro, 0.3) })),
    );
    const missing = diagnostics.filter(({ code }) => code === 'mounting-missing');
    expect(missing.map(({ message }) => message).join()).toMatch(
      /^the thorax needs a clear bow of the thorax: in bow it turns by \d°/,
    );
  });

  it('but falls back on the axis said to face forward', () => {
    const plan = { ...DEFAULT_SENSOR_PLAN, facing: { thorax: '+X' as const } };
    const { movements } = bowWith(({ gyro }) => ({ gyro: times(gyro, 0.3) }));
    expect(full(thoraxWith({ movements, plan })).method).toBe('pose-and-facing');
  });
});

describe('calibrateSensors: limbs', () => {
  it('have their long axis from arms that hang, and no turn', () => {
    const made = session(2);
    const forearm = full(calibrated(made).value.mountings.get('lead_forearm'));
    expect([forearm.method, forearm.hasFlexionAxis, forearm.axisSpread_rad]).toEqual(['pose', false, null]);
    // 0.2° of accelerometer bias, 0.1° of sway.
    expect(found(made.kit, 'lead_forearm', forearm)[4]!).toBeGreaterThan(Math.cos(0.5 / DEG));
  });

  it('have a flexion axis where a sensor axis is said to face forward, under the name the day file has for the side', () => {
    for (const hand of ['right', 'left'] as const) {
      // The sensor's +Z faces forward: its mount turns segment X into sensor Z.
      const mount = turned([0, 1, 0], Math.PI / 2);
      const made = session(2, { kit: { hand, mounts: { lead_forearm: mount } } });
      const side = hand === 'right' ? 'left_forearm' : 'right_forearm';
      const facing = mount.z[0] > 0.9 ? ('+Z' as const) : ('-Z' as const);
      const plan = { ...DEFAULT_SENSOR_PLAN, facing: { [side]: facing } };
      const forearm = full(calibrated(made, { plan }).value.mountings.get('lead_forearm'));
      expect([forearm.method, forearm.hasFlexionAxis]).toEqual(['pose-and-facing', true]);
      expect(errorOf(made.kit, 'lead_forearm', forearm, 0), hand).toBeLessThan(1);
    }
  });

  it('are refused an axis that faces up', () => {
    const made = session(2, { kit: { mounts: { lead_forearm: turned([0, 1, 0], 0.3) } } });
    const plan = { ...DEFAULT_SENSOR_PLAN, facing: { left_forearm: '+Y' as const } };
    expect(reason(calibrated(made, { plan }).value.mountings.get('lead_forearm'))).toMatch(
      /^facing-upright: .* [01]° from/,
    );
  });
});

describe('calibrateSensors: the club', () => {
  const upShaft = (kit: Kit, mounting: SensorMounting): number => -found(kit, 'club', mounting)[1]!;

  it('has the shaft’s axis from hanging still: Y from head to grip', () => {
    for (const hand of ['right', 'left'] as const) {
      const made = session(6, { kit: { hand } });
      const club = full(calibrated(made).value.clubs.get(CLUB.id));
      expect([club.method, club.hasFlexionAxis, club.trials]).toEqual(['hanging', false, ['hang']]);
      // The generator's club has x down the shaft.
      expect(upShaft(made.kit, club)).toBeGreaterThan(Math.cos(0.5 / DEG));
    }
  });

  it('has it from the axis declared in the day file, grip to head; a left-hander’s sensor is mirrored', () => {
    for (const hand of ['right', 'left'] as const) {
      // Sensor +Z down the shaft.
      const mount = turned([0, 1, 0], Math.PI / 2);
      const made = session(6, { kit: { hand, mounts: { club: mount } } });
      const declared = clubPlan({ ...CLUB, sensorShaft: mount.z[0] > 0.9 ? '+Z' : '-Z' });
      const { clubs } = calibrated(made, { hanging: [], clubs: [declared] }).value;
      const club = full(clubs.get(CLUB.id));
      expect(club.method).toBe('declared');
      expect(club.bias_radPerS[0]).toBeNaN();
      expect(upShaft(made.kit, club), hand).toBeCloseTo(1, 9);
    }
  });

  it('believes the hanging club before the declared axis, and says where they differ', () => {
    const made = session(6);
    const clubs = [clubPlan({ ...CLUB, sensorShaft: '+X' }), clubPlan({ ...CLUB, sensorShaft: '-X' })];
    const doubts = clubs.flatMap((club) => {
      const { value, diagnostics } = calibrated(made, { clubs: [club] });
      expect(full(value.clubs.get(CLUB.id)).method).toBe('hanging');
      return diagnostics.filter(({ code }) => code === 'mounting-doubtful');
    });
    expect(doubts.length).toBeGreaterThan(0);
    expect(doubts[0]!.message).toMatch(/the shaft hangs \d+° from the axis declared/);
  });

  it('is absent without either, with what to do', () => {
    expect(reason(calibrated(session(6), { hanging: [] }).value.clubs.get(CLUB.id))).toMatch(
      /no-club-mounting: a trial in which .* hangs still by its grip, or sensor_shaft/,
    );
  });
});

describe('calibrateSensors: a suit that stores orientations alone', () => {
  /** R_world_sensor of someone who stands turned by 0.4 rad and, from 2.5 s on, bows by 30°. */
  function suit(trial: string, bows: boolean, R_segment_sensor: Float64Array): SensorTrial {
    const n = 600;
    const times_s = Float64Array.from({ length: n }, (_, k) => k / 100);
    const data = new Float64Array(9 * n);
    const R_world_segment = new Float64Array(9);
    for (let k = 0; k < n; k++) {
      const since = bows ? Math.max(0, Math.min(1, (times_s[k]! - 2.5) / 2)) : 0;
      rotationFromAngles(
        0.4,
        0,
        -(Math.PI / 6) * Math.sin(Math.PI * since) * Math.sin(Math.PI * since),
        'YXZ',
        R_world_segment,
      );
      mul3(R_world_segment, 0, R_segment_sensor, 0, data, 9 * k);
    }
    const { input } = session(1);
    return {
      ...input.still,
      head: { ...input.still.head, trial },
      sensors: new Map([
        [
          'thorax',
          {
            place: 'thorax',
            name: 'chest',
            rate_Hz: 100,
            times_s,
            gyro: null,
            acc: null,
            mag: null,
            orientation: present(data),
            trigger_s: null,
            clipped: new Uint8Array(n),
          },
        ],
      ]),
    };
  }

  it('has its mounting from the vertical and the rotation of the orientations', () => {
    const R_segment_sensor = new Float64Array(9);
    rotationFromAngles(1.1, -0.6, 2.3, 'YXZ', R_segment_sensor);
    const made = session(1);
    const { value } = calibrated(made, {
      still: suit('still', false, R_segment_sensor),
      movements: [{ movement: 'bow', trial: suit('bow', true, R_segment_sensor) }],
    });
    const thorax = full(value.mountings.get('thorax'));
    const product = new Float64Array(9);
    mul3(R_segment_sensor, 0, Float64Array.from(thorax.R_sensor_segment), 0, product, 0);
    expect(rotationAngle(product, 0) * DEG).toBeLessThan(1e-4);
    expect(thorax.gravity_mPerS2).toBeNaN();
    expect(thorax.bias_radPerS).toEqual([0, 0, 0]);
  });

  it('is refused where a sensor has neither gyro nor orientation', () => {
    const made = session(1);
    const still = changed(made.input.still, 'thorax', () => ({ gyro: null, orientation: absent('none', 'none') }));
    expect(reason(calibrated(made, { still }).value.mountings.get('thorax'))).toMatch(/^no-gyro/);
  });
});

describe('standingPose', () => {
  it('is the forward and side bend of pelvis and thorax, however the player stands in the room, and zero for a zeroed head', () => {
    const postures = {
      ...UPRIGHT,
      pelvis: { ...UPRIGHT.pelvis, turn: 25, side: 2, forward: 9 },
      thorax: { ...UPRIGHT.thorax, turn: 20, side: -1, forward: 4 },
    };
    const ws = createWorkspace({ poison: true });
    const trial = playerTrialOf(
      bodyIn(() => postures),
      { role: 'static' },
    );
    const pose = standingPose(trial, calibrate(trial, PLAYER, ws).value, ws);
    expect(pose.trial).toBe('swing-1');
    expect(pose.segments.pelvis!.forwardBend_rad * DEG).toBeCloseTo(9, 6);
    expect(pose.segments.pelvis!.sideBend_rad * DEG).toBeCloseTo(2, 6);
    expect(pose.segments.thorax!.forwardBend_rad * DEG).toBeCloseTo(4, 6);
    expect(pose.segments.thorax!.sideBend_rad * DEG).toBeCloseTo(-1, 6);
    expect(pose.segments.head).toEqual({ forwardBend_rad: 0, sideBend_rad: 0 });
  });

  it('leaves out a segment without its landmarks', () => {
    const { IJ: _, ...rest } = bodyIn(() => UPRIGHT);
    const ws = createWorkspace();
    const trial = playerTrialOf(rest, { role: 'static' });
    const pose = standingPose(trial, calibrate(trial, PLAYER, ws).value, ws);
    expect(pose.segments.thorax).toBeUndefined();
    expect(pose.segments.pelvis).toBeDefined();
  });
});
