// Known loads under the feet of an invented swing, written as channels of a file by statics in the file's axes (tests/support/platforms.ts),
// read through file, intake and stages. Channels are 32-bit floats (6e-8) and the mean over a frame takes at most 1e-5 off these slow loads.
import { describe, expect, it } from 'vitest';
import { feetOf } from '../../samples/generator/markers.ts';
import { intake } from '../../src/intake/intake.ts';
import type { Cell } from '../../src/model/swingRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { curveBase } from '../../src/stages/shared/curveBase.ts';
import { createPlacedReader } from '../../src/stages/shared/placedReadings.ts';
import { samplePlan } from '../../src/stages/shared/sampling.ts';
import { trialPlan } from '../support/plans.ts';
import { type Load, type MadePlatform, onPlatforms, type PlatformOptions } from '../support/platforms.ts';
import { cellsAtTimes } from '../support/trueTimes.ts';
import { ALL_TRUE, CLEAN, exactFile, type TruthCase, truthCase } from '../support/truthCases.ts';

const G = 9.80665;
const MASS_kg = 74;

/** Loads as functions of the time of the file. */
const total = (t: number): number => MASS_kg * G * (1 + 0.2 * Math.sin(6.9 * t));
const share = (t: number): number => 0.5 + 0.3 * Math.sin(5 * t + 0.3);
const loads = (half: number): Readonly<Record<'lead' | 'trail', (t: number) => Load>> => ({
  lead: (t) => ({
    force: [40 * Math.sin(4 * t), total(t) * share(t), -60 + 9 * Math.sin(3 * t)],
    place: [0.07 + 0.04 * Math.sin(3 * t), 0, -half - 0.02 * Math.cos(2 * t)],
  }),
  trail: (t) => ({
    force: [-25 + 6 * Math.cos(5 * t), total(t) * (1 - share(t)), 55 * Math.cos(2 * t)],
    place: [0.05 - 0.03 * Math.cos(4 * t), 0, half + 0.01 * Math.sin(5 * t)],
  }),
});

function truthAt(half: number, t: number): Readonly<Record<string, number>> {
  const { lead, trail } = loads(half);
  const [a, b] = [lead(t), trail(t)];
  const [p, q] = [a.force[1], b.force[1]];
  return {
    'force.vertical': p + q,
    'force.vertical_share': (p + q) / (MASS_kg * G),
    'force.lead_share': p / (p + q),
    'force.pressure_along': -(p * a.place[2] + q * b.place[2]) / (p + q),
    // The ankle centres stand at X = 0.
    'force.pressure_across': (p * a.place[0] + q * b.place[0]) / (p + q),
  };
}

interface Made {
  readonly one: TruthCase;
  readonly cells: ReadonlyMap<string, Cell>;
  readonly codes: readonly string[];
  readonly half: number;
}

type Change = (two: readonly MadePlatform[], half: number) => readonly MadePlatform[];

function made(
  options: PlatformOptions,
  change: Change = (two) => two,
  mass_kg: number | null = MASS_kg,
  seed = 1,
): Made {
  const { hand, lab } = options;
  const one = truthCase(seed, { ...CLEAN, options: lab === undefined ? { hand } : { hand, lab } });
  const half = feetOf(one.made.swing).halfStance;
  const { lead, trail } = loads(half);
  const two: readonly MadePlatform[] = [
    // Trail first: the order in the file means nothing.
    { centre: [0.05, 0, 0.28], half: [0.3, 0.26], load: trail },
    { centre: [0.05, 0, -0.28], half: [0.3, 0.26], load: lead },
  ];
  const content = onPlatforms(one.made.content, change(two, half), options);
  const player = { ...one.plan.player, mass_kg };
  const club = one.plan.club!;
  const trial = trialPlan({
    player: player.id,
    club: club.id,
    up: lab?.up ?? '+Z',
    target: lab?.target ?? '+X',
    units: 'mm',
  });
  const taken = intake(exactFile(content), { trial, player, club });
  if (!taken.value.ok) throw new Error(taken.value.why.needed);
  const ws = createWorkspace({ poison: true });
  const plan = { ...one.plan, player };
  const motion = motionFromMarkers(taken.value.value, plan, ws).value;
  const time = (position: (typeof ALL_TRUE)[number]): number => one.made.truth.time_s[position];
  const cells = cellsAtTimes(motion, time, one.made.contact_s, ws);
  const found = analyseTrial(taken.value.value, plan, createWorkspace());
  return {
    one,
    half,
    cells: new Map(cells.map((cell) => [`${cell.quantity}@${cell.position}`, cell])),
    codes: [...taken.diagnostics, ...found.diagnostics].map(({ code }) => code),
  };
}

