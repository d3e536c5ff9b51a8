import { describe, expect, it } from 'vitest';
import { DEFAULT_SENSOR_PLAN, type SensorPlan } from '../../../src/model/sensors.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { alignClocks } from '../../../src/stages/alignClocks.ts';
import { sensor, sensorTrial } from './orient/support.ts';

const KNOCK: SensorPlan = { ...DEFAULT_SENSOR_PLAN, align: { kind: 'knock', from_s: 0, to_s: 0.9 } };
const ws = (): ReturnType<typeof createWorkspace> => createWorkspace({ poison: true });

/** Error of each clock against that of the first sensor, ms: the same true instant must have the same time. */
function offsets(made: readonly ReturnType<typeof sensor>[], plan: SensorPlan): number[] {
  const { value } = alignClocks(sensorTrial(made), plan, ws());
  const zero = made.map(
    ({ track, clock_s }) => value.sensors.get(track.place)!.times_s[0]! - (track.times_s[0]! - clock_s),
  );
  return zero.map((z) => 1000 * (z - zero[0]!));
}

describe('clocks of sensors by a knock', () => {
  // Where the pulse is two samples long the centroid of a raised cosine is off by 0.104 of a step at worst, and noise adds a little: 0.12 of a
  // step of each sensor; far less where the pulse is longer. A chest at 655°/s turns by 0.3° in 0.5 ms.
  it.each([
    [100, 240, 0.02, 1.2],
    [200, 200, 0.01, 1.2],
    [225, 500, 0.02, 0.1],
    [500, 1000, 0.008, 0.12],
  ])('at %d and %d Hz, a pulse of %d s: the same to %d ms', (first, second, width_s, limit) => {
    for (let seed = 1; seed <= 20; seed++) {
      const knock = { at_s: 0.41 + 0.00031 * seed, size: 40, width_s };
      const noise = { accNoise: 0.05, gyroNoise_degPerS: 0.1, seed, to_s: 1.5 };
      const made = [
        sensor({ place: 'pelvis', rate_Hz: first, knock, ...noise, from_s: -0.0007 * seed }),
        sensor({ place: 'thorax', rate_Hz: second, knock: { ...knock, size: 90 }, clock_s: 0.137, ...noise }),
        sensor({
          place: 'club',
          rate_Hz: second,
          knock: { ...knock, size: 22 },
          clock_s: -0.09,
          jitter_s: 0.001,
          ...noise,
        }),
      ];
      for (const off of offsets(made, KNOCK)) expect(Math.abs(off)).toBeLessThan(limit);
    }
  });

  it('a sensor that feels none keeps its times and is named with the reason', () => {
    const knock = { at_s: 0.4, size: 40, width_s: 0.012 };
    const made = [
      sensor({ place: 'pelvis', accNoise: 0.05, to_s: 1.5 }),
      sensor({ place: 'thorax', knock, clock_s: 0.2, accNoise: 0.05, to_s: 1.5 }),
      sensor({ place: 'club', knock, accNoise: 0.05, to_s: 1.5 }),
    ];
    const { value, diagnostics } = alignClocks(sensorTrial(made), KNOCK, ws());
    expect([...value.unusable!]).toEqual([
      [
        'pelvis',
        {
          code: 'clock-not-joined',
          needed: expect.stringMatching(/sharp knock that .* between 0\.00 and 0\.90 s after/),
        },
      ],
    ]);
    expect(value.sensors.get('pelvis')).toBe(made[0]!.track);
    expect(value.sensors.get('thorax')).toBe(made[1]!.track);
    expect(diagnostics.map(({ code }) => code)).toEqual(['clock-not-joined', 'clocks-aligned']);
    expect(diagnostics[1]!.message).toMatch(
      /^by the knock at 0\.600 s, times moved by: the thorax 0\.0 ms, the club 200\.\d ms$/,
    );
  });

  it('takes no slow acceleration for a knock, however strong', () => {
    const slow = { at_s: 0.45, size: 60, width_s: 0.5 };
    const { value } = alignClocks(sensorTrial([sensor({ knock: slow, accNoise: 0.05, to_s: 1.5 })]), KNOCK, ws());
    expect(value.unusable!.get('thorax')?.code).toBe('clock-not-joined');
  });

  it('seeks only between the two times', () => {
    const late = { at_s: 1.1, size: 80, width_s: 0.012 };
    const alone = alignClocks(sensorTrial([sensor({ knock: late, to_s: 1.5 })]), KNOCK, ws());
    expect(alone.value.unusable!.size).toBe(1);
  });

  // The one on the thorax is switched on 0.3 s later: the knock is at 0.5 s of the pelvis and at 0.2 s of the thorax.
  it.each([
    [0, 0.6, 0, []],
    [0, 0.6, 0.02, []],
    [0, 0.6, 1000, []],
    [0, 0.6, -1000, []],
    [0.1, 0.3, 1000, ['pelvis']],
    [0.4, 0.6, 0, ['thorax']],
    [0.4, 0.6, -1000, ['thorax']],
  ])(
    'counts from %d to %d s from the first sample of each, the second on a clock %d s ahead: without %j',
    (from_s, to_s, clock_s, without) => {
      const own = { knock: { at_s: 0.5, size: 40, width_s: 0.012 }, accNoise: 0.05, to_s: 1.5 };
      const made = [sensor({ place: 'pelvis', ...own }), sensor({ place: 'thorax', ...own, from_s: 0.3, clock_s })];
      const plan: SensorPlan = { ...KNOCK, align: { kind: 'knock', from_s, to_s } };
      expect([...alignClocks(sensorTrial(made), plan, ws()).value.unusable!.keys()]).toEqual(without);
      // 0.12 of a step of each of 4.2 ms.
      if (without.length === 0) expect(Math.abs(offsets(made, plan)[1]!)).toBeLessThan(1);
    },
  );
});

