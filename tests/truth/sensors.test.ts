import { beforeAll, describe, expect, it } from 'vitest';
import { IRON_7 } from '../../samples/generator/club.ts';
import type { Axes } from '../../samples/generator/geometry.ts';
import { seededPlayer } from '../../samples/generator/makeSwing.ts';
import { type KitOptions, makeKit } from '../../samples/generator/sensorKit.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { measureSensors, type SensorMeasured } from '../support/sensorAccuracy.ts';
import {
  FLAWLESS,
  fromSeparateTables,
  inventedSwing,
  type SensorCase,
  sensorCase,
  swingOfSession,
  USUAL,
  zeroedCase,
} from '../support/sensorCases.ts';

// Limits of the issue: angles of pelvis and thorax within 1° RMS at the true times; P2 to P9 within half a sample, P1 and P10 within 20 ms.
const ANGLE_deg = 1;
const HALF_SAMPLE_ms = 2;
const STILL_ms = 20;
const INNER = ['P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9'] as const;

/** Both hands, both kinds of club, each player another body and another session of sensors. */
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

function expectWithinLimits(measured: SensorMeasured): void {
  expect([...measured.missing.keys()]).toEqual([]);
  // Three angles of two segments at eleven positions.
  expect(measured.angles.rows.size).toBe(66);
  for (const [name, errors] of measured.angles.rows) {
    expect(errors.count, name).toBe(SEEDS.length);
    expect(errors.rms, name).toBeLessThan(ANGLE_deg);
  }
  for (const position of INNER) expect(measured.times.at(position).rms, position).toBeLessThan(HALF_SAMPLE_ms);
  for (const position of ['P1', 'P10']) expect(measured.times.at(position).rms, position).toBeLessThan(STILL_ms);
}

describe('swings recorded with five sensors', () => {
  let cases: readonly SensorCase[];
  let measured: SensorMeasured;
  beforeAll(() => {
    cases = SEEDS.map((seed) => sensorCase(seed, USUAL));
    measured = measureSensors(cases);
  });

  it('are of both hands and of driver and irons', () => {
    expect(new Set(cases.map(({ session }) => session.kit.hand)).size).toBe(2);
    expect(new Set(cases.map(({ plan }) => plan.club!.kind))).toEqual(new Set(['driver', 'iron']));
  });

  it('give the angles of pelvis and thorax within 1° and the positions within half a sample, with the bends of a marker static trial', () => {
    expectWithinLimits(measured);
  });

  it('give the angles within 1° also where the program itself found the position', () => {
    expect(measured.found.rows.size).toBe(66);
    for (const [name, errors] of measured.found.rows) expect(errors.rms, name).toBeLessThan(ANGLE_deg);
  });

  it('without a marker static trial hold the same limits against bends that are nought in the still pose', () => {
    const zeroed = cases.map(zeroedCase);
    expect(zeroed.every(({ session }) => session.zeroed.anatomicalFrom === null)).toBe(true);
    expect(zeroed.every(({ session }) => session.calibration.anatomicalFrom === 'static')).toBe(true);
    expectWithinLimits(measureSensors(zeroed, 'zeroed'));
  });

  it('find impact by its shock, the rest by shaft and forearms', () => {
    const methods = [...measured.methods.keys()];
    const of = (position: string): string[] => methods.filter((one) => one.startsWith(`${position} `));
    expect(of('P7')).toEqual(['P7 shock']);
    expect(of('P3')).toEqual(['P3 lead-forearm-horizontal']);
    expect(of('P5')).toEqual(['P5 lead-forearm-horizontal']);
    expect(of('P9')).toEqual(['P9 trail-forearm-horizontal']);
    expect(of('P4')).toEqual(['P4 shaft-reversal']);
  });
});

function recordOf({ trial, plan }: SensorCase, ws = createWorkspace()): SwingRecord {
  ws.reset();
  return analyseTrial(trial, plan, ws);
}

