import { describe, expect, it } from 'vitest';
import { DRIVER, IRON_7 } from '../../../samples/generator/club.ts';
import {
  type Axes,
  dot,
  followedBy,
  length,
  RAD,
  relative,
  scale,
  sub,
  turned,
  type Vec,
} from '../../../samples/generator/geometry.ts';
import { makeSwing, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { type Kit, makeKit } from '../../../samples/generator/sensorKit.ts';
import { felt, forearmRise, GRAVITY_mPerS2, PLACES, swingFrame } from '../../../samples/generator/sensorMotion.ts';
import type { SensorRows } from '../../../samples/generator/sensorSignals.ts';
import { recordCalibration, recordHanging, recordSwing } from '../../../samples/generator/sensorTrials.ts';
import { anglesOf, sensorTruth, zeroedAxes } from '../../../samples/generator/sensorTruth.ts';

const CLEAN = { rate_Hz: 1000, noise: 0, digits: [9, 9, 9], clocks: false } as const;
const USUAL = { rate_Hz: 250 };

const swingOf = (seed: number) =>
  makeSwing(seed, seededPlayer(seed), seed % 2 === 0 ? DRIVER : IRON_7, { rate_Hz: 240, noise_mm: 0 }).swing;
const kitOf = (seed: number, options: Parameters<typeof makeKit>[2] = {}): Kit =>
  makeKit(seed, seededPlayer(seed), options);

const gyroOf = (row: readonly number[]): Vec => [row[1]!, row[2]!, row[3]!];
const accOf = (row: readonly number[]): Vec => [row[4]!, row[5]!, row[6]!];
const rowsOf = (recorded: readonly SensorRows[], place: string) => recorded.find((one) => one.sensor.place === place)!;

/** Angle between two sets of axes, degrees. */
function between(a: Axes, b: Axes): number {
  const R = relative(a, b);
  return Math.acos(Math.max(-1, Math.min(1, (R.x[0] + R.y[1] + R.z[2] - 1) / 2))) / RAD;
}

describe('what a sensor feels', () => {
  it('on an arm that turns evenly about an upright axis: its rate, and ω²r toward the axis with gravity up', () => {
    const rate = 3;
    const motion = (t: number) => {
      const axes = turned([0, 1, 0], rate * t);
      return { axes, at: scale(axes.x, 0.7) };
    };
    for (const t of [0, 0.4, 1.9]) {
      const { axes, rate: w, force } = felt(motion, t);
      expect(length(sub(w, [0, rate, 0]))).toBeLessThan(1e-9);
      expect(dot(axes.x, force)).toBeCloseTo(-rate * rate * 0.7, 6);
      expect(force[1]).toBeCloseTo(9.81, 6);
    }
  });

  it.each([1, 2, 3])('adds up to the true rotation of every segment, also across contact: seed %i', (seed) => {
    const swing = swingOf(seed);
    const kit = kitOf(seed, { places: PLACES, flawless: true, hand: 'right' });
    for (const { sensor, rows, offset_s } of recordSwing(seed, kit, swing, CLEAN).recorded) {
      const axesAt = (stamp: number): Axes =>
        followedBy(swingFrame(swing, sensor.place, stamp - offset_s).axes, sensor.mount);
      let axes = axesAt(rows[0]![0]!);
      let worst = 0;
      for (let i = 1; i < rows.length; i += 1) {
        const before = gyroOf(rows[i - 1]!);
        const now = gyroOf(rows[i]!);
        const step = (rows[i]![0]! - rows[i - 1]![0]!) * RAD;
        const mean: Vec = [(before[0] + now[0]) / 2, (before[1] + now[1]) / 2, (before[2] + now[2]) / 2];
        const angle = length(mean) * step;
        if (angle > 0) axes = followedBy(axes, turned(scale(mean, 1 / length(mean)), angle));
        worst = Math.max(worst, between(axes, axesAt(rows[i]![0]!)));
      }
      // The sample in which the club loses its speed is halved by the rule: up to 10 rad/s over half a millisecond, 0.3°.
      expect(worst, sensor.place).toBeLessThan(
        ['club', 'trail_forearm', 'trail_upper_arm'].includes(sensor.place) ? 0.3 : 0.02,
      );
    }
  });

  it('is gravity alone at address, in the axes of the sensor, and the bias alone of the gyro', () => {
    const kit = kitOf(4);
    const swing = swingOf(4);
    const mirror = kit.hand === 'left' ? -1 : 1;
    for (const { sensor, rows, offset_s } of recordSwing(4, kit, swing, { ...CLEAN, clocks: true }).recorded) {
      const { axes } = swingFrame(swing, sensor.place, 0);
      const up: Vec = [axes.x[1], axes.y[1], mirror * axes.z[1]];
      for (const row of rows) {
        const t = row[0]! - offset_s;
        if (t < -0.3 || t > 0.4) continue;
        const acc = sub(accOf(row), sensor.accBias_mPerS2);
        expect(length(acc)).toBeCloseTo(9.81, 5);
        const { x, y, z } = sensor.mount;
        expect(dot(x, up)).toBeCloseTo(acc[0] / 9.81, 6);
        expect(dot(y, up)).toBeCloseTo(acc[1] / 9.81, 6);
        expect(dot(z, up)).toBeCloseTo(acc[2] / 9.81, 6);
        expect(length(sub(gyroOf(row), sensor.gyroBias_degPerS))).toBeLessThan(1e-6);
      }
    }
  });
});

describe('a left-hander with sensors', () => {
  it('is the mirror image: with mirrored mountings acc (x, y, −z) and gyro (−x, −y, z), lead and trail as they were', () => {
    const mirrored = (R: Axes): Axes => ({
      x: [R.x[0], R.x[1], -R.x[2]],
      y: [R.y[0], R.y[1], -R.y[2]],
      z: [-R.z[0], -R.z[1], R.z[2]],
    });
    const right = kitOf(5, { hand: 'right', flawless: true });
    const mounts = Object.fromEntries(right.sensors.map(({ place, mount }) => [place, mirrored(mount)]));
    const left = kitOf(5, { hand: 'left', flawless: true, mounts });
    expect(left.sensors.map(({ name }) => name)).toEqual(['sacrum', 'sternum', 'wrist-right', 'wrist-left', 'shaft']);
    // The shock of contact is no part of the body's motion: it has a direction of its own in the sensor.
    const until = ({ rows, offset_s }: SensorRows) => rows.filter(([t]) => t! - offset_s < swing.setup.contact);
    const swing = swingOf(5);
    const a = recordSwing(5, right, swing, CLEAN).recorded;
    const b = recordSwing(5, left, swing, CLEAN).recorded;
    for (const [i, one] of a.entries()) {
      const other = until(b[i]!);
      for (const [k, row] of until(one).entries()) {
        const [gx, gy, gz] = gyroOf(row);
        const [ax, ay, az] = accOf(row);
        expect(length(sub(gyroOf(other[k]!), [-gx, -gy, gz]))).toBeLessThan(1e-6);
        expect(length(sub(accOf(other[k]!), [ax, ay, -az]))).toBeLessThan(1e-6);
      }
    }
  });
});

describe('a recorded swing', () => {
  const swing = swingOf(6);
  const kit = kitOf(6);
  const { contact } = swing.setup;
  const made = recordSwing(6, kit, swing, USUAL);

  it('begins with a knock that every sensor feels in its first 0.6 s, and is then still for more than a second', () => {
    for (const { rows, offset_s } of made.recorded) {
      const start = rows[0]![0]!;
      const knocked = rows.filter((row) => length(accOf(row)) > GRAVITY_mPerS2 + 10 && row[0]! - offset_s < 0);
      expect(knocked.length).toBeGreaterThanOrEqual(1);
      expect(knocked.length).toBeLessThanOrEqual(3);
      for (const [time] of knocked) expect(time! - start).toBeLessThan(0.6);
      expect(0.43 - made.knock!.at_s).toBeGreaterThan(0.8);
    }
  });

  it('shows contact first in the sample after it, by more than 100 m/s² on the club', () => {
    const { rows, offset_s } = rowsOf(made.recorded, 'club');
    const next = rows.findIndex(([t]) => t! - offset_s >= contact);
    const jump = (i: number): number => length(sub(accOf(rows[i]!), accOf(rows[i - 1]!)));
    expect(jump(next)).toBeGreaterThan(100);
    expect(jump(next - 1)).toBeLessThan(100);
    expect(rows[next]![0]! - rows[next - 1]![0]!).toBeCloseTo(0.004, 9);
  });

  it('has clocks that disagree by tens of milliseconds, and rates, lost samples and range as asked', () => {
    const offsets = Object.values(made.offset_s);
    expect(Math.max(...offsets) - Math.min(...offsets)).toBeGreaterThan(0.01);
    const other = recordSwing(6, kit, swing, {
      ...USUAL,
      rates_Hz: { club: 500 },
      lost: 0.02,
      jitter_s: 0.0003,
      range: { gyro_degPerS: 1000, acc_mPerS2: 157 },
    });
    const club = rowsOf(other.recorded, 'club').rows;
    const steps = club.slice(1).map((row, i) => row[0]! - club[i]![0]!);
    expect([...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)]).toBeCloseTo(0.002, 4);
    expect(Math.max(...steps)).toBeGreaterThan(0.0035);
    expect(Math.max(...club.map((row) => Math.max(...gyroOf(row))))).toBe(1000);
  });

  it('is written as one table in the order of its stamps, or as one table a sensor', () => {
    const text = new TextDecoder().decode(made.table()).trimEnd().split('\n');
    expect(text[0]).toBe('time_s,sensor,gyro_x,gyro_y,gyro_z,acc_x,acc_y,acc_z');
    expect(text.length - 1).toBe(made.recorded.reduce((sum, { rows }) => sum + rows.length, 0));
    expect(text.every((line) => line.split(',').length === 8)).toBe(true);
    const stamps = text.slice(1).map((line) => Number(line.split(',')[0]));
    for (let i = 1; i < stamps.length; i += 1) expect(stamps[i]!).toBeGreaterThanOrEqual(stamps[i - 1]!);
    const own = made.tables();
    expect([...own.keys()]).toEqual(made.recorded.map(({ sensor }) => sensor.name));
    expect(new TextDecoder().decode(own.get('shaft')).split('\n')[1]).toBe(
      rowsOf(made.recorded, 'club').rows[0]!.join(','),
    );
  });
});

