import { describe, expect, it } from 'vitest';
import { timeOf } from '../../src/model/clock.ts';
import { milesPerHour } from '../../src/model/units.ts';
import { fitPath } from '../../src/numeric/pathFit.ts';
import { fitPlane } from '../../src/numeric/planeFit.ts';
import { speedWords } from '../../src/report/sentences/numbers.ts';
import { EN } from '../../src/report/words/en.ts';
import { angleOf, pathInPlane, planeAngles, riseOf } from '../../src/stages/club/geometry.ts';
import { attackOf, headSpeedOf, pathOf } from '../../src/stages/clubDelivery.ts';

// Player frame G: X away from the player, Y up, target −Z; right of the target line is +X for a right-hander.
const RAD = Math.PI / 180;
const DEG = 180 / Math.PI;

/** Velocity of 1 m/s that lies in a plane of given slope and base line (right +), climbing toward the player, at a given attack angle. */
function velocityInPlane(attack_deg: number, slope_deg: number, direction_deg: number): number[] {
  const along = Math.asin(Math.sin(attack_deg * RAD) / Math.sin(slope_deg * RAD));
  const d = direction_deg * RAD;
  const base = [Math.sin(d), 0, -Math.cos(d)];
  const flat = Math.cos(slope_deg * RAD);
  const up = [-flat * Math.cos(d), Math.sin(slope_deg * RAD), -flat * Math.sin(d)];
  return base.map((x, i) => Math.cos(along) * x + Math.sin(along) * up[i]!);
}

describe('attack and path of a velocity that lies in a swing plane', () => {
  // Plane geometry: path = direction − asin(tan attack / tan slope). Rows F01 to F05 of the check values, given to 1e-8.
  it.each([
    ['F01', -4.3, 60, 0, 2.488059562],
    ['F02', -1.3, 47, 0, 1.212568195],
    ['F03', 3, 47, 0, -2.801220426],
    ['F04', 3, 45, 2, -1.004120812],
    ['F05', -5, 62, -2, 0.6662786614],
  ])('%s: attack %f° in a plane of %f° and direction %f° has a path of %f°', (_, attack, slope, direction, path) => {
    const v = velocityInPlane(attack, slope, direction);
    expect(Math.abs(attackOf(v).value * DEG - attack)).toBeLessThan(1e-9);
    expect(Math.abs(pathOf(v).value * DEG - path)).toBeLessThan(1e-8);
    const angles = { slope: slope * RAD, direction: direction * RAD };
    expect(Math.abs(pathInPlane(attack * RAD, angles) * DEG - path)).toBeLessThan(1e-8);
  });

  it('an attack steeper than the plane lies in no such plane', () => {
    expect(pathInPlane(-61 * RAD, { slope: 60 * RAD, direction: 0 })).toBeNaN();
  });

  it('F06: 44 m/s to the target, 0.8 m/s to the right, 1.5 m/s down', () => {
    // Elementary geometry, row F06, given to 1e-9.
    const v = [0.8, -1.5, -44];
    expect(Math.abs(headSpeedOf(v).value - 44.03282866)).toBeLessThan(1e-8);
    expect(Math.abs(attackOf(v).value * DEG - -1.95218665)).toBeLessThan(1e-8);
    expect(Math.abs(pathOf(v).value * DEG - 1.041626676)).toBeLessThan(1e-8);
  });
});

describe('face normal and velocity', () => {
  it('F07: loft 15°, face 2° right, the velocity of F06: 16.9787° apart in space, loft less attack 16.9522°', () => {
    // Geometry of the plane of both (Jorgensen, from memory); row F07, given to 1e-8. Its tilt of the spin axis is not a figure of the program.
    const v = [0.8, -1.5, -44];
    const flat = Math.cos(15 * RAD);
    const normal = [flat * Math.sin(2 * RAD), Math.sin(15 * RAD), -flat * Math.cos(2 * RAD)];
    expect(Math.abs(angleOf(normal, v) * DEG - 16.97870342)).toBeLessThan(1e-8);
    expect(Math.abs((riseOf(normal) - riseOf(v)) * DEG - 16.95218665)).toBeLessThan(1e-8);
  });
});

