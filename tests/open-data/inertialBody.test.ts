/** Sensors on hip, lower back, upper back and hand of someone who stands, sits, walks and runs for 100 s (100 Hz; open data, MIT). */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readImu } from '../../src/imu/readImu.ts';
import { intakeSensors } from '../../src/intake/sensors/intakeSensors.ts';
import { DEFAULT_SENSOR_PLAN, type SensorPlace } from '../../src/model/sensors.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { orientSensors } from '../../src/stages/orientSensors.ts';
import { stillFigures } from '../../src/stages/shared/stillFigures.ts';
import { STILL, stillSearch, stillStretches } from '../../src/stages/shared/stillSensors.ts';
import { openData } from '../support/openData.ts';
import { playerPlan, trialPlan } from '../support/plans.ts';

const FILES: Readonly<Partial<Record<SensorPlace, string>>> = {
  pelvis: 'hip',
  thorax: 'upper_back',
  lead_hand: 'hand_left',
};
const DEG = Math.PI / 180;
const there = openData('imu/body/hip.csv') !== null;

/** Intake of the files, whose quaternion columns it reads and weighs against the gyro. */
function taken(): { readonly trial: SensorTrial; readonly codes: readonly string[] } {
  const recording = readImu(
    Object.values(FILES).map((file) => {
      const path = `imu/body/${file}.csv`;
      return { path, bytes: readFileSync(openData(path)!) };
    }),
  );
  const sensors = {
    ...DEFAULT_SENSOR_PLAN,
    places: { pelvis: 'hip', thorax: 'upper_back', left_hand: 'hand_left' },
  };
  const context = { trial: trialPlan({ sensors }), player: playerPlan({ hand: 'right' }), club: null };
  const { value, diagnostics } = intakeSensors(recording, context, createWorkspace());
  if (!value.ok) throw new Error(value.why.needed);
  return { trial: value.value, codes: diagnostics.map(({ code }) => code) };
}

describe.skipIf(!there)('100 s of everyday motion from raw signals', () => {
  const intake = there ? taken() : null;
  const trial = intake?.trial as SensorTrial;
  const tracks = [...(trial?.sensors.values() ?? [])];

  it('three sensors are taken in at 100 Hz, and the quaternions of none of them, because they contradict the gyro', () => {
    expect([...trial.sensors.keys()]).toEqual(['pelvis', 'thorax', 'lead_hand']);
    for (const track of tracks) {
      expect(track.rate_Hz).toBeCloseTo(100, 6);
      expect(track.times_s.length).toBe(10_000);
      expect(track.orientation.ok).toBe(false);
    }
    expect(intake!.codes.filter((code) => code === 'quaternions-contradict-gyro').length).toBe(3);
  });

  it.each(['inclination', 'mahony', 'madgwick'] as const)(
    'the %s filter runs over all of it, and at still moments agrees with gravity within 2°',
    (filter) => {
      const ws = createWorkspace({ poison: true });
      const plan = { ...DEFAULT_SENSOR_PLAN, filter };
      const { value, diagnostics } = orientSensors(trial, { plan, bias: new Map() }, ws);
      expect(value.clock.frames).toBe(10_000);
      expect(value.still_s).toBeNull();
      expect(diagnostics.filter(({ code }) => code === 'no-still-address').length).toBe(tracks.length);
      for (const track of tracks) {
        const found = value.sensors.get(track.place)!;
        if (!found.ok) throw new Error(found.why.needed);
        const { R, method } = found.value;
        expect(method).toBe(filter);
        expect(R.data.some((v) => Number.isNaN(v))).toBe(false);
        let worst = 0;
        let moments = 0;
        for (const { from, to } of stillStretches(stillSearch(track, null, ws), { ...STILL, least_s: 0.5 })) {
          const force = stillFigures(track, { from, to }).force_mPerS2!;
          const length = Math.hypot(...force);
          const at = 9 * ((from + to) >> 1);
          const up = force.reduce((sum, v, c) => sum + (R.data[at + 3 + c]! * v) / length, 0);
          worst = Math.max(worst, Math.acos(Math.min(1, up)) / DEG);
          moments += 1;
        }
        console.log(`${filter}, ${track.name}: ${moments} still moments, ${worst.toFixed(2)}° from gravity at most`);
        expect(moments).toBeGreaterThan(2);
        expect(worst).toBeLessThan(2);
      }
    },
  );
});
