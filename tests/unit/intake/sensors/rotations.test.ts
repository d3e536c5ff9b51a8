import { describe, expect, it } from 'vitest';
import type { C3dFile, C3dRotations } from '../../../../src/c3d/types.ts';
import { intake } from '../../../../src/intake/intake.ts';
import { intakeSensors, sourceOfC3d } from '../../../../src/intake/sensors/intakeSensors.ts';
import type { TrialPlan } from '../../../../src/model/dayPlan.ts';
import { expRotation } from '../../../../src/numeric/rotationKernels.ts';
import { fakeC3d } from '../../../support/fakeC3d.ts';
import { sensorPlan } from '../../../support/madeSensors.ts';
import { clubPlan, playerPlan, trialPlan } from '../../../support/plans.ts';

const FRAMES = 40;
const LABELS = ['pelvis_4X4', 'chest_4x4', 'L_forearm_4X4', 'room_4X4'] as const;
/** Places of the bodies, metres, +Z up. */
const HEIGHTS = [1, 1.4, 1.2, 0] as const;

function rotations(): C3dRotations {
  const n = LABELS.length;
  const matrices = new Float64Array(9 * n * FRAMES);
  const translations = new Float64Array(3 * n * FRAMES);
  const reliability = new Float32Array(n * FRAMES).fill(1);
  for (let r = 0; r < n; r += 1) {
    for (let f = 0; f < FRAMES; f += 1) {
      expRotation([0.02 * f * r, 0.3, 0.01 * f], matrices, 9 * (r * FRAMES + f));
      translations[3 * (r * FRAMES + f) + 2] = HEIGHTS[r]!;
    }
  }
  matrices.fill(Number.NaN, 9 * (FRAMES + 7), 9 * (FRAMES + 8));
  reliability[FRAMES + 7] = -1;
  return {
    labels: [...LABELS],
    descriptions: [],
    rate_Hz: 85,
    samplesPerFrame: 1,
    frames: FRAMES,
    matrices,
    translations,
    reliability,
  };
}

const file: C3dFile = { ...fakeC3d([], { frames: FRAMES, rate_Hz: 85 }), rotationData: rotations(), rotations: 4 };

function take(changes: Partial<TrialPlan> = {}) {
  const { value, diagnostics } = intakeSensors(file, {
    trial: trialPlan({ file: 'suit.c3d', ...changes }),
    player: playerPlan(),
    club: clubPlan(),
  });
  return { value, codes: diagnostics.map((one) => one.code) };
}

describe('rotations of a C3D file', () => {
  it('are sensors with an orientation alone, named without what says 4 × 4', () => {
    const { value, codes } = take();
    if (!value.ok) throw new Error(value.why.needed);
    expect([...value.value.sensors.values()].map((one) => [one.place, one.name])).toEqual([
      ['pelvis', 'pelvis'],
      ['thorax', 'chest'],
      ['lead_forearm', 'L_forearm'],
    ]);
    const track = value.value.sensors.get('pelvis')!;
    expect([track.gyro, track.acc, track.rate_Hz]).toEqual([null, null, 85]);
    expect(track.times_s[17]).toBeCloseTo(17 / 85, 12);
    expect(codes).toEqual(['rotations-used', 'sensor-not-placed', 'place-recognised']);
  });

  it('stand in a world whose up axis is where head and chest are above the pelvis, missing ones NaN', () => {
    const { value } = take();
    if (!value.ok) throw new Error(value.why.needed);
    expect(value.value.head.facts.up).toMatchObject({ value: '+Z', source: 'detected' });
    const { orientation } = value.value.sensors.get('thorax')!;
    if (!orientation.ok) throw new Error(orientation.why.needed);
    const stored = file.rotationData!.matrices;
    // Rows of the Y-up world: the file's X, its Z, and minus its Y (worked by hand).
    for (let c = 0; c < 3; c += 1) {
      expect(orientation.value[9 * 12 + c]).toBe(stored[9 * (FRAMES + 12) + c]);
      expect(orientation.value[9 * 12 + 3 + c]).toBe(stored[9 * (FRAMES + 12) + 6 + c]);
      expect(orientation.value[9 * 12 + 6 + c]).toBeCloseTo(-stored[9 * (FRAMES + 12) + 3 + c]!, 15);
    }
    expect(orientation.value.subarray(63, 72).every(Number.isNaN)).toBe(true);
    expect(take({ up: '+Y' }).value).toMatchObject({ ok: false, why: { code: 'conflict-up' } });
  });

  it('whose matrices go from world to body are turned round where the day file says so', () => {
    const { value } = take({ sensors: sensorPlan({ quaternionDirection: 'world-to-sensor' }) });
    if (!value.ok) throw new Error(value.why.needed);
    const { orientation } = value.value.sensors.get('pelvis')!;
    if (!orientation.ok) throw new Error(orientation.why.needed);
    expect(orientation.value[9 * 5 + 1]).toBe(file.rotationData!.matrices[9 * 5 + 3]);
  });

  it('turn their X to the target where headings of the file hold and the target is set', () => {
    const { value } = take({ target: '+Y', sensors: sensorPlan({ heading: 'file' }) });
    if (!value.ok) throw new Error(value.why.needed);
    expect(value.value.head.facts.target).toMatchObject({ value: '+Y', source: 'set' });
    const { orientation } = value.value.sensors.get('pelvis')!;
    if (!orientation.ok) throw new Error(orientation.why.needed);
    expect(orientation.value[9 * 5]).toBe(file.rotationData!.matrices[9 * 5 + 3]);
  });

  it('are the source only where no landmark is recognised, or where the day file says sensors', () => {
    const both = { ...fakeC3d([['L_ASIS', () => [1, 2, 3]]], { frames: FRAMES }), rotationData: rotations() };
    expect(sourceOfC3d(file, trialPlan(), null)).toBe('sensors');
    expect(sourceOfC3d(both, trialPlan(), null)).toBe('markers');
    expect(sourceOfC3d(both, trialPlan({ source: 'sensors' }), null)).toBe('sensors');
    expect(sourceOfC3d(fakeC3d([]), trialPlan(), null)).toBe('markers');
  });

  it('are missed with a sentence in a file without any', () => {
    const { value } = intakeSensors(fakeC3d([]), {
      trial: trialPlan({ file: 'a.c3d' }),
      player: playerPlan(),
      club: null,
    });
    expect(value).toMatchObject({ ok: false, why: { code: 'no-rotations' } });
  });
});

