import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readImu } from '../../src/imu/readImu.ts';
import { intakeSensors } from '../../src/intake/sensors/intakeSensors.ts';
import type { FileSensorPlace, SensorTrack } from '../../src/model/sensors.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { sensorPlan } from '../support/madeSensors.ts';
import { openData } from '../support/openData.ts';
import { clubPlan, playerPlan, trialPlan } from '../support/plans.ts';

function take(files: readonly string[], places: Partial<Record<FileSensorPlace, string>>) {
  const named = files.map((path) => ({ path, bytes: readFileSync(openData(path)!) }));
  const { value, diagnostics } = intakeSensors(readImu(named), {
    trial: trialPlan({ file: files[0]!, files, sensors: sensorPlan({ places }), role: 'functional', club: null }),
    player: playerPlan(),
    club: clubPlan(),
  });
  if (!value.ok) throw new Error(value.why.needed);
  return { trial: value.value as SensorTrial, diagnostics };
}

const BODY = ['hip', 'lower_back', 'upper_back', 'hand_left'].map((name) => `imu/body/${name}.csv`);

describe.skipIf(openData(BODY[0]!) === null)('open recording of four sensors on a body', () => {
  const sensors = (): SensorTrack[] => [...take(BODY, { pelvis: 'hip', head: 'lower_back' }).trial.sensors.values()];

  it('gives raw signals of four sensors whose gravity at rest is within 3 % of 9.81', () => {
    const tracks = sensors();
    expect(tracks.map((one) => one.name)).toEqual(['hip', 'lower_back', 'upper_back', 'hand_left']);
    for (const { times_s, rate_Hz, gyro } of tracks) {
      expect(times_s.length).toBe(10_000);
      expect(rate_Hz).toBeCloseTo(100, 6);
      expect(gyro!.every(Number.isFinite)).toBe(true);
    }
  });

  it('has quaternion columns that contradict the gyro of every sensor: none is used, each with the numbers', () => {
    for (const track of sensors()) {
      expect(track.orientation.ok).toBe(false);
      if (track.orientation.ok) continue;
      const { code, needed } = track.orientation.why;
      expect(code).toBe('quaternions-contradict-gyro');
      const numbers =
        /miss it by (\d+\.\d)° RMS over (\d+) windows of 0\.5 s that turn by (\d+\.\d)° RMS, limit (\d+\.\d)°; no order or direction fits \(the best, .*, misses by (\d+\.\d)°\)/.exec(
          needed,
        );
      expect(numbers, needed).not.toBeNull();
      const [, miss, windows, turn, limit, best] = numbers!.map(Number);
      expect(windows).toBeGreaterThan(500);
      // Even the best of four readings misses by more than the sensor turns; by more than twice the limit in any case.
      expect(best).toBeGreaterThan(2 * limit!);
      expect(miss).toBeGreaterThanOrEqual(best!);
      expect(turn).toBeGreaterThan(10);
    }
  });

  it('leaves out hip and lower back, which could each be the pelvis, until the day file names one', () => {
    const { trial, diagnostics } = take(BODY, {});
    expect([...trial.sensors.keys()]).toEqual(['thorax', 'lead_hand']);
    expect(diagnostics.find((one) => one.code === 'place-ambiguous')?.message).toContain('sensors: places: pelvis');
  });
});

const RIGID = 'imu/rigid/broad-06-fast-rotation-30s.csv';

describe.skipIf(openData(RIGID) === null)('open recording of a rigid body', () => {
  it('is read at its rate, its units settled by gravity, its reference orientation left alone', () => {
    const { trial, diagnostics } = take([RIGID], { thorax: 'broad-06-fast-rotation-30s' });
    const track = trial.sensors.get('thorax')!;
    // 1 / 0.0035 s: the step of the stamps as written (INDEX.md of the open data).
    expect(track.rate_Hz).toBeCloseTo(1 / 0.0035, 3);
    expect(track.mag).not.toBeNull();
    expect(track.orientation).toMatchObject({ ok: false, why: { code: 'no-quaternions' } });
    expect(trial.head.facts.rate_Hz.evidence).toContain('time stamps');
    const messages = diagnostics.map((one) => one.message).join('\n');
    expect(messages).toMatch(
      /the gyro is in rad\/s: in rad\/s the gyro foretells the tilt that gravity shows within \d\.\d°, in deg\/s within \d\d\.\d°/,
    );
    expect(messages).toContain('the accelerometer is in m/s2: gravity at rest is 9.9');
  });
});
