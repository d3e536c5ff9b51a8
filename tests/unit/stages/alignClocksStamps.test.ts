import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DRIVER } from '../../../samples/generator/club.ts';
import { makeSwing, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { makeKit, placesInFile } from '../../../samples/generator/sensorKit.ts';
import type { Place } from '../../../samples/generator/sensorMotion.ts';
import { longTable, type SensorRows } from '../../../samples/generator/sensorSignals.ts';
import { recordSwing, type SensorRecording, type SensorSwingOptions } from '../../../samples/generator/sensorTrials.ts';
import type { Diagnostic } from '../../../src/base/diagnostics.ts';
import { readImu } from '../../../src/imu/readImu.ts';
import { intakeSensors } from '../../../src/intake/sensors/intakeSensors.ts';
import type { Hand } from '../../../src/model/dayPlan.ts';
import { DEFAULT_SENSOR_PLAN, type SensorPlan } from '../../../src/model/sensors.ts';
import type { SensorTrial } from '../../../src/model/trial.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { alignClocks } from '../../../src/stages/alignClocks.ts';
import { orientSensors } from '../../../src/stages/orientSensors.ts';
import { openData } from '../../support/openData.ts';
import { clubPlan, playerPlan, trialPlan } from '../../support/plans.ts';
import { type Made, sensor, sensorTrial } from './orient/support.ts';

const ws = (): ReturnType<typeof createWorkspace> => createWorkspace({ poison: true });
const UNITS = { timeUnit: 's', gyroUnit: 'deg/s', accUnit: 'm/s2' } as const;
const KNOCK: SensorPlan['align'] = { kind: 'knock', from_s: 0, to_s: 1 };
/** What one clock may show at two sensors of 250 Hz: a sample of each and 5 ms of travel. */
const ONE_CLOCK_ms = 13;

/** Bytes of tables to a trial. */
function taken(
  files: readonly { path: string; bytes: Uint8Array }[],
  plan: Partial<SensorPlan>,
  hand: Hand,
): SensorTrial {
  const who = playerPlan({ hand });
  const trial = trialPlan({
    file: files[0]!.path,
    files: files.map(({ path }) => path),
    source: 'sensors',
    player: who.id,
    sensors: { ...DEFAULT_SENSOR_PLAN, ...UNITS, ...plan },
  });
  const { value } = intakeSensors(readImu(files), { trial, player: who, club: clubPlan() }, createWorkspace());
  if (!value.ok) throw new Error(value.why.needed);
  return value.value;
}

interface Recorded {
  readonly recording: SensorRecording;
  readonly trial: (changed?: (rows: SensorRows, i: number) => SensorRows) => SensorTrial;
}

function recorded(seed: number, options: Partial<SensorSwingOptions>): Recorded {
  const player = seededPlayer(seed);
  const kit = makeKit(seed, player);
  const { swing } = makeSwing(seed, player, DRIVER, { rate_Hz: 10, noise_mm: 0 });
  const recording = recordSwing(seed, kit, swing, { rate_Hz: 250, ...options });
  const trial: Recorded['trial'] = (changed = (rows) => rows) =>
    taken(
      [{ path: 'swing.csv', bytes: longTable(recording.recorded.map(changed)) }],
      { places: placesInFile(kit) },
      kit.hand,
    );
  return { recording, trial };
}

/** The rows of a sensor whose clock shows so much more. */
const later = (one: SensorRows, by_s: number): SensorRows => ({
  ...one,
  offset_s: one.offset_s + by_s,
  rows: one.rows.map(([stamp, ...values]) => [stamp! + by_s, ...values]),
});

function doubts(trial: SensorTrial): readonly Diagnostic[] {
  const { value, diagnostics } = alignClocks(trial, DEFAULT_SENSOR_PLAN, ws());
  expect(value).toBe(trial);
  return diagnostics;
}

/** "by the thorax 64.9 ms after the club" → thorax, club, 64.9. */
function told(message: string): { late: Place; early: Place; ms: number }[] {
  return [...message.matchAll(/by the ([a-z ]+?) (\d+\.\d) ms after the ([a-z ]+?)(?=[,;])/g)].map(
    ([, late, ms, early]) => ({
      late: late!.replaceAll(' ', '_') as Place,
      early: early!.replaceAll(' ', '_') as Place,
      ms: Number(ms),
    }),
  );
}

describe('stamps of sensors that have clocks of their own', () => {
  it.each([
    ['with a knock', 1, {}, 'knock'],
    ['with a knock, another player', 4, {}, 'knock'],
    ['at other rates', 2, { rates_Hz: { pelvis: 100, club: 500 } }, 'knock'],
    ['with lost samples and jitter', 3, { lost: 0.02, jitter_s: 0.0005 }, 'knock'],
    ['without a knock, by the strike', 5, { knock: false }, 'strike'],
  ] as const)('are told: %s', (_, seed, options, by) => {
    const { recording, trial } = recorded(seed, options);
    const found = doubts(trial());
    expect(found.map(({ code, severity }) => [code, severity])).toEqual([['clocks-disagree', 'warning']]);
    const { message } = found[0]!;
    expect(message).toContain(`the same ${by} is stamped by`);
    const pairs = told(message);
    expect(pairs.length).toBeGreaterThan(0);
    // A knock of 10 ms is placed to 0.12 of a sample of each at 250 Hz (1 ms), to half a sample at 100 Hz where it is one sample long; a
    // strike to half a sample of each (4 ms); the message rounds to 0.1 ms.
    const slow = 'rates_Hz' in options;
    const within = slow ? 5.6 : by === 'knock' ? 1.1 : 4.1;
    for (const { late, early, ms } of pairs) {
      const true_ms = 1000 * (recording.offset_s[late]! - recording.offset_s[early]!);
      expect(Math.abs(ms - true_ms)).toBeLessThan(within);
    }
    // Every sensor that is clearly off from another is named: of those that feel the strike where there is no knock.
    const slowest_ms = slow ? 10 + 4 + 5 : ONE_CLOCK_ms;
    const named = new Set(pairs.flatMap(({ late, early }) => [late, early]));
    const felt = Object.entries(recording.offset_s).filter(([place]) => by === 'knock' || /club|forearm/.test(place));
    for (const [place, offset] of felt) {
      const off = felt.some(([, other]) => 1000 * Math.abs(offset! - other!) > slowest_ms + within);
      if (off) expect(named).toContain(place);
    }
  });

  it('are told with the times to set, and those times bring the clocks together', () => {
    const { recording, trial } = recorded(6, {});
    const { message } = doubts(trial())[0]!;
    expect(message).toMatch(/every sensor feels a clear knock in its first second: set align: \{knock_s: \[0, 1\]\}$/);
    const joined = alignClocks(trial(), { ...DEFAULT_SENSOR_PLAN, align: KNOCK }, ws());
    expect(joined.diagnostics.map(({ code }) => code)).toEqual(['clocks-aligned']);
    expect(doubts(joined.value)).toEqual([]);
    expect(Object.keys(recording.offset_s)).toHaveLength(joined.value.sensors.size);
  });

  it('are told with later times where the knock comes later, and with what to do where there is none', () => {
    const knocked = { at_s: 1.73, size: 40, width_s: 0.012 };
    const own = [
      sensor({ place: 'pelvis', knock: knocked, accNoise: 0.05, from_s: -1 }),
      sensor({ place: 'thorax', knock: knocked, accNoise: 0.05, from_s: -1, clock_s: 0.05 }),
    ];
    expect(doubts(sensorTrial(own))[0]!.message).toMatch(
      /every sensor feels a clear knock in that time from its first sample: set align: \{knock_s: \[2\.6, 2\.9\]\}$/,
    );
    const { message } = doubts(recorded(5, { knock: false }).trial())[0]!;
    expect(message).toMatch(
      /no clear knock before the swing is felt by all of these: knock once .*, or record a trigger$/,
    );
  });

  it('are told where one clock started 1000 s before the others', () => {
    const { trial } = recorded(2, { clocks: false });
    const far = trial((rows, i) => (i === 1 ? later(rows, 1000) : rows));
    const place = [...far.sensors].find(([, track]) => track.times_s[0]! > 900)![0];
    const { message } = doubts(far)[0]!;
    const pairs = told(message);
    expect(pairs.every(({ late, ms }) => late === place && Math.abs(ms - 1e6) < 2)).toBe(true);
    expect(pairs).toHaveLength(far.sensors.size - 1);
  });

  it('are told in each swing of the sample day, and no longer once its knock has joined them', () => {
    const folder = new URL('../../../samples/day/wren/sensors/', import.meta.url);
    const places = {
      pelvis: 'sacrum',
      thorax: 'sternum',
      left_forearm: 'wrist-left',
      right_forearm: 'wrist-right',
      club: 'shaft',
    };
    for (const name of ['1-driver', '2-iron7', '3-driver', '4-iron5'].flatMap((set) =>
      [1, 2, 3, 4].map((i) => `${set}-${i}.csv`),
    )) {
      const trial = taken([{ path: name, bytes: readFileSync(new URL(name, folder)) }], { places }, 'right');
      expect(
        doubts(trial).map(({ code }) => code),
        name,
      ).toEqual(['clocks-disagree']);
      const joined = alignClocks(
        trial,
        { ...DEFAULT_SENSOR_PLAN, align: { kind: 'knock', from_s: 0, to_s: 0.6 } },
        ws(),
      );
      expect(
        joined.diagnostics.map(({ code }) => code),
        name,
      ).toEqual(['clocks-aligned']);
      expect(doubts(joined.value), name).toEqual([]);
    }
  });
});

describe('stamps of sensors on one clock', () => {
  it.each([
    ['250 Hz', {}],
    ['no knock', { knock: false }],
    ['1000 Hz', { rate_Hz: 1000 }],
    ['100 Hz, no knock', { rate_Hz: 100, knock: false }],
    ['limits of range', { rate_Hz: 500, range: { gyro_degPerS: 2000, acc_mPerS2: 156 } }],
    ['lost samples and jitter', { lost: 0.02, jitter_s: 0.0005 }],
    ['rates that differ', { rates_Hz: { pelvis: 100, club: 500 } }],
  ] as const)('are not doubted: %s', (_, options) => {
    for (const seed of [1, 2, 7]) expect(doubts(recorded(seed, { clocks: false, ...options }).trial())).toEqual([]);
  });

  it('are not doubted in a recording of people who walk, sit and turn', ({ skip }) => {
    const places = { pelvis: 'hip', thorax: 'upper_back', left_forearm: 'hand_left', head: 'lower_back' };
    const files = Object.values(places).map((name) => ({ name, path: openData(`imu/body/${name}.csv`) }));
    if (files.some(({ path }) => path === null)) skip('open data is not here');
    const tables = files.map(({ name, path }) => ({ path: `${name}.csv`, bytes: readFileSync(path!) }));
    const trial = taken(tables, { places, gyroUnit: 'rad/s', useQuaternions: false }, 'right');
    expect(trial.sensors.size).toBe(4);
    expect(doubts(trial)).toEqual([]);
  });
});

/** A pulse of 12 ms upon what a made sensor feels, at a time of its stamps. */
function struck({ track, ...rest }: Made, at_s: number, size: number): Made {
  const acc = track.acc!.slice();
  const n = track.times_s.length;
  track.times_s.forEach((time, k) => {
    const x = (time - at_s) / 0.012;
    if (Math.abs(x) < 0.5)
      for (let c = 0; c < 3; c++)
        acc[c * n + k]! += size * (0.5 + 0.5 * Math.cos(2 * Math.PI * x)) * [0.6, -0.64, 0.48][c]!;
  });
  return { track: { ...track, acc }, ...rest };
}

describe('shocks and stamps', () => {
  const pelvis = sensor({ place: 'pelvis', accNoise: 0.05, seed: 3 });
  const club = sensor({ place: 'club', accNoise: 0.05, seed: 4 });
  const told_ms = (made: readonly Made[]): number[] =>
    doubts(sensorTrial(made)).flatMap(({ message }) => told(message).map(({ ms }) => ms));

  // Two samples of 240 Hz and 5 ms: 13.3 ms.
  it.each([
    [0, false],
    [8, false],
    [12.5, false],
    [14.5, true],
    [40, true],
    [-40, true],
  ])('%d ms apart: told is %s', (apart_ms, is) => {
    const ms = told_ms([struck(pelvis, 0.5, 40), struck(club, 0.5 + apart_ms / 1000, 30)]);
    expect(ms).toHaveLength(is ? 1 : 0);
    if (is) expect(Math.abs(ms[0]! - Math.abs(apart_ms))).toBeLessThan(1);
  });

  it('several of them tell by how much all are moved, beside weak ones of one sensor', () => {
    const first = [0.4, 0.9, 1.5].reduce((made, at) => struck(made, at, 40), pelvis);
    const second = [0.43, 0.93, 1.53].reduce((made, at) => struck(made, at, 30), struck(club, 0.7, 9));
    expect(told_ms([first, second])[0]).toBeCloseTo(30, 0);
    const same = [0.4, 0.9, 1.5].reduce((made, at) => struck(made, at, 30), struck(club, 0.7, 28));
    expect(told_ms([first, same])).toEqual([]);
  });

  it.each([
    ['one sensor alone feels it', [struck(pelvis, 0.5, 40), club]],
    ['it is weak', [struck(pelvis, 0.5, 40), struck(club, 0.6, 6)]],
    ['they lie apart by more than the swings of the two sensors', [struck(pelvis, 0.4, 40), struck(club, 1.2, 40)]],
    ['the other feels it weakly beside its own', [struck(pelvis, 0.5, 40), struck(struck(club, 0.5, 6), 0.8, 40)]],
    ['none of several stands out', [struck(struck(pelvis, 0.4, 40), 0.9, 40), struck(struck(club, 0.5, 40), 1.27, 40)]],
    ['there is no accelerometer', [struck(pelvis, 0.5, 40), { ...club, track: { ...club.track, acc: null } }]],
    ['they come in the swing', [struck(pelvis, 2.6, 40), struck(club, 2.7, 40)]],
  ] as const)('contradict nothing where %s', (_, made) => {
    expect(told_ms(made)).toEqual([]);
  });
});

describe('clocks that start far apart', () => {
  it.each([1000, -1000, 86_400, 1.7e9])('by %d s are joined by a knock, and oriented as on one clock', (apart_s) => {
    const { trial, recording } = recorded(3, {});
    const plan: SensorPlan = { ...DEFAULT_SENSOR_PLAN, align: KNOCK };
    const near = alignClocks(trial(), plan, ws()).value;
    const joined = alignClocks(
      trial((rows, i) => (i % 2 === 1 ? later(rows, apart_s) : rows)),
      plan,
      ws(),
    );
    expect(joined.diagnostics.map(({ code }) => code)).toEqual(['clocks-aligned']);
    expect(joined.value.unusable!.size).toBe(0);
    // A sample more or less at the end of the window moves what is usual by a digit of the table, the centroid by 1e-7 s; stamps of 1.7e9 s
    // are 2.4e-7 s apart as doubles.
    const fineness_s = 1e-7 + 1e-15 * Math.abs(apart_s);
    const [first] = near.sensors.keys();
    const moved = joined.value.sensors.get(first!)!.times_s[0]! - near.sensors.get(first!)!.times_s[0]!;
    for (const [place, track] of near.sensors) {
      const own = joined.value.sensors.get(place)!;
      for (const k of [0, 300, track.times_s.length - 1]) {
        expect(Math.abs(own.times_s[k]! - moved - track.times_s[k]!)).toBeLessThan(fineness_s);
      }
    }
    const oriented = orientSensors(joined.value, { plan, bias: new Map() }, ws());
    expect([...oriented.value.sensors.values()].every(({ ok }) => ok)).toBe(true);
    expect(oriented.value.sensors.size).toBe(recording.recorded.length);
    expect(oriented.diagnostics.map(({ code }) => code)).not.toContain('outside-swing');
  });
});