describe('points computed by a suit', () => {
  type V = [number, number, number];
  /** A leg and an arm that swing about hip and shoulder, mm, +Z up; `scatter` moves each joint by itself. */
  function body(scatter: number): C3dFile {
    const swing = (f: number): number => 0.6 * Math.sin(0.15 * f);
    const along = (from: V, length: number, angle: number): V => [
      from[0] + length * Math.sin(angle),
      from[1],
      from[2] - length * Math.cos(angle),
    ];
    const joints = (side: 1 | -1, f: number): Record<string, V> => {
      const HJC: V = [20 * Math.sin(0.1 * f), 90 * side, 900];
      const SJC: V = [20 * Math.sin(0.1 * f), 180 * side, 1400];
      const KJC = along(HJC, 420, swing(f));
      const EJC = along(SJC, 300, -swing(f));
      return { HJC, KJC, AJC: along(KJC, 400, 0.5 * swing(f)), SJC, EJC, WJC: along(EJC, 260, -1.5 * swing(f)) };
    };
    const rows = (['L', 'R'] as const).flatMap((letter) =>
      ['HJC', 'KJC', 'AJC', 'SJC', 'EJC', 'WJC'].map(
        (joint, j) =>
          [
            `${letter}_${joint}`,
            (f: number): V => {
              const [x, y, z] = joints(letter === 'L' ? 1 : -1, f)[joint]!;
              return [x + scatter * Math.sin(7.7 * f + j), y + scatter * Math.sin(9.1 * f + 2 * j), z];
            },
          ] as const,
      ),
    );
    return fakeC3d(
      [
        ...rows,
        ['C7', (f) => [20 * Math.sin(0.1 * f) - 50, 0, 1500]],
        ['IJ', (f) => [20 * Math.sin(0.1 * f) + 70, 0, 1440]],
      ],
      {
        frames: 120,
      },
    );
  }

  function told(scatter: number): string | undefined {
    const trial = trialPlan({ up: '+Z', target: '+Y', role: 'functional', hand: 'right' });
    const { value, diagnostics } = intake(body(scatter), { trial, player: playerPlan(), club: null });
    if (!value.ok) throw new Error(value.why.needed);
    return diagnostics.find((one) => one.code === 'points-computed')?.message;
  }

  it('are told by lengths between joints that never change, and taken as markers', () => {
    expect(told(0)).toMatch(/^[4-8] lengths between joints vary by at most 0\.000 mm .* they are taken as markers$/);
  });

  it('are not suspected where lengths vary by a tenth of a millimetre', () => {
    // Two joints that each scatter by 0.14 mm amplitude in two directions: about 0.1 mm of length.
    expect(told(0.14)).toBeUndefined();
  });
});
