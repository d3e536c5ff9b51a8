import { describe, expect, it } from 'vitest';
import type { AngleSeries, AngleSet } from '../../../src/model/angles.ts';
import { present } from '../../../src/model/availability.ts';
import { STILL_POSE, type StillRecord } from '../../../src/model/stillRecord.ts';
import { rereadStill } from '../../../src/model/storedRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { stillAngles } from '../../../src/stages/stillAngles.ts';
import { storedStillText } from '../../../src/tables/storedRecord.ts';

const RADIAN = Math.PI / 180;
const FRAMES = 240;

/** Angles whose series are given in degrees by frame. */
function angleSet(series: Readonly<Record<string, (frame: number) => number>>, near = false): AngleSet {
  const made = Object.entries(series).map(([quantity, at]) => {
    const values = Float64Array.from({ length: FRAMES }, (_, f) => at(f) * RADIAN);
    const singular = new Uint8Array(FRAMES);
    if (near) singular[100] = 1;
    const one: AngleSeries = { quantity, order: 'YXZ', values, singular, unwrap: false };
    return [quantity, present(one)] as const;
  });
  return {
    clock: { rate_Hz: 240, frames: FRAMES },
    series: new Map(made),
    extra: new Map(),
    rates: new Map(),
  } as unknown as AngleSet;
}
const one = (quantity: string, at: (frame: number) => number, near = false) =>
  stillAngles(angleSet({ [quantity]: at }, near)).value[0]!;

describe('angles of a still pose', () => {
  it('are means over the frames that are there, also on both sides of half a turn', () => {
    const gaps = one('pelvis.forward_bend', (f) => (f % 3 === 0 ? Number.NaN : f % 2 === 0 ? 11 : 13));
    expect(gaps.value / RADIAN).toBeCloseTo(12, 10);
    const behind = one('pelvis.turn', (f) => (f % 2 === 0 ? 179 : -179));
    expect(Math.abs(behind.value) / RADIAN).toBeCloseTo(180, 10);
    expect(behind.range / RADIAN).toBeLessThan(1e-9);
    expect(stillAngles(angleSet({ 'pelvis.turn': () => Number.NaN })).value).toEqual([]);
  });
  it('are flagged where the pose moves by more than 2°, which noise alone does not do', () => {
    const random = createRandom(5);
    // 1° of white noise a frame is that of a head 80 mm wide at 1 mm; means of 24 frames keep 0.2° of it
    const noisy = one('head.side_bend', () => random.normal());
    expect(noisy.flags).toEqual([]);
    expect(noisy.range / RADIAN).toBeLessThan(1.2);
    // a ramp of s over the trial moves the means of ten stretches by 0.9 s
    const ramp = (size: number) => one('head.side_bend', (f) => (size * f) / (FRAMES - 1));
    expect(ramp(10).range / RADIAN).toBeCloseTo((10 * 9 * 24) / 239, 6);
    expect([ramp(2.1).flags, ramp(2.4).flags]).toEqual([[], ['moves']]);
    expect(one('neck.axial', () => 85, true).flags).toEqual(['near-singular']);
  });
  it('are those of pelvis, thorax and head and between them', () => {
    const { value } = stillAngles(
      angleSet({
        'lead_knee.flexion': () => 5,
        'thorax.inclination': () => 5,
        turn_difference: () => 5,
        'trunk.axial': () => 5,
      }),
    );
    expect(value.map(({ quantity }) => quantity)).toEqual(['trunk.axial', 'turn_difference']);
  });
  it('are stored and read back equal in every number', () => {
    const fact = <T>(value: T) => ({ value, source: 'set' as const, evidence: 'day file' });
    const still: StillRecord = {
      kind: STILL_POSE,
      head: {
        trial: 'wren/0-static',
        file: 'wren/0-static.c3d',
        player: 'wren',
        club: null,
        kind: null,
        set: '',
        role: 'static',
        order: 0,
        facts: {
          units: fact('mm'),
          rate_Hz: fact(240),
          up: fact('+Z'),
          target: fact('+X'),
          hand: fact('right'),
          mirrored: fact(false),
        },
        substitutions: [],
      },
      sha256: 'ab',
      datum: { kind: 'anatomical', id: 'a; b; c' },
      frames: FRAMES,
      angles: [one('pelvis.forward_bend', (f) => 12 + 0.1 * Math.sin(f)), one('pelvis.turn', (f) => f / 10)],
    };
    expect(rereadStill(storedStillText(still))).toEqual({ ok: true, value: still });
    expect(rereadStill(storedStillText(still).replace('still-pose', 'pose'))).toMatchObject({
      ok: false,
      problem: expect.stringContaining('(kind)') as string,
    });
  });
});