describe('clocks of sensors by a trigger, and by their stamps', () => {
  it('a trigger moves all to the first sensor; one without it is left out', () => {
    const made = [
      sensor({ place: 'pelvis', trigger_s: 0.5 }),
      sensor({ place: 'thorax', trigger_s: 0.75, clock_s: 0.25 }),
      sensor({ place: 'club' }),
    ];
    const { value } = alignClocks(sensorTrial(made), { ...DEFAULT_SENSOR_PLAN, align: { kind: 'trigger' } }, ws());
    expect(value.sensors.get('thorax')!.times_s[0]).toBeCloseTo(0, 12);
    expect(value.sensors.get('thorax')!.trigger_s).toBe(0.5);
    expect(value.unusable!.get('club')?.needed).toMatch(/trigger/);
  });

  it('stamps change nothing', () => {
    const trial = sensorTrial([sensor(), sensor({ place: 'club', clock_s: 0.2 })]);
    expect(alignClocks(trial, DEFAULT_SENSOR_PLAN, ws())).toEqual({ value: trial, diagnostics: [] });
  });

  it('a trigger joins clocks however far apart they start', () => {
    const made = [
      sensor({ place: 'pelvis', trigger_s: 0.5 }),
      sensor({ place: 'thorax', trigger_s: 1000.5, clock_s: 1000 }),
    ];
    expect(Math.abs(offsets(made, { ...DEFAULT_SENSOR_PLAN, align: { kind: 'trigger' } })[1]!)).toBeLessThan(1e-9);
  });

  it('leaves its input as it is', () => {
    const knock = { at_s: 0.4, size: 40, width_s: 0.012 };
    const made = [sensor({ place: 'pelvis', knock }), sensor({ place: 'club', knock, clock_s: 0.2 })];
    const kept = made.map(({ track }) => track.times_s.slice());
    alignClocks(sensorTrial(made), KNOCK, ws());
    made.forEach(({ track }, i) => {
      expect(track.times_s).toEqual(kept[i]);
    });
  });
});
