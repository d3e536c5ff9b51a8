import { describe, expect, it } from 'vitest';
import { DEFAULT_GAPS } from '../../../src/model/dayPlan.ts';
import { FILLED_CUBIC, MISSING } from '../../../src/model/track.ts';
import type { MarkerTrial } from '../../../src/model/trial.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { fillGaps } from '../../../src/stages/fillGaps.ts';
import { leftGaps } from '../../../src/stages/leftGaps.ts';
import { measureMarkers } from '../../../src/stages/measureMarkers.ts';
import { noiseSource, type Point, snapshot, trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });

/** Measured, filled by splines up to `longest_s`, and counted. */
function filledOf(trial: MarkerTrial, longest_s = 0.1) {
  const measured = measureMarkers(trial, ws);
  const { value, diagnostics } = fillGaps(measured.trial, { ...DEFAULT_GAPS, longest_s }, ws);
  const left = leftGaps(value, measured.quality);
  return { value: { trial: value, quality: left.value }, diagnostics, left };
}

/** A motion that a cubic does not hold exactly: 1 Hz, 100 mm. */
function moving(f: number): Point {
  const t = f / 240;
  return [0.1 * Math.sin(2 * Math.PI * t), 1 + 0.1 * Math.cos(2 * Math.PI * t), 0.05 * t];
}

function without(from: number, to: number, at: (f: number) => Point = moving): (f: number) => Point | null {
  return (f) => (f >= from && f < to ? null : at(f));
}