describe('speeds as players know them', () => {
  it('F11: 45 m/s are 100.6621331 miles per hour', () => {
    // A mile per hour is 0.44704 m/s exactly; row F11, given to seven decimals.
    expect(Math.abs(milesPerHour(45) - 100.6621331)).toBeLessThan(5e-8);
    expect(speedWords(EN, 45, 1)).toBe('45.0 m/s (101 mph)');
  });
});

describe('planes and arcs', () => {
  it('F08: 21 points of a circle of 1.6 m in a plane of 60° have its normal', () => {
    // Least-squares plane (the idea of Kwon and others 2012, from memory); row F08, z up: normal (0, −0.8660254038, 0.5).
    const points = new Float64Array(63);
    for (let i = 0; i < 21; i++) {
      const a = ((i - 10) / 10) * 1.2;
      const upslope = -1.6 * Math.cos(a);
      points.set([1.6 * Math.sin(a), upslope * Math.cos(60 * RAD), upslope * Math.sin(60 * RAD)], 3 * i);
    }
    const { normal, rms } = fitPlane(points, 21)!;
    const sign = normal[2]! < 0 ? -1 : 1;
    expect(Math.abs(sign * normal[1]! - -0.8660254038)).toBeLessThan(1e-9);
    expect(Math.abs(sign * normal[2]! - 0.5)).toBeLessThan(1e-9);
    expect(rms).toBeLessThan(1e-12);
    // The same normal, y and z of the row's axes as −x and y of G: 60° steep, base line toward the target; either sign of the normal.
    for (const way of [1, -1]) {
      const angles = planeAngles([-way * sign * normal[1]!, way * sign * normal[2]!, 0], [0.3, 0.1, -44]);
      expect(Math.abs(angles.slope * DEG - 60)).toBeLessThan(1e-8);
      expect(Math.abs(angles.direction * DEG)).toBeLessThan(1e-8);
    }
  });

  it('F10: on a circle of 1.6 m in a plane of 60°, 0.10 m of arc before its low point, the attack is −3.1007°', () => {
    // Plane geometry: asin(sin(d / R) · sin(slope)), row F10. Here read from the fit of 60 ms of samples at 45 m/s, 240 Hz.
    const n = 15;
    const times = new Float64Array(n);
    const points = new Float64Array(3 * n);
    const impact = 0.0017;
    for (let i = 0; i < n; i++) {
      times[i] = (i - (n - 1)) / 240;
      const a = (45 * (times[i]! - impact) - 0.1) / 1.6;
      const down = 1.6 * Math.cos(a);
      points[i] = down * Math.cos(60 * RAD);
      points[n + i] = -down * Math.sin(60 * RAD);
      points[2 * n + i] = -1.6 * Math.sin(a);
    }
    const v = new Float64Array(3);
    fitPath(times, points, n, 0)!.velocityAt(impact, v);
    // The model holds a circle at constant speed exactly; the ridge on nothing and σ of 2 µm leave rounding alone.
    expect(Math.abs(attackOf(v).value * DEG - -3.100719713)).toBeLessThan(1e-5);
    expect(Math.abs(headSpeedOf(v).value - 45)).toBeLessThan(1e-5);
  });

  it('F09: between two frames a head of 45 m/s goes 18 cm at 250 Hz and 9 cm at 500 Hz, one of 50 m/s 20.8333 cm at 240 Hz', () => {
    // Arithmetic, row F09, given to 1e-9 of its digits.
    const travel_cm = (speed: number, rate_Hz: number) => 100 * speed * timeOf({ rate_Hz, frames: 2 }, 1);
    expect(travel_cm(45, 250)).toBeCloseTo(18, 9);
    expect(travel_cm(45, 500)).toBeCloseTo(9, 9);
    expect(travel_cm(50, 240)).toBeCloseTo(20.8333333333, 9);
  });
});
