import { describe, expect, it } from 'vitest';
import type { RawSensor } from '../../../../src/intake/sensors/columns/rawSensor.ts';
import { clockFromStamps, detectTimeUnit } from '../../../../src/intake/sensors/signals/sensorClock.ts';
import { clockDiagnostics, settleClocks } from '../../../../src/intake/sensors/signals/settleClocks.ts';
import { sensorPlan } from '../../../support/madeSensors.ts';

function stamped(time: readonly number[], unit = ''): RawSensor {
  const rows = time.length;
  return {
    name: 'pelvis',
    file: 'swing.csv',
    rows,
    columns: { time: 'time', gyro: null, acc: null, mag: null, quaternion: null, trigger: null },
    time: Float64Array.from(time),
    gyro: new Float64Array(3 * rows),
    acc: null,
    mag: null,
    quaternion: null,
    quaternionOrder: 'letters',
    trigger: null,
    matrices: null,
    units: { time: unit, gyro: '', acc: '' },
    rate_Hz: null,
  };
}

const grid = (n: number, step: number, from = 0): number[] => Array.from({ length: n }, (_, i) => from + i * step);
const options = { plan: sensorPlan(), rate_Hz: null, insistRate: false };

describe('the unit of time', () => {
  it.each([
    ['s', 0.004],
    ['ms', 4],
    ['us', 4000],
    ['ns', 4e6],
  ] as const)('is %s for steps of %d at 250 Hz', (unit, step) => {
    expect(detectTimeUnit(Float64Array.from(grid(50, step)), null).value).toBe(unit);
  });

  it('is asked for where the step is no usual rate', () => {
    const [settled] = settleClocks([stamped(grid(50, 0.1))], options);
    expect(settled!.refusal?.code).toBe('time-unit-unknown');
    expect(settled!.refusal?.needed).toContain('set sensors: time_unit in the day file');
  });

  it('is refused with both readings where a stated one makes an impossible rate', () => {
    const [settled] = settleClocks([stamped(grid(50, 4), 's')], options);
    expect(settled!.refusal?.code).toBe('conflict-rate');
    expect(settled!.refusal?.needed).toMatch(
      /the table says s, which makes 0\.2500 Hz .* swing\.csv; the data show ms/,
    );
  });
});

describe('the rate', () => {
  it('is refused with both values where the day file sets another than the stamps show, and held under insist', () => {
    const sensor = stamped(grid(100, 0.004), 's');
    const [refused] = settleClocks([sensor], { ...options, rate_Hz: 500 });
    expect(refused!.refusal?.code).toBe('conflict-rate');
    expect(refused!.refusal?.needed).toMatch(
      /sets rate_Hz 500\.00 Hz, the time stamps of pelvis in swing\.csv show 250\.00 Hz/,
    );
    const [held] = settleClocks([sensor], { ...options, rate_Hz: 500, insistRate: true });
    expect(held!.refusal).toBeNull();
    expect(held!.clock!.rate_Hz).toBe(500);
    expect(held!.clock!.times_s[99]).toBeCloseTo(99 / 500, 12);
  });

  it('may differ between sensors', () => {
    const settled = settleClocks([stamped(grid(100, 0.004), 's'), stamped(grid(100, 0.01), 's')], options);
    expect(settled.map((one) => Math.round(one.clock!.rate_Hz))).toEqual([250, 100]);
  });

  it('is asked for without stamps', () => {
    const [settled] = settleClocks([{ ...stamped(grid(50, 1)), time: null }], options);
    expect(settled!.refusal?.needed).toContain('set rate_Hz in the day file');
  });
});

describe('time stamps', () => {
  it('that repeat, go backward or are missing are dropped and counted', () => {
    const time = grid(100, 0.0041);
    time[20] = time[19]!;
    time[40] = time[38]! - 0.001;
    time[60] = Number.NaN;
    const clock = clockFromStamps(stamped(time), 's');
    expect(clock.stampsDropped).toBe(3);
    expect(clock.sensor.rows).toBe(97);
    for (let i = 1; i < 97; i += 1) expect(clock.times_s[i]!).toBeGreaterThan(clock.times_s[i - 1]!);
  });

  it('of which one leaps ahead lose that one alone', () => {
    const time = grid(100, 0.0041);
    time[50] = time[50]! + 0.5;
    const clock = clockFromStamps(stamped(time), 's');
    expect(clock.stampsDropped).toBe(1);
    expect(clock.samplesDropped).toBe(1);
  });

  it('with gaps count the samples between them and tell the longest', () => {
    const time = grid(100, 0.0041).filter((_, i) => i !== 10 && (i < 50 || i > 54));
    const clock = clockFromStamps(stamped(time), 's');
    expect(clock.samplesDropped).toBe(6);
    expect(clock.longestStep_s).toBeCloseTo(6 * 0.0041, 9);
    expect(clockDiagnostics(clock, 'pelvis').map((one) => one.message)).toEqual([
      'pelvis: 6 samples are missing, the longest step is 24.6 ms at 0.201 s',
    ]);
  });

  it('rounded to milliseconds give back the true rate and even times, gaps kept', () => {
    const rate = 285.714;
    const rows = grid(600, 1).filter((i) => i < 300 || i > 310);
    const time = rows.map((i) => Math.round((1000 * i) / rate + 0.3));
    const clock = clockFromStamps(stamped(time), 'ms');
    expect(clock.rounded_s).toBe(0.001);
    // 600 roundings of 0.29 ms RMS leave the slope uncertain by far less than 0.01 Hz.
    expect(Math.abs(clock.rate_Hz - rate)).toBeLessThan(0.01);
    expect(clock.samplesDropped).toBe(11);
    expect(clock.stampsDropped).toBe(0);
    rows.forEach((i, at) => {
      // Half a rounding step and its mean error, not the ± 0.5 ms of each stamp.
      expect(Math.abs(clock.times_s[at]! - clock.times_s[0]! - i / rate)).toBeLessThan(0.0001);
    });
  });

  it('coarser than the rate are not taken for repeated ones', () => {
    const time = grid(400, 1).map((i) => Math.floor(i / 2));
    const clock = clockFromStamps(stamped(time), 'ms');
    expect(clock.stampsDropped).toBe(0);
    expect(clock.rate_Hz).toBeCloseTo(2000, 0);
  });

  it('that jitter more than rounding explains are used as they are', () => {
    const time = grid(200, 4).map((t, i) => t + (i % 3 === 0 ? 1 : 0) + (i % 7 === 0 ? 1 : 0));
    const clock = clockFromStamps(stamped(time), 'ms');
    expect(clock.rounded_s).toBeNull();
    expect(clock.jitter).toBeGreaterThan(0.1);
    expect(clock.times_s[1]).toBeCloseTo(0.004, 12);
    expect(clockDiagnostics(clock, 'pelvis')[0]!.code).toBe('stamps-jitter');
  });

  it('that mostly repeat are refused with the count', () => {
    const time = grid(100, 0.004).map((_, i) => 0.04 * Math.floor(i / 10));
    const [settled] = settleClocks([stamped(time, 's')], options);
    expect(settled!.refusal?.code).toBe('stamps-broken');
    expect(settled!.refusal?.needed).toContain('90 of 100 stamps of pelvis in swing.csv');
  });
});