describe('trials that show the mountings', () => {
  const kit = kitOf(7);

  it('stand still: gravity steady within a fifth of a degree, no club', () => {
    const { recorded } = recordCalibration(7, kit, 'still', { ...CLEAN, rate_Hz: 100 });
    expect(recorded.map(({ sensor }) => sensor.place)).not.toContain('club');
    for (const { rows } of recorded) {
      expect(rows.length).toBeGreaterThanOrEqual(295);
      const first = accOf(rows[0]!);
      for (const row of rows) {
        const angle = Math.acos(Math.min(1, dot(first, accOf(row)) / (length(first) * length(accOf(row)))));
        expect(angle / RAD).toBeLessThan(0.4);
      }
    }
  });

  it.each([
    ['bow', 'thorax', 30],
    ['pelvic-tilt', 'pelvis', 10],
  ] as const)('%s: the %s turns mostly about its own third axis, by about %i°', (movement, place, reach) => {
    const { sensor, rows } = rowsOf(recordCalibration(7, kit, movement, { ...CLEAN, sway: 0 }).recorded, place);
    let about = 0;
    let most = 0;
    let least = 0;
    const { x, y, z } = sensor.mount;
    for (const row of rows) {
      const [a, b, c] = sub(gyroOf(row), sensor.gyroBias_degPerS);
      const w: Vec = [x[0] * a + y[0] * b + z[0] * c, x[1] * a + y[1] * b + z[1] * c, x[2] * a + y[2] * b + z[2] * c];
      if (length(w) > 5) expect(Math.abs(w[2]) / length(w)).toBeGreaterThan(Math.cos(2.1 * RAD));
      about += w[2] / 1000;
      most = Math.max(most, about);
      least = Math.min(least, about);
    }
    expect(Math.max(most, -least)).toBeGreaterThan(0.9 * reach);
    expect(Math.max(most, -least)).toBeLessThan(1.1 * reach);
    // Forward first: the negative way about an axis to the right, whatever the hand.
    if (movement === 'bow') expect(most).toBeLessThan(0.05);
    // Back where it began.
    expect(Math.abs(about)).toBeLessThan(0.05);
  });

  it('hang the club with its shaft straight down', () => {
    const { sensor, rows } = recordHanging(7, kit, { ...CLEAN, sway: 0 }).recorded[0]!;
    expect(sensor.place).toBe('club');
    const acc = sub(accOf(rows[100]!), sensor.accBias_mPerS2);
    const down: Vec = [sensor.mount.x[0], sensor.mount.y[0], sensor.mount.z[0]];
    expect(dot(down, acc) / 9.81).toBeCloseTo(-1, 9);
  });
});