describe('fillGaps', () => {
  it('fills an inner gap up to the limit with the curve through its surroundings and marks it', () => {
    const trial = trialOf({ C7: without(100, 120) }, { frames: 240 });
    const { value, diagnostics } = filledOf(trial);
    const track = value.trial.points.get('C7')!;
    for (let f = 100; f < 120; f++) {
      expect(track.state[f]).toBe(FILLED_CUBIC);
      // error of a cubic with exact ends: h⁴ · f'''' / 384, here (21 / 240 s)⁴ · (2π / s)⁴ · 0.1 m / 384 = 0.0238 mm;
      // the spline's own slopes at the ends add some per cent
      for (let c = 0; c < 3; c++) expect(Math.abs(track.data[c * 240 + f]! - moving(f)[c]!)).toBeLessThan(2.6e-5);
    }
    expect(value.quality[0]).toMatchObject({ marker: 'C7', frames: 240, missing: 20, filled: 20, flags: [] });
    expect(value.quality[0]!.longestGap_s).toBeCloseTo(20 / 240, 12);
    expect(diagnostics.map((d) => d.code)).toEqual(['gap-filled']);
  });

  it('leaves gaps over the limit and at the ends', () => {
    const at = (f: number): Point | null => (f < 5 || f >= 235 || (f >= 100 && f < 125) ? null : moving(f));
    const { value, diagnostics, left } = filledOf(trialOf({ C7: at }, { frames: 240 }));
    const track = value.trial.points.get('C7')!;
    for (const f of [0, 4, 100, 124, 235, 239]) {
      expect(track.state[f]).toBe(MISSING);
      expect(track.data[f]).toBeNaN();
    }
    expect(value.quality[0]).toMatchObject({ missing: 35, filled: 0 });
    expect(diagnostics).toEqual([]);
    expect(left.value[0]).toMatchObject({ missing: 35, filled: 0, flags: ['gap-left'] });
    expect(left.diagnostics.map(({ code, message }) => [code, message])).toEqual([
      ['gap-left', 'C7: 35 of 240 frames missing'],
    ]);
  });

  it('a ball that is never seen again has flown, one that is hidden before has not', () => {
    const flagsOf = (ball: (f: number) => Point | null): readonly string[] => {
      const { value } = filledOf(trialOf({ BALL: ball }, { frames: 240 }));
      return value.quality[0]!.flags;
    };
    expect(flagsOf(without(200, 240))).toEqual([]);
    expect(flagsOf((f) => (f >= 200 || f === 50 ? null : moving(f)))).toEqual(['gap-left']);
  });

  it('fills the club over half the limit only, and never while a club marker moves faster than 15 m/s', () => {
    const slow = (f: number): Point => [0.01 * f, 1, 0]; // 2.4 m/s
    const fast = (f: number): Point => [0.1 * f, 1, 0]; // 24 m/s
    const clubOf = (grip: (f: number) => Point | null, head: (f: number) => Point | null): number =>
      filledOf(trialOf({ CLUB_GRIP: grip, CLUB_HEAD_1: head }, { frames: 240 })).value.quality[0]!.filled;
    expect(clubOf(without(100, 112, slow), slow)).toBe(12);
    expect(clubOf(without(100, 113, slow), slow)).toBe(0);
    expect(clubOf(without(100, 105, slow), fast)).toBe(0);
  });

  it('fills half the limit only where a gap reaches into the downswing', () => {
    // hands that rest at the top from frame 80 to 100 and strike at frame 160, 8 m/s
    const hands = (f: number): Point => {
      if (f < 100) return [Math.min(f, 80) / 240, 1, 0];
      const n = Math.min(f, 160) - 100;
      return [80 / 240 - (8 / 240) * ((n * n) / 120) - 0.02 * Math.max(0, f - 160), 1, 0];
    };
    const filled = (from: number, to: number): number =>
      filledOf(trialOf({ C7: without(from, to), lead_RS: hands }, { frames: 240 })).value.quality[0]!.filled;
    expect(filled(120, 132)).toBe(12);
    expect(filled(120, 133)).toBe(0);
    expect(filled(70, 94)).toBe(24);
    expect(filled(165, 189)).toBe(24);
    expect(filled(145, 169)).toBe(0);
  });

  it('never fills the ball', () => {
    const { value } = filledOf(trialOf({ BALL: without(100, 103) }, { frames: 240 }));
    expect(value.quality[0]).toMatchObject({ filled: 0, missing: 3 });
  });

  it('finds the white noise of a moving marker within 10 % and none in a smooth one', () => {
    // 240 frames × 3 axes: the median of 45 blocks of about 15 independent terms has a relative SD of 4 %; 10 % is over two of them
    const random = noiseSource(7);
    const noisy = (f: number): Point => moving(f).map((v) => v + 0.001 * random()) as unknown as Point;
    const { value } = filledOf(
      trialOf({ C7: noisy, IJ: moving, lead_ASIS: (f) => (f < 30 ? moving(f) : null) }, { frames: 720 }),
    );
    expect(value.quality[0]!.noise_m).toBeGreaterThan(0.0009);
    expect(value.quality[0]!.noise_m).toBeLessThan(0.0011);
    expect(value.trial.points.get('C7')!.noise).toBe(value.quality[0]!.noise_m);
    expect(value.quality[1]!.noise_m).toBeLessThan(1e-8);
    expect(value.quality[2]!.noise_m).toBeNaN(); // one block is not enough to say
  });

  it('is not misled by a jump: a struck club keeps the noise of the rest of the recording', () => {
    const random = noiseSource(3);
    const struck = (f: number): Point => [f < 400 ? 0 : 0.2 * (f - 400), 0.0005 * random(), 0.0005 * random()];
    const { value } = filledOf(trialOf({ CLUB_HEAD_1: struck }, { frames: 720 }));
    // two of three axes carry 0.5 mm: the root mean square over the axes is 0.41 mm
    expect(value.quality[0]!.noise_m).toBeGreaterThan(0.00036);
    expect(value.quality[0]!.noise_m).toBeLessThan(0.00046);
  });

  it('changes nothing it was given and takes unequal gaps marker by marker', () => {
    const trial = trialOf({ C7: without(10, 15), IJ: without(50, 70), PX: moving }, { frames: 200 });
    const unchanged = snapshot(trial);
    const { value } = filledOf(trial, 0.05);
    expect(unchanged()).toBe(true);
    expect(value.quality.map((q) => [q.marker, q.missing, q.filled])).toEqual([
      ['C7', 5, 5],
      ['IJ', 20, 0],
      ['PX', 0, 0],
    ]);
  });

  it('survives a marker that was never seen and a recording of one frame', () => {
    const never = filledOf(trialOf({ C7: () => null, IJ: moving }, { frames: 40 }));
    expect(never.value.quality[0]).toMatchObject({ missing: 40, filled: 0 });
    const one = filledOf(trialOf({ C7: moving }, { frames: 1 }));
    expect(one.value.quality[0]).toMatchObject({ missing: 0, frames: 1 });
  });
});
