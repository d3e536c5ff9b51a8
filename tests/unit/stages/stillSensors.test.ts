import { describe, expect, it } from 'vitest';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { stillFigures } from '../../../src/stages/shared/stillFigures.ts';
import {
  fastestMoment,
  QUITE_STILL,
  STILL,
  type Stretch,
  stillSearch,
  stillStretches,
} from '../../../src/stages/shared/stillSensors.ts';
import { DEG, FASTEST_s, type Made, type SensorOptions, sensor, TAKEAWAY_s } from './orient/support.ts';

const ws = createWorkspace({ poison: true });

function seconds(made: Made, stretches: readonly Stretch[]): [number, number][] {
  const { times_s } = made.track;
  return stretches.map(({ from, to }) => [times_s[from]!, times_s[to - 1]!]);
}

function found(options: SensorOptions, rule = STILL): [number, number][] {
  const made = sensor(options);
  return seconds(made, stillStretches(stillSearch(made.track, null, ws), rule));
}

const NOISE = { gyroNoise_degPerS: 0.1, accNoise: 0.05 };

describe('still stretches', () => {
  it('of a swing are the address and the finish, whatever the bias, which is found in the quietest half second', () => {
    for (const bias of [0, 2, -5]) {
      const stretches = found({ ...NOISE, bias_degPerS: [bias, 0, 1] });
      expect(stretches.length).toBe(2);
      expect(stretches[0]![0]).toBe(0);
      expect(stretches[0]![1]).toBeGreaterThan(TAKEAWAY_s);
      expect(stretches[0]![1]).toBeLessThan(TAKEAWAY_s + 0.15);
      expect(stretches[1]![0]).toBeGreaterThan(3.2);
    }
  });

  it('by the stiller rule end sooner in the takeaway', () => {
    expect(found(NOISE, QUITE_STILL)[0]![1]).toBeLessThan(found(NOISE)[0]![1]);
  });

  it('a turn at 5°/s is none, nor is a bias of 15°/s that might as well be a turn', () => {
    const made = sensor({ motion: { drift_radPerS: 5 * DEG } });
    expect(stillStretches(stillSearch(made.track, [0, 0, 0], ws), STILL)).toEqual([]);
    expect(found({ bias_degPerS: [15, 0, 0] })).toEqual([]);
  });

  it('end where samples are lost, and where the sensor is pushed though it does not turn', () => {
    expect(found({ lost: [[0.5, 0.7]] }).length).toBe(3);
    const pushed = found({ knock: { at_s: 1, size: 8, width_s: 0.2 } });
    expect(pushed.length).toBe(3);
    expect(pushed[0]![1]).toBeLessThan(1);
  });

  it('are those of the orientations where there is no gyro, and none where there are neither', () => {
    const bare = { withoutGyro: true, withOrientation: true };
    expect(found(bare).length).toBe(2);
    expect(found({ withoutGyro: true })).toEqual([]);
  });

  it('the fastest moment is that of the downswing', () => {
    const made = sensor(NOISE);
    const fastest = fastestMoment(stillSearch(made.track, null, ws))!;
    expect(Math.abs(fastest.time_s - FASTEST_s)).toBeLessThan(0.02);
    expect(fastest.rate_radPerS / DEG).toBeGreaterThan(600);
  });
});

describe('figures of a still stretch', () => {
  const stretch = { from: 0, to: 361 };

  it('give gravity, bias and noise as they were put in', () => {
    const made = sensor({ ...NOISE, bias_degPerS: [0.4, -0.7, 0.2] });
    const f = stillFigures(made.track, stretch);
    expect(f.duration_s).toBeCloseTo(1.5, 6);
    expect(Math.hypot(...f.force_mPerS2!)).toBeCloseTo(9.81, 1);
    [0.4, -0.7, 0.2].forEach((v, c) => {
      expect(Math.abs(f.rate_radPerS![c]! / DEG - v)).toBeLessThan(0.02);
    });
    // 1,080 differences: the noise to 5 %.
    expect(f.rateNoise_radPerS / DEG).toBeGreaterThan(0.095);
    expect(f.rateNoise_radPerS / DEG).toBeLessThan(0.105);
    // White noise alone: 0.1 / √361 = 0.005°/s and what its own wandering might hide.
    expect(f.rateMeanSd_radPerS / DEG).toBeLessThan(0.03);
    expect(f.directionSd_rad / DEG).toBeLessThan(0.1);
  });

  it('the deviation of the bias grows with sway and shrinks with time', () => {
    const at = (sway: number, seconds_: number): number => {
      const made = sensor({ ...NOISE, motion: { sway_rad: sway * DEG }, from_s: -6 });
      const to = made.track.times_s.findIndex((t) => t > TAKEAWAY_s);
      return stillFigures(made.track, { from: to - Math.round(240 * seconds_), to }).rateMeanSd_radPerS / DEG;
    };
    expect(at(0.3, 1)).toBeGreaterThan(5 * at(0, 1));
    expect(at(0.3, 6)).toBeLessThan(0.2 * at(0.3, 1));
  });

  it('a length of gravity that is off widens the direction: 2 % is 1.1°', () => {
    const made = sensor({ accBias: [0, 0, 0] });
    const scaled = { ...made.track, acc: made.track.acc!.map((v) => 1.02 * v) };
    expect(stillFigures(scaled, stretch).directionSd_rad / DEG).toBeCloseTo(1.12, 1);
  });
});