function expectTruth({ one, cells, half }: Made, ids: readonly string[]): void {
  for (const position of ALL_TRUE) {
    const t = one.made.truth.time_s[position];
    const [from, to] = position === 'P1' ? [t - 0.1, t] : position === 'P10' ? [t, t + 0.1] : [t, t];
    const expected: Record<string, number> = {};
    // Means of what is linear in the loads; the others are of the mean load, as a mean over the window reads them.
    const frames: number[] = [];
    for (let f = Math.ceil(from * 240 - 1e-6); f <= Math.floor(to * 240 + 1e-6); f += 1) frames.push(f / 240);
    const times = from === to ? [t] : frames;
    const weights = times.map((at) => total(at));
    const sum = weights.reduce((a, b) => a + b, 0);
    for (const id of ids) {
      const isShare = id !== 'force.vertical' && id !== 'force.vertical_share';
      expected[id] = times.reduce(
        (mean, at, i) => mean + truthAt(half, at)[id]! * (isShare ? weights[i]! / sum : 1 / times.length),
        0,
      );
    }
    for (const id of ids) {
      const cell = cells.get(`${id}@${position}`)!;
      const limit = cell.unit === 'N' ? 0.05 : 0.00005;
      expect(Math.abs(cell.value! - expected[id]!), `${id}@${position} ${cell.value} ${expected[id]}`).toBeLessThan(
        limit,
      );
      expect(cell.flags, `${id}@${position}`).toEqual([]);
    }
  }
}

const ALL = [
  'force.vertical',
  'force.vertical_share',
  'force.lead_share',
  'force.pressure_along',
  'force.pressure_across',
];

describe('a foot on each of two platforms', () => {
  it.each([
    { hand: 'right' },
    { hand: 'left' },
    { hand: 'right', samplesPerFrame: 1 },
    { hand: 'left', samplesPerFrame: 4, type: 4 },
    { hand: 'right', lab: { up: '+Y', target: '-Z', mirrored: false } },
    { hand: 'left', lab: { up: '-X', target: '+Z', mirrored: false } },
  ] as readonly PlatformOptions[])('%o: loads, share and pressure are the true ones at all positions', (options) => {
    const one = made(options);
    expectTruth(one, ALL);
    expect(one.codes.filter((code) => code.startsWith('force') || code.includes('platform'))).toEqual([]);
  });

  it('channels of what acts on the platform are turned round, moments in metres are found by where they press', () => {
    const reversed = made({ hand: 'right', reversed: true });
    expectTruth(reversed, ALL);
    expect(reversed.codes).toContain('force-turned-round');
    const metres = made({ hand: 'left', momentsOver: 1000 });
    expectTruth(metres, ALL);
    expect(metres.codes).toContain('force-moment-unit');
  });

  it('moments that fit no unit cost the pressure alone', () => {
    const { cells, codes } = made({ hand: 'right', momentsOver: 0.05 });
    expect(codes).toContain('force-pressure-outside');
    expect(cells.get('force.pressure_along@P4')!.why!.code).toBe('no-centre-of-pressure');
    expect(cells.get('force.lead_share@P4')!.value).not.toBeNull();
  });
});

