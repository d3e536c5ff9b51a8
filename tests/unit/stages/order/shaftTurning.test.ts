/** The turning of a shaft whose motion is written down. */
import { describe, expect, it } from 'vitest';
import { MEASURED, type Track } from '../../../../src/model/track.ts';
import { createRandom } from '../../../../src/numeric/random.ts';
import {
  derivative,
  derivativeSd,
  fitAngle,
  newAnglePolynomial,
} from '../../../../src/stages/order/anglePolynomial.ts';
import { shaftPeaks } from '../../../../src/stages/order/shaftTurning.ts';

const RATE_Hz = 240;
const FRAMES = 120;
/** rad/s at the peak, and the frame of it. */
const FASTEST = 35;
const AT = 80.4;
/** Out of the plane, rad: the shaft moves on a cone. */
const CONE = 0.2;
/** The speed falls to 0 so long before and after the peak. */
const HALF_s = 0.12;

/** Direction at a frame: about Z by the integral of FASTEST (1 − (t / HALF)²), CONE above its plane. */
function track(noise: () => number = () => 0): Track<3> {
  const data = new Float64Array(3 * FRAMES);
  for (let f = 0; f < FRAMES; f++) {
    const t = (f - AT) / RATE_Hz;
    const angle = FASTEST * (t - (t * t * t) / (3 * HALF_s * HALF_s));
    const d = [Math.cos(CONE) * Math.cos(angle), Math.cos(CONE) * Math.sin(angle), Math.sin(CONE)].map(
      (v) => v + noise(),
    );
    const length = Math.hypot(d[0]!, d[1]!, d[2]!);
    for (let c = 0; c < 3; c++) data[c * FRAMES + f] = d[c]! / length;
  }
  const state = new Uint8Array(FRAMES).fill(MEASURED);
  return {
    dimension: 3,
    clock: { rate_Hz: RATE_Hz, frames: FRAMES },
    data,
    state,
    noise: 0,
    provenance: 'written down',
  };
}

const NORMAL = [0, 0, 1];

describe('the fastest turning of a shaft', () => {
  it('is that of its direction, about the plane’s normal what of it lies there', () => {
    const { size, plane } = shaftPeaks(track(), NORMAL, 80, 40, 100, 95, 0);
    // On a cone the direction moves with cos, its cross product with its rate has cos² along the normal.
    expect(size!.speed_radPerS).toBeCloseTo(FASTEST * Math.cos(CONE), 5);
    expect(plane!.speed_radPerS).toBeCloseTo(FASTEST * Math.cos(CONE) * Math.cos(CONE), 5);
    for (const peak of [size!, plane!]) {
      expect(peak.at).toBeCloseTo(AT, 3);
      expect(peak.rising).toBe(false);
    }
  });

  it('still rises where the samples end before it: carried on to impact, with its slope', () => {
    const impact = AT - 10.5;
    const { size } = shaftPeaks(track(), NORMAL, 68, 40, impact, 69, 0);
    const t = -10.5 / RATE_Hz;
    expect(size).toMatchObject({ rising: true, atSd: 0 });
    expect(size!.at).toBeCloseTo(impact, 10);
    expect(size!.speed_radPerS).toBeCloseTo(FASTEST * Math.cos(CONE) * (1 - (t * t) / (HALF_s * HALF_s)), 3);
    const slope = (-2 * FASTEST * Math.cos(CONE) * t) / (HALF_s * HALF_s * RATE_Hz);
    expect(size!.rise).toBeCloseTo(slope, 3);
  });

  it('uses no sample after the last one before the strike', () => {
    const struck = track();
    for (let f = 90; f < FRAMES; f++) for (let c = 0; c < 3; c++) struck.data[c * FRAMES + f] = c === 0 ? 1 : 0;
    expect(shaftPeaks(struck, NORMAL, 80, 40, 89.5, 89, 0)).toEqual(shaftPeaks(track(), NORMAL, 80, 40, 89.5, 89, 0));
  });

  it('has a ± that is what the noise does', () => {
    const random = createRandom(11);
    const sd = 0.0005;
    const runs = 400;
    let speed = 0;
    let at = 0;
    for (let run = 0; run < runs; run++) {
      const { size } = shaftPeaks(
        track(() => sd * random.normal()),
        NORMAL,
        80,
        40,
        100,
        95,
        sd,
      );
      const high = (size!.speed_radPerS - FASTEST * Math.cos(CONE)) / size!.speedSd_radPerS;
      const place = (size!.at - AT) / size!.atSd;
      speed += (high * high) / runs;
      at += (place * place) / runs;
    }
    // 400 runs: 3.5 %; the highest of a noisy curve is a little high, and now and then a higher degree is taken.
    for (const ratio of [Math.sqrt(speed), Math.sqrt(at)]) {
      expect(ratio).toBeGreaterThan(0.85);
      expect(ratio).toBeLessThan(1.25);
    }
  });

  it('is none with too few samples', () => {
    const holed = track();
    for (let f = 0; f < FRAMES; f++)
      if (f % 6 !== 0) for (let c = 0; c < 3; c++) holed.data[c * FRAMES + f] = Number.NaN;
    expect(shaftPeaks(holed, NORMAL, 80, 60, 100, 95, 0)).toEqual({ size: null, plane: null });
  });
});

describe('an angle as a polynomial', () => {
  const x = Float64Array.from({ length: 25 }, (_, i) => (i - 12) / 12);

  it('of degree 4 is taken as it is, one of degree 7 by as many terms', () => {
    const p = newAnglePolynomial();
    fitAngle(
      p,
      x,
      x.map((v) => 1 + 2 * v - v * v * v * v),
      x.length,
      1e-7,
    );
    expect([p.terms, p.agrees]).toEqual([5, true]);
    expect(derivative(p, 0.5, 1)).toBeCloseTo(2 - 4 * 0.125, 9);
    expect(derivative(p, 0.5, 2)).toBeCloseTo(-12 * 0.25, 8);
    const seventh = x.map((v) => v * v * v * v * v * v * v);
    fitAngle(p, x, seventh, x.length, 1e-7);
    expect([p.terms, p.agrees]).toEqual([8, true]);
  });

  it('that noise alone explains keeps its lowest degree, and its rate is in doubt by the stated ±', () => {
    const random = createRandom(3);
    const p = newAnglePolynomial();
    let squares = 0;
    let expected = 0;
    let lowest = 0;
    const runs = 600;
    for (let run = 0; run < runs; run++) {
      fitAngle(
        p,
        x,
        x.map(() => 0.01 * random.normal()),
        x.length,
        0.01,
      );
      if (p.terms !== 5) continue;
      lowest += 1;
      const rate = derivative(p, 1, 1);
      squares += rate * rate;
      expected += 0.01 * 0.01 * derivativeSd(p, 1, 1) * derivativeSd(p, 1, 1);
    }
    // Two standard deviations: some 95 of 100; the rates' mean square over 570 runs to 6 %.
    expect(lowest / runs).toBeGreaterThan(0.92);
    expect(squares / expected).toBeGreaterThan(0.85);
    expect(squares / expected).toBeLessThan(1.15);
  });

  it('that no degree follows does not take the highest for it', () => {
    const random = createRandom(4);
    const p = newAnglePolynomial();
    const rough = x.map((v) => v + 0.01 * random.normal());
    fitAngle(p, x, rough, x.length, 1e-4);
    expect(p.agrees).toBe(false);
    // Noise a hundred times the stated one about a line.
    expect(Math.abs(derivative(p, 1, 1) - 1)).toBeLessThan(0.15);
  });
});