describe('the truth for sensors', () => {
  const swing = swingOf(8);
  const truth = sensorTruth(swing);

  it('has the forearms level at P3, P5 and P9, later or earlier than the whole arm by tens of milliseconds at most', () => {
    expect(forearmRise(swing, 'lead', truth.time_s.P3)).toBeCloseTo(0, 9);
    expect(forearmRise(swing, 'lead', truth.time_s.P5)).toBeCloseTo(0, 9);
    expect(forearmRise(swing, 'trail', truth.time_s.P9)).toBeCloseTo(0, 9);
  });

  it('is level and upright in the standing pose where it is against that pose', () => {
    for (const segment of ['pelvis', 'thorax'] as const) {
      const bend = segment === 'pelvis' ? 9 : 4;
      const zeroed = anglesOf(zeroedAxes(turned([0, 0, 1], -bend * RAD), segment));
      for (const value of Object.values(zeroed)) expect(value).toBeCloseTo(0, 12);
      // Without side bend the two forward bends differ by that of the pose: here at any turn.
      const leaning = followedBy(turned([0, 1, 0], -0.8), turned([0, 0, 1], -0.5));
      expect(anglesOf(leaning).forward_bend - anglesOf(zeroedAxes(leaning, segment)).forward_bend).toBeCloseTo(
        bend * RAD,
        12,
      );
    }
    expect(truth.anatomical.P1['pelvis.turn']).toBe(0);
  });
});