/** Largest differences of two records, which hold the same values and positions. */
function differences(a: SwingRecord, b: SwingRecord): { angle_deg: number; time_ms: number; angles: number } {
  const names = (record: SwingRecord): string[] =>
    record.cells.map(({ quantity, position, value }) => `${quantity}@${position} ${value === null}`);
  expect(names(b)).toEqual(names(a));
  const out = { angle_deg: 0, time_ms: 0, angles: 0 };
  for (const [i, { value, unit }] of a.cells.entries()) {
    if (value === null || unit !== 'deg') continue;
    out.angles += 1;
    out.angle_deg = Math.max(out.angle_deg, (Math.abs(b.cells[i]!.value! - value) * 180) / Math.PI);
  }
  expect(Object.keys(b.moments)).toEqual(Object.keys(a.moments));
  for (const [position, moment] of Object.entries(a.moments)) {
    const other = b.moments[position as 'P1']!;
    expect(other.found, position).toBe(moment.found);
    if (moment.found && other.found) {
      out.time_ms = Math.max(out.time_ms, 1000 * Math.abs(other.time_s - moment.time_s));
    }
  }
  return out;
}

/** Mountings of the sensors of `seed`, in a mirror across the segments' third axis. */
function mirroredMounts(seed: number): Readonly<Record<string, Axes>> {
  const mirrored = (R: Axes): Axes => ({
    x: [R.x[0], R.x[1], -R.x[2]],
    y: [R.y[0], R.y[1], -R.y[2]],
    z: [-R.z[0], -R.z[1], R.z[2]],
  });
  const { sensors } = makeKit(seed, seededPlayer(seed));
  return Object.fromEntries(sensors.map(({ place, mount }) => [place, mirrored(mount)]));
}

function flawless(seed: number, kit: KitOptions): SensorCase {
  return sensorCase(seed, { ...FLAWLESS, kit: { ...FLAWLESS.kit, ...kit } });
}

describe('laws of swings recorded with sensors', () => {
  // A ten-thousandth of the usual noise is left, which differs: 1e-5 °/s an axis and sample, 2e-5° in the angles as measured.
  const NOISE_deg = 1e-3;
  const NOISE_ms = 1e-3;
  const ALL_ANGLES = 132;

  it.each([1, 2])(
    'a mirrored player with mirrored sensors has the same angles and times under lead and trail: seed %i',
    (seed) => {
      const right = flawless(seed, { hand: 'right' });
      const left = flawless(seed, { hand: 'left', mounts: mirroredMounts(seed) });
      expect(left.session.plan.places.left_forearm).toBe('wrist-left');
      expect(left.trial.sensors.get('lead_forearm')!.name).toBe('wrist-right');
      const { angle_deg, time_ms, angles } = differences(recordOf(right), recordOf(left));
      expect(angles).toBe(ALL_ANGLES);
      expect(angle_deg).toBeLessThan(NOISE_deg);
      expect(time_ms).toBeLessThan(NOISE_ms);
    },
  );

  it('sensors that sit turned any other way in all trials give the same angles and times', () => {
    const seed = 2;
    const others = makeKit(seed + 100, seededPlayer(seed)).sensors;
    const mounts = Object.fromEntries(others.map(({ place, mount }) => [place, mount]));
    const one = flawless(seed, { hand: 'right' });
    const other = flawless(seed, { hand: 'right', mounts });
    const { angle_deg, time_ms, angles } = differences(recordOf(one), recordOf(other));
    expect(angles).toBe(ALL_ANGLES);
    expect(angle_deg).toBeLessThan(NOISE_deg);
    expect(time_ms).toBeLessThan(NOISE_ms);
  });

  it('one table a sensor gives the same as one table of all, to rounding', () => {
    const one = sensorCase(1, USUAL);
    const { angle_deg, time_ms, angles } = differences(recordOf(one), recordOf(fromSeparateTables(one)));
    expect(angles).toBe(ALL_ANGLES);
    expect(angle_deg).toBeLessThan(1e-9);
    expect(time_ms).toBeLessThan(1e-9);
  });

  it('swing A, then B, then A of one calibration give the same record, also when lent arrays start as NaN', () => {
    const a = sensorCase(1, USUAL);
    const b = swingOfSession(a.session, 101, inventedSwing(101, seededPlayer(1), IRON_7), USUAL);
    const calibration = structuredClone(a.session.calibration);
    const ws = createWorkspace({ poison: true });
    const first = recordOf(a, ws);
    const kept = JSON.stringify(first);
    expect(JSON.stringify(recordOf(b, ws))).not.toBe(kept);
    expect(JSON.stringify(first)).toBe(kept);
    expect(JSON.stringify(recordOf(a, ws))).toBe(kept);
    expect(JSON.stringify(recordOf(a))).toBe(kept);
    expect(a.session.calibration).toEqual(calibration);
  });
});
