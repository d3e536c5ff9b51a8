/** Sensors on hip, lower back, upper back and hand of someone who stands, sits, walks and runs for 100 s (100 Hz; open data, MIT). */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { absent } from '../../src/model/availability.ts';
import { DEFAULT_SENSOR_PLAN, type SensorPlace, type SensorTrack } from '../../src/model/sensors.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { orientSensors } from '../../src/stages/orientSensors.ts';
import { stillFigures } from '../../src/stages/shared/stillFigures.ts';
import { STILL, stillSearch, stillStretches } from '../../src/stages/shared/stillSensors.ts';
import { openData } from '../support/openData.ts';
import { sensorTrial } from '../unit/stages/orient/support.ts';

const FILES: Readonly<Partial<Record<SensorPlace, string>>> = {
  pelvis: 'hip',
  thorax: 'upper_back',
  lead_hand: 'hand_left',
};
const DEG = Math.PI / 180;
const there = openData('imu/body/hip.csv') !== null;

/** Columns: t_s, gyro rad/s, acc m/s²; the quaternions beside them are not read. */
function trackOf(place: SensorPlace, file: string): SensorTrack {
  const rows = readFileSync(openData(`imu/body/${file}.csv`)!, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').slice(0, 7).map(Number));
  const n = rows.length;
  const planar = (from: number): Float64Array =>
    Float64Array.from({ length: 3 * n }, (_, i) => rows[i % n]![from + Math.floor(i / n)]!);
  return {
    place,
    name: file,
    rate_Hz: 100,
    times_s: Float64Array.from(rows, (row) => row[0]! - 40),
    gyro: planar(1),
    acc: planar(4),
    mag: null,
    orientation: absent('not-read', 'orientations that fit the gyro'),
    trigger_s: null,
    clipped: new Uint8Array(n),
  };
}

describe.skipIf(!there)('100 s of everyday motion from raw signals', () => {
  const tracks = there ? Object.entries(FILES).map(([place, file]) => trackOf(place as SensorPlace, file)) : [];
  const trial = sensorTrial(tracks.map((track) => ({ track }) as never));

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
