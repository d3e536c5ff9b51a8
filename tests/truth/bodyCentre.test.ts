// Truth: de Leva's table typed again in the generator and summed over its own joints (samples/generator/wholeBodyTruth.ts).
import { describe, expect, it } from 'vitest';
import { add, RAD, turnOut, turnSideBend } from '../../samples/generator/geometry.ts';
import { makeStatic, seededPlayer } from '../../samples/generator/makeSwing.ts';
import { staticPlaces } from '../../samples/generator/markers.ts';
import { bodyCentreTruth } from '../../samples/generator/wholeBodyTruth.ts';
import { DEFAULT_FILTER } from '../../src/model/dayPlan.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { trialPlan } from '../support/plans.ts';
import { cellsAtTimes } from '../support/trueTimes.ts';
import {
  ALL_TRUE,
  CLEAN,
  type Conditions,
  exactFile,
  type TruthCase,
  takenIn,
  truthCase,
} from '../support/truthCases.ts';

type Vec = readonly [number, number, number];

function readingsOf({ made, trial, plan }: TruthCase) {
  const ws = createWorkspace();
  const { value: motion, diagnostics } = motionFromMarkers(trial, plan, ws);
  const cells = cellsAtTimes(motion, (position) => made.truth.time_s[position], made.contact_s, ws);
  return {
    motion,
    codes: diagnostics.map(({ code }) => code),
    cells: new Map(cells.map((cell) => [`${cell.quantity}@${cell.position}`, cell])),
  };
}

/** Differences from the truth: largest of places (m) and of speeds (m/s). */
function errorsOf(one: TruthCase): { readonly place: number; readonly speed: number } {
  const { cells } = readingsOf(one);
  const { swing, truth, contact_s } = one.made;
  const shift = swing.setup.contact - contact_s;
  const at = (t: number): Vec => bodyCentreTruth(swing, t);
  const over = (from: number, to: number): Vec => {
    const sum = [0, 0, 0];
    for (let i = 0; i <= 20; i += 1)
      at(from + ((to - from) * i) / 20).forEach((value, c) => {
        sum[c]! += (value * (i === 0 || i === 20 ? 0.5 : 1)) / 20;
      });
    return sum as unknown as Vec;
  };
  const p1 = truth.time_s.P1 + shift;
  const start = over(p1 - 0.1, p1);
  let place = 0;
  let speed = 0;
  const worse = (before: number, key: string, expected: number): number => {
    const { value } = cells.get(key)!;
    if (value === null) throw new Error(`${key} is missing`);
    return Math.max(before, Math.abs(value - expected));
  };
  for (const position of ALL_TRUE) {
    if (position === 'P1') continue;
    const t = truth.time_s[position] + shift;
    const now = position === 'P10' ? over(t, t + 0.1) : at(t);
    place = worse(place, `body.to_target@${position}`, start[2] - now[2]);
    place = worse(place, `body.to_ball@${position}`, now[0] - start[0]);
    place = worse(place, `body.rise@${position}`, now[1] - start[1]);
    if (position === 'P10') continue;
    const [a, b] = [at(t - 1e-4), at(t + 1e-4)];
    const v = a.map((value, c) => (b[c]! - value) / 2e-4) as unknown as Vec;
    speed = worse(speed, `body.speed@${position}`, Math.hypot(...v));
    speed = worse(speed, `body.speed_to_target@${position}`, -v[2]);
  }
  return { place, speed };
}

const SEEDS = [1, 2, 3, 4];

describe.each(['right', 'left'] as const)('the centre of mass of a %s-hander', (hand) => {
  // Interpolation at 240 Hz alone: no body point turns 0.1 mm away from the polynomial through six frames.
  it.each(SEEDS)(
    'without noise and filter lies within 0.1 mm of the truth, its speed within 5 mm/s: seed %i',
    (seed) => {
      const errors = errorsOf(truthCase(seed, { ...CLEAN, options: { hand } }));
      expect(errors.place).toBeLessThan(0.0001);
      expect(errors.speed).toBeLessThan(0.005);
    },
  );
});

// The filter shifts fast limbs: at impact the hands (1.2 % of the mass) and forearms (3 %) by up to a centimetre, together below a millimetre;
// 1 mm of noise of each of some 40 markers leaves a tenth of a millimetre. Margin of the rows: 10 mm.
it('with 1 mm of noise and the default filter the centre of mass is within 2 mm, its speed within 0.06 m/s', () => {
  const noisy: Conditions = { rate_Hz: 240, noise_mm: 1, filter: DEFAULT_FILTER };
  for (const seed of SEEDS) {
    const errors = errorsOf(truthCase(seed, noisy));
    expect(errors.place).toBeLessThan(0.002);
    expect(errors.speed).toBeLessThan(0.06);
  }
});

