/** How often the stated ± holds the truth: swings of many players, clubs, rates and noises (definitions 9). */
import type { TruePosition } from '../../samples/generator/truth.ts';
import { bodyCentreTruth, lineTruth } from '../../samples/generator/wholeBodyTruth.ts';
import { DEFAULT_FILTER } from '../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { ALL_TRUE, type TruthCase, truthCase } from './truthCases.ts';

const MEANS = 20;
const STEP_s = 1e-4;
const RATES_HZ = [240, 500] as const;
/** Noise per axis, mm. */
const NOISES_mm = [0.3, 0.5, 0.7, 1, 1.4, 2] as const;

const near = (value: number, reference: number): number =>
  value - 2 * Math.PI * Math.round((value - reference) / (2 * Math.PI));

/** Mean over 0.1 s of stillness at P1 and P10, of all values at once. */
function meanOf(
  of: (t: number) => Readonly<Record<string, number>>,
  position: TruePosition,
  t: number,
): Record<string, number> {
  if (position !== 'P1' && position !== 'P10') return { ...of(t) };
  const from = position === 'P1' ? t - 0.1 : t;
  const first = of(from);
  const out: Record<string, number> = {};
  for (let i = 0; i < MEANS; i++) {
    for (const [id, value] of Object.entries(of(from + (0.1 * (i + 0.5)) / MEANS))) {
      out[id] = (out[id] ?? 0) + near(value, first[id]!) / MEANS;
    }
  }
  return out;
}

/** True values by position, SI. */
function truthsOf(one: TruthCase): Map<string, Record<string, number>> {
  const { truth, limbs, contact_s, swing } = one.made;
  const lines = lineTruth(swing, truth, contact_s);
  const out = new Map<string, Record<string, number>>();
  for (const position of ALL_TRUE) {
    const t = truth.time_s[position];
    const row: Record<string, number> = {
      ...truth.values[position],
      ...lines[position],
      ...meanOf(limbs, position, t),
    };
    // Feet with limbs of their own stand otherwise than the plain swing's.
    for (const side of ['lead', 'trail']) delete row[`${side}_foot.flare`];
    out.set(position, row);
  }
  return out;
}

/** True places and speeds of the body's centre by position, SI, of a swing without limbs of their own. */
function bodyTruthsOf(one: TruthCase): Map<string, Record<string, number>> {
  const { truth, contact_s, swing } = one.made;
  const shift = swing.setup.contact - contact_s;
  const centre = (t: number): Record<string, number> => {
    const [x, y, z] = bodyCentreTruth(swing, t + shift);
    return { 0: x, 1: y, 2: z };
  };
  const start = meanOf(centre, 'P1', truth.time_s.P1);
  const out = new Map<string, Record<string, number>>();
  for (const position of ALL_TRUE) {
    const t = truth.time_s[position];
    const place = meanOf(centre, position, t);
    const [before, after] = [centre(t - STEP_s), centre(t + STEP_s)];
    const speed = (c: number): number => (after[c]! - before[c]!) / (2 * STEP_s);
    out.set(position, {
      'body.to_target': start[2]! - place[2]!,
      'body.to_ball': place[0]! - start[0]!,
      'body.rise': place[1]! - start[1]!,
      'body.speed': Math.hypot(speed(0), speed(1), speed(2)),
      'body.speed_to_target': -speed(2),
    });
  }
  return out;
}

/** How often a ± held, by `quantity@position`. `without`: values that have none. */
export interface Held {
  inside: number;
  of: number;
  without: number;
}

/**
 * Analyses `cases` swings: players in turn, the noise of each recording its own. Every player's motion is made once and used for
 * `perPlayer` recordings of unlike noise, since making it takes longer than all of them. `after` is told what was counted so far.
 */
export function measureSpread(
  cases: number,
  perPlayer: number,
  after: (done: number, held: ReadonlyMap<string, Held>) => void = () => {},
): Map<string, Held> {
  const held = new Map<string, Held>();
  const ws = createWorkspace();
  for (let made = 0, seed = 1; made < cases; made += perPlayer, seed++) {
    for (const limbs of [true, false]) {
      const rate_Hz = RATES_HZ[seed % 2]!;
      const clean = truthCase(seed, { rate_Hz, noise_mm: 0, filter: DEFAULT_FILTER, options: { limbs } });
      const truths = limbs ? truthsOf(clean) : bodyTruthsOf(clean);
      for (let copy = 0; copy < perPlayer; copy++) {
        const noise_mm = NOISES_mm[(seed + copy) % NOISES_mm.length]!;
        const trial = withNoise(clean.trial, noise_mm / 1000, 1000 * seed + 2 * copy + (limbs ? 1 : 0));
        ws.reset();
        count(analyseTrial(trial, clean.plan, ws), truths, held);
      }
    }
    after(made + perPlayer, held);
  }
  return held;
}

/** The same trial with white noise in every axis of every point. */
export function withNoise(trial: MarkerTrial, noise_m: number, seed: number): MarkerTrial {
  const random = createRandom(seed);
  const points = new Map(
    [...trial.points].map(([id, track]) => [
      id,
      { ...track, data: track.data.map((value) => value + noise_m * random.normal()) },
    ]),
  );
  return { ...trial, points };
}

function count(record: SwingRecord, truths: Map<string, Record<string, number>>, held: Map<string, Held>): void {
  for (const { quantity, position, value, plusMinus, unit, flags } of record.cells) {
    const is = truths.get(position)?.[quantity];
    if (is === undefined || Number.isNaN(is) || value === null || flags.includes('near-singular')) continue;
    const name = `${quantity}@${position}`;
    const row = held.get(name) ?? { inside: 0, of: 0, without: 0 };
    held.set(name, row);
    const error = unit === 'deg' ? near(value - is, 0) : value - is;
    if (plusMinus === null) row.without += 1;
    else {
      row.of += 1;
      if (Math.abs(error) <= plusMinus) row.inside += 1;
    }
  }
}

/** Allowed shares (definitions 9). */
export const LEAST_HELD = 0.9;
export const MOST_HELD = 0.98;

/** The same of each quantity, over all its positions: what the asked check judges. Cases are recordings times positions. */
export function byQuantity(held: ReadonlyMap<string, Held>): Map<string, Held> {
  const out = new Map<string, Held>();
  for (const [name, { inside, of, without }] of held) {
    const quantity = name.split('@')[0]!;
    const sum = out.get(quantity) ?? { inside: 0, of: 0, without: 0 };
    out.set(quantity, { inside: sum.inside + inside, of: sum.of + of, without: sum.without + without });
  }
  return out;
}

/** Rows whose share lies outside 90–98 % by more than `z` counting errors of the share that is just allowed. */
export function outside(held: ReadonlyMap<string, Held>, z: number): string[] {
  const out: string[] = [];
  for (const [name, { inside, of }] of held) {
    if (of === 0) continue;
    const share = inside / of;
    const slack = (p: number): number => z * Math.sqrt((p * (1 - p)) / of);
    if (share < LEAST_HELD - slack(LEAST_HELD) || share > MOST_HELD + slack(MOST_HELD)) {
      out.push(`${name} ${(100 * share).toFixed(1)} %`);
    }
  }
  return out;
}
