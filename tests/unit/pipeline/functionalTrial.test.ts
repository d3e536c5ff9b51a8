import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { writeC3d } from '../../../src/c3d/writeC3d.ts';
import { readDay } from '../../../src/day/readDay.ts';
import type { PlayerCalibration } from '../../../src/model/calibration.ts';
import { analyseDay } from '../../../src/pipeline/analyseDay.ts';
import { recordOf } from '../tables/fixture.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day/wren');
const STATIC = readFileSync(join(SAMPLES, '0-static.c3d'));
const SWING = readFileSync(join(SAMPLES, '1-driver-1.c3d'));
const standing = readC3d(bytesSource(STATIC), { file: 'static.c3d' });

type Point = [number, number, number];
const RAD = Math.PI / 180;
const FRAMES = 1200;

function placeOf(label: string): Point {
  const k = standing.labels.indexOf(label);
  return [0, 1, 2].map((c) => standing.xyz[(3 * k + c) * standing.frames + 36]!) as Point;
}

/** Hip centres of the test, mm in the file (X to the player's left, −Y forward, Z up): near the regression, not on it. */
const ASIS = [placeOf('L_ASIS'), placeOf('R_ASIS')] as const;
const MID = [0, 1, 2].map((c) => (ASIS[0][c]! + ASIS[1][c]!) / 2) as Point;
const HIPS = {
  L: [MID[0] + 84, MID[1] + 50, MID[2] - 84] as Point,
  R: [MID[0] - 88, MID[1] + 55, MID[2] - 80] as Point,
};

/** The player of the static trial swings the legs named, each in its half of the trial, by half ranges in degrees; one marker may be hidden for 1 s. */
function legSwings(legs: string, forward: number, side: number, hidden = ''): Uint8Array {
  const { labels } = standing;
  const xyz = new Float64Array(3 * labels.length * FRAMES);
  labels.forEach((label, k) => {
    const leg = /^[LR]_(FL|FM|LM|MM|HEEL|MT1|MT5|TOE)$/.test(label) ? (label[0] as 'L' | 'R') : null;
    const rest = placeOf(label);
    for (let f = 0; f < FRAMES; f++) {
      const first = leg === 'R' ? FRAMES / 2 : 0;
      const i = f - first;
      const moves = leg !== null && legs.includes(leg) && i >= 0 && i < FRAMES / 2;
      const part = Math.floor((6 * i) / FRAMES);
      const phase = (2 * Math.PI * ((6 * i) / FRAMES)) % (2 * Math.PI);
      const a = moves ? forward * RAD * (part === 0 ? Math.sin(phase) : part === 1 ? 0 : Math.cos(phase) - 1) : 0;
      const b = moves && part > 0 ? side * RAD * Math.sin(phase) : 0;
      const at = leg === null ? rest : turned(rest, HIPS[leg], a, b);
      for (let c = 0; c < 3; c++)
        xyz[(3 * k + c) * FRAMES + f] = label === hidden && f >= 500 && f < 740 ? Number.NaN : at[c]!;
    }
  });
  return writeC3d({ labels, units: 'mm', rate_Hz: 240, frames: FRAMES, xyz, word4: null });
}

/** About the centre: by `a` about X, then by `b` about Y. */
function turned(p: Point, about: Point, a: number, b: number): Point {
  const [x, y, z] = p.map((v, c) => v - about[c]!) as Point;
  const y1 = y * Math.cos(a) - z * Math.sin(a);
  const z1 = y * Math.sin(a) + z * Math.cos(a);
  return [about[0] + x * Math.cos(b) + z1 * Math.sin(b), about[1] + y1, about[2] - x * Math.sin(b) + z1 * Math.cos(b)];
}

async function run(
  swings: Readonly<Record<string, Uint8Array>>,
  { player = '', withStatic = true, strict = false } = {},
) {
  const files = new Map<string, Uint8Array>([['a.c3d', SWING], ...Object.entries(swings)]);
  if (withStatic) files.set('z-static.c3d', STATIC);
  const text = `swingbasis: 1
day: d
players: [{id: w, hand: right${player}}]
clubs: [{id: dr, kind: driver}]
trials:
  - {file: a.c3d, club: dr}
${Object.keys(swings)
  .map((path) => `  - {file: ${path}, role: functional}\n`)
  .join('')}${withStatic ? '  - {file: z-static.c3d, role: static}\n' : ''}`;
  const { plan, problems } = readDay(text, { file: 'day.yaml', listing: [...files.keys()] });
  expect(problems).toEqual([]);
  const given: (PlayerCalibration | null)[] = [];
  const io = {
    open: (path: string) => ({ ...bytesSource(files.get(path)!), close: () => {} }),
    sha256: () => '',
    pause: async () => {},
    program: { name: 'swingbasis', version: '0' },
    libraries: {},
  };
  const { outcomes } = await analyseDay(plan!, io, {
    orders: [],
    strict,
    analyse: (trial, wanted) => {
      given.push(wanted.calibration);
      return recordOf(trial.head.trial);
    },
  });
  const hips = given[0]?.hips;
  return { outcomes, hips: hips?.ok ? hips.value : null };
}