describe('a figure that stands still', () => {
  // de Leva 1996, table 4, male | female: mass, way along; the head at mid-ear. Summed here by hand over the joints of the made body.
  const TABLE = {
    male: { head: 0.0694, trunk: [0.4346, 0.4486], upper: [0.0271, 0.5772], fore: [0.0162, 0.4574], hand: [0.0061, 0.79], thigh: [0.1416, 0.4095], shank: [0.0433, 0.4395], foot: [0.0137, 0.4415] },
    female: { head: 0.0668, trunk: [0.4257, 0.4151], upper: [0.0255, 0.5754], fore: [0.0138, 0.4559], hand: [0.0056, 0.7474], thigh: [0.1478, 0.3612], shank: [0.0481, 0.4352], foot: [0.0129, 0.4014] },
  } as const; // biome-ignore format: one row a sex

  it.each([
    [1, 'right'],
    [1, 'left'],
    [2, 'right'],
    [3, 'left'],
  ] as const)('has the centre of mass of a direct sum, to 0.01 mm: seed %i, %s-handed', (seed, hand) => {
    const player = seededPlayer(seed);
    const options = { rate_Hz: 240, noise_mm: 0, hand, rounding: false };
    const standing = makeStatic(seed, player, options);
    const plans = truthCase(seed, { ...CLEAN, options: { hand } }).plan;
    const trial = trialPlan({ player: player.id, role: 'static', club: null, up: '+Z', target: '+X', units: 'mm' });
    const taken = takenIn(exactFile(standing.content), trial, { ...plans.player, hand }, null);
    const { value: motion } = motionFromMarkers(taken, plans, createWorkspace());
    const centre = motion.points.get('body_centre')!;
    if (!centre.ok) throw new Error(centre.why.needed);

    const { body } = standing;
    const places = staticPlaces(body);
    const table = TABLE[player.sex];
    const at = (...names: string[]): Vec =>
      [0, 1, 2].map((c) =>
        names.reduce((sum, name) => sum + places.get(name)![c]! / names.length, 0),
      ) as unknown as Vec;
    const hipHeight = body.ankleHeight + 0.995 * (body.thigh + body.shank);
    const thorax = turnSideBend(0, 0, -4 * RAD);
    const parts: [number, Vec, Vec, number][] = [
      [table.head, at('lead_EAR', 'trail_EAR'), at('lead_EAR'), 0],
      [table.trunk[0], at('IJ'), [0, hipHeight, 0], table.trunk[1]],
    ];
    for (const [side, sign] of [
      ['lead', -1],
      ['trail', 1],
    ] as const) {
      const [x, y, z] = body.thorax.shoulder;
      const shoulder = add(at('IJ'), turnOut(thorax, [x, y, sign * z]));
      const [elbow, wrist] = [at(`${side}_EL`, `${side}_EM`), at(`${side}_RS`, `${side}_US`)];
      const [knee, ankle] = [at(`${side}_FL`, `${side}_FM`), at(`${side}_LM`, `${side}_MM`)];
      parts.push(
        [table.upper[0], shoulder, elbow, table.upper[1]],
        [table.fore[0], elbow, wrist, table.fore[1]],
        [table.hand[0], wrist, at(`${side}_MC2`, `${side}_MC5`), table.hand[1]],
        [table.thigh[0], [0, hipHeight, sign * body.pelvis.hip[2]], knee, table.thigh[1]],
        [table.shank[0], knee, ankle, table.shank[1]],
        [table.foot[0], at(`${side}_HEEL`), at(`${side}_TOE`), table.foot[1]],
      );
    }
    const mass = parts.reduce((sum, [own]) => sum + own, 0);
    expect(mass).toBeCloseTo(1, 3);
    const { frames } = motion.clock;
    for (let c = 0; c < 3; c += 1) {
      const direct =
        parts.reduce((sum, [own, from, to, way]) => sum + own * (from[c]! + way * (to[c]! - from[c]!)), 0) / mass;
      for (const f of [0, frames - 1]) {
        expect(Math.abs(centre.value.data[c * frames + f]! - direct)).toBeLessThan(0.00001);
      }
    }
    // The centre of mass of standing adults lies at 0.55 to 0.57 of their height (textbooks, from memory); 0.03 is for unlike builds.
    expect(Math.abs(centre.value.data[frames]! / player.height_m - 0.56)).toBeLessThan(0.03);
  });
});

describe('which body it is of', () => {
  const one = truthCase(1, { ...CLEAN, options: { hand: 'right' } });
  const without = (pattern: RegExp): TruthCase => {
    const points = new Map([...one.trial.points].filter(([id]) => !pattern.test(id)));
    return { ...one, trial: { ...one.trial, points } };
  };

  it('stands in the rule of every value, the sex included', () => {
    const { motion, cells, codes } = readingsOf(one);
    expect(motion.massRule).toBe(`de Leva 1996, ${one.player.sex}; head by head_centre`);
    for (const id of ['body.to_target', 'body.to_ball', 'body.rise', 'body.speed', 'body.speed_to_target']) {
      expect(cells.get(`${id}@P7`)!.rule, id).toBe(motion.massRule);
    }
    expect(codes).not.toContain('mass-sex-unknown');
  });

  it('is the mean of both sexes where none is given, and that is said', () => {
    const { motion, codes } = readingsOf({ ...one, plan: { ...one.plan, player: { ...one.plan.player, sex: null } } });
    expect(motion.massRule).toContain('mean of female and male');
    expect(codes).toContain('mass-sex-unknown');
  });

  it('lacks both arms, which is said and makes another rule; the rest goes on', () => {
    const { motion, cells, codes } = readingsOf(without(/_(EL|EM|RS|US|MC\d)$/));
    expect(motion.massRule).toContain('without lead upper arm');
    expect(codes).toContain('body-incomplete');
    expect(cells.get('body.to_target@P7')!.value).not.toBeNull();
  });

  it('is none without a leg: absent with the share of the mass and what is missing', () => {
    const { motion, cells } = readingsOf(without(/lead_(FL|FM|LM|MM)$/));
    expect(motion.massRule).toBeUndefined();
    const { value, why, rule } = cells.get('body.speed@P7')!;
    expect([value, why!.code, rule]).toEqual([null, 'body-incomplete', undefined]);
    expect(why!.needed).toMatch(/left thigh, left shank: what is there is \d\d % of the body's mass/);
  });
});