describe('other ways to stand', () => {
  const why = (cells: Made['cells'], key: string): string => cells.get(key)!.why!.code;

  it('both feet on one platform: no share, which is said; the rest is true', () => {
    const both = made({ hand: 'right' }, ([trail, lead]) => [
      {
        centre: [0.05, 0, 0],
        half: [0.35, 0.6],
        load: (t) => {
          const [a, b] = [lead!.load(t), trail!.load(t)];
          const force = [0, 1, 2].map((c) => a.force[c]! + b.force[c]!) as unknown as Load['force'];
          const at = (c: 0 | 2): number => (a.force[1] * a.place[c] + b.force[1] * b.place[c]) / force[1];
          return { force, place: [at(0), 0, at(2)] };
        },
      },
    ]);
    expectTruth(
      both,
      ALL.filter((id) => id !== 'force.lead_share'),
    );
    expect(why(both.cells, 'force.lead_share@P4')).toBe('feet-on-one-platform');
    expect(both.codes).toContain('feet-on-one-platform');
  });

  it('a foot beside the platforms: nothing is said of both feet', () => {
    const { cells } = made({ hand: 'left' }, ([trail]) => [trail!]);
    for (const id of ALL) expect(why(cells, `${id}@P4`), id).toBe('foot-off-platform');
    // A left-hander's lead foot is the right one.
    expect(cells.get('force.vertical@P4')!.why!.needed).toContain('the right foot');
  });

  it('a platform that nobody stands on adds nothing', () => {
    const far: MadePlatform = {
      centre: [3, 0, 0],
      half: [0.3, 0.3],
      load: () => ({ force: [0, 500, 0], place: [3, 0, 0] }),
    };
    expectTruth(
      made({ hand: 'right' }, (two) => [far, ...two]),
      ALL,
    );
  });

  it('a platform that is switched off: no share of nothing, which is said', () => {
    const off = (one: MadePlatform): MadePlatform => ({ ...one, load: (t) => ({ ...one.load(t), force: [0, 0, 0] }) });
    const { cells, codes } = made({ hand: 'right' }, ([trail, lead]) => [trail!, off(lead!)]);
    for (const id of ALL) expect(why(cells, `${id}@P7`), id).toBe('platform-unloaded');
    expect(codes).toContain('platform-unloaded');
  });

  it('a jump: without load there is a force of zero, but neither share nor pressure', () => {
    const up = (one: MadePlatform): MadePlatform => ({
      ...one,
      load: (t) => (t < 1.2 ? one.load(t) : { ...one.load(t), force: [0, 0, 0] }),
    });
    const { one, cells } = made({ hand: 'right' }, (two) => two.map(up));
    expect(one.made.truth.time_s.P8).toBeGreaterThan(1.3);
    expect(cells.get('force.vertical@P8')!.value).toBeCloseTo(0, 6);
    expect(cells.get('force.lead_share@P8')!.why!.needed).toBe('a load on the platforms around P8');
    expect(cells.get('force.pressure_across@P8')!.value).toBeNull();
    expect(cells.get('force.lead_share@P2')!.value).not.toBeNull();
  });

  it('a platform that ends under a foot: the values are flagged', () => {
    const { cells } = made({ hand: 'right' }, ([trail, lead]) => [trail!, { ...lead!, half: [0.12, 0.26] }]);
    expect(cells.get('force.vertical@P4')!.flags).toEqual(['foot-partly-off-platform']);
  });

  it('a player of unknown mass has forces without a share of weight, one of another mass a warning', () => {
    const unknown = made({ hand: 'right' }, undefined, null);
    expect(why(unknown.cells, 'force.vertical_share@P4')).toBe('mass-unknown');
    expectTruth(unknown, ['force.vertical', 'force.lead_share']);
    expect(made({ hand: 'right' }, undefined, 100).codes).toContain('force-weight-disagrees');
  });

  it('no platforms, or no address: absent with the reason', () => {
    const one = truthCase(1, CLEAN);
    const record = analyseTrial(one.trial, one.plan, createWorkspace());
    const cells = new Map(record.cells.map((cell) => [`${cell.quantity}@${cell.position}`, cell]));
    expect(why(cells, 'force.vertical@P4')).toBe('no-force-platforms');
    const ws = createWorkspace();
    const motion = motionFromMarkers(one.trial, one.plan, ws).value;
    const moments = new Map();
    const reader = createPlacedReader(
      { ...motion, forces: { plates: [] } },
      samplePlan(moments, curveBase(moments), motion.clock, ws),
      ws,
    );
    const { values } = reader.read({ kind: 'force', figure: 'vertical' });
    expect(values.ok ? null : values.why.code).toBe('position-missing');
  });
});