const distance = (a: readonly number[], b: readonly number[]): number => Math.hypot(...a.map((v, c) => v - b[c]!));

describe('a functional trial of markers', () => {
  it('gives the hip centres of the swings, wherever it stands in the day file', async () => {
    const { outcomes, hips } = await run({ 'legs.c3d': legSwings('LR', 30, 22) });
    expect(outcomes.map(({ trial, status }) => `${trial} ${status}`)).toEqual(['a used', 'legs used', 'z-static used']);
    expect(hips!.regression).toBe('sphere fit of the thigh');
    // 0.01 mm of rounding in the file, a filter that passes these slow swings
    expect(1000 * Math.hypot(...hips!.lead)).toBeCloseTo(distance(HIPS.L, MID), 0);
    expect(1000 * Math.hypot(...hips!.trail)).toBeCloseTo(distance(HIPS.R, MID), 0);
    expect(Math.abs(1000 * distance(hips!.lead, hips!.trail) - distance(HIPS.L, HIPS.R))).toBeLessThan(0.2);
    const notes = outcomes[1]!.diagnostics
      .filter(({ code }) => code === 'functional-hip')
      .map(({ message }) => message);
    expect(notes).toHaveLength(2);
    expect(notes[0]).toMatch(
      /^left hip: residual 0 mm over 1200 frames, thigh moved \d\d° by \d\d°, \d+(\.\d)? mm from the regression$/,
    );
  });

  it('may be one of each leg: the regression holds until both are there', async () => {
    const left = await run({ 'legs.c3d': legSwings('L', 30, 22) });
    expect(left.hips!.regression).toBe('Harrington 2007, two variables');
    expect(left.outcomes[1]!.status).toBe('used');
    expect(left.outcomes[1]!.diagnostics.map(({ code }) => code)).toContain('functional-hip-alone');
    const both = await run({ 'left.c3d': legSwings('L', 30, 22), 'right.c3d': legSwings('R', 30, 22) });
    expect(both.hips!.regression).toBe('sphere fit of the thigh');
    expect(Math.abs(1000 * distance(both.hips!.lead, both.hips!.trail) - distance(HIPS.L, HIPS.R))).toBeLessThan(0.2);
  });

  it('with too little motion is rejected with its numbers, and the regression stays', async () => {
    const { outcomes, hips } = await run({ 'legs.c3d': legSwings('LR', 8, 5) });
    expect(outcomes[1]!.status).toBe('rejected');
    expect(outcomes[1]!.reason).toMatch(
      /^at least 40° by 20° of motion of the left thigh in the pelvis; it moves \d+° by \d+°; at least 40° by 20° of motion of the right thigh/,
    );
    expect(hips!.regression).toBe('Harrington 2007, two variables');
  });

  it('with --strict and a warning is rejected and moves no hip', async () => {
    const gap = legSwings('LR', 30, 22, 'L_EAR');
    const lenient = await run({ 'legs.c3d': gap });
    expect(lenient.hips!.regression).toBe('sphere fit of the thigh');
    const strict = await run({ 'legs.c3d': gap }, { strict: true });
    expect(strict.outcomes[1]!.status).toBe('rejected');
    expect(strict.outcomes[1]!.reason).toContain('(gap-left)');
    expect(strict.hips!.regression).toBe('Harrington 2007, two variables');
  });

  it('is left out where the day file names a regression, and without a static trial', async () => {
    const named = await run({ 'legs.c3d': legSwings('LR', 30, 22) }, { player: ', hip_centre: bell' });
    expect(named.outcomes[1]!.reason).toBe('the day file names hip_centre: bell for w');
    expect(named.outcomes[1]!.status).toBe('left-out');
    expect(named.hips!.regression).toBe('Bell 1990');
    const alone = await run({ 'legs.c3d': legSwings('LR', 30, 22) }, { withStatic: false });
    expect(alone.outcomes[1]!.reason).toBe('hip centres from movement need a static trial of the player');
    expect(alone.outcomes[1]!.status).toBe('left-out');
  });
});
