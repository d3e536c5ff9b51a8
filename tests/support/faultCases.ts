/** Clean swings of both generators, and how damage put into them is found. */

import type { Fault } from '../../src/model/faults.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { findFaults } from '../../src/stages/findFaults.ts';
import { fileName } from '../../src/stages/shared/landmarkGroups.ts';
import { trialOf } from '../unit/stages/support.ts';
import { DAMAGES, type DamageCase, type DamageKind, damageCase } from './damageCases.ts';
import { CLEAN, NOISY, type TruthCase, truthCase } from './truthCases.ts';
import { drawShape, makeTwoLinkSwing, normal, uniform, type V3 } from './twoLinkSwing.ts';

export interface CleanSwing {
  readonly name: string;
  readonly trial: MarkerTrial;
  readonly models: NonNullable<TruthCase['plan']['calibration']>['clusters'];
}

const RATES_Hz = [240, 500] as const;
const NOISES_mm = [0, 1] as const;

/** Eight swings a seed of the sample generator (240 and 500 Hz, noise 0 and 1 mm, with and without a static trial), limbs of every other whole, four of two links. */
export function* cleanSwings(seed: number): Generator<CleanSwing> {
  for (const rate_Hz of RATES_Hz) {
    for (const noise_mm of NOISES_mm) {
      const { trial, plan, player } = caseOf(seed, rate_Hz, noise_mm);
      const name = `${seed} ${player.hand} ${rate_Hz} Hz ${noise_mm} mm`;
      yield { name: `${name} with static`, trial, models: plan.calibration!.clusters };
      yield { name: `${name} without`, trial, models: [] };
      yield { name: `two links ${name}`, trial: twoLinkTrial(seed, rate_Hz, noise_mm), models: [] };
    }
  }
}

function caseOf(seed: number, rate_Hz: number, noise_mm: number): TruthCase {
  return truthCase(seed, { ...(noise_mm === 0 ? CLEAN : NOISY), rate_Hz, options: { limbs: seed % 2 === 0 } });
}

/** Joint centres of the arms, grip, shaft, three head markers and the ball of a two-link swing; of odd seeds reflected. */
function twoLinkTrial(seed: number, rate_Hz: number, noise_mm: number): MarkerTrial {
  const swing = makeTwoLinkSwing(drawShape(seed, { rate_Hz }));
  const gauss = normal(uniform(seed + 90_000));
  const side = seed % 2 === 0 ? 1 : -1;
  const onHead =
    (down: number, toe: number, back: number) =>
    (t: number): V3 => {
      const axes = swing.headAxes(t);
      const p = swing.head(t);
      return [0, 1, 2].map(
        (c) => p[c]! + down * axes[0][c]! + toe * axes[1][c]! + back * (axes[1][c]! + axes[0][c]!),
      ) as V3;
    };
  const noisy = (at: (t: number) => V3) => (f: number) => {
    const [x, y, z] = at(f / rate_Hz);
    return [
      x + 0.001 * noise_mm * gauss(),
      y + 0.001 * noise_mm * gauss(),
      side * z + 0.001 * noise_mm * gauss(),
    ] as V3;
  };
  const points: Partial<Record<LandmarkId, (f: number) => V3>> = {
    lead_SJC: noisy(swing.leadShoulder),
    trail_SJC: noisy(swing.trailShoulder),
    lead_WJC: noisy(swing.leadWrist),
    trail_WJC: noisy(swing.trailWrist),
    CLUB_GRIP: noisy(swing.grip),
    CLUB_SHAFT: noisy(swing.shaftLow),
    CLUB_HEAD_1: noisy(onHead(-0.03, -0.02, 0)),
    CLUB_HEAD_2: noisy(onHead(-0.02, 0.05, 0)),
    CLUB_HEAD_3: noisy(onHead(0, 0, 0.04)),
    BALL: noisy(swing.ballAt),
  };
  return trialOf(points, { rate_Hz, frames: Math.floor(swing.shape.duration_s * rate_Hz) });
}

export function faultsOf(trial: MarkerTrial, models: CleanSwing['models']): readonly Fault[] {
  return findFaults(trial, models, { repair: true }, createWorkspace()).value.faults;
}

/** One line a finding. */
export function faultText({ code, markers, frames, action, detail }: Fault): string {
  return `${code} ${markers.join(',')} ${frames.map((span) => span.join('–')).join(' ')} ${action}: ${detail}`;
}

/** True where the damage and nothing else is found: its code, its markers and its frames, and something was done about it. */
function isFound(faults: readonly Fault[], { code, markers, frames, tolerance, trial }: DamageCase): boolean {
  const [fault] = faults;
  if (fault === undefined || faults.length > 1 || fault.code !== code || fault.action === 'kept') return false;
  const names = markers.map((id) => fileName(id, trial.head.facts.hand.value)).sort();
  const [span] = fault.frames;
  if (fault.markers.join() !== names.join() || span === undefined || fault.frames.length > 1) return false;
  return Math.abs(span[0] - frames[0]) <= tolerance && Math.abs(span[1] - frames[1]) <= tolerance;
}

export interface DamageTally {
  readonly cases: number;
  readonly missed: readonly string[];
}

/** `each` damages of every kind in swings of these seeds at 240 and 500 Hz, noise 0 and 1 mm, with and without a static trial by turns. */
export function tallyDamage(seeds: readonly number[], each: number): ReadonlyMap<DamageKind, DamageTally> {
  const tallies = new Map(DAMAGES.map((kind) => [kind, { cases: 0, missed: [] as string[] }]));
  for (const seed of seeds) {
    for (const rate_Hz of RATES_Hz) {
      for (const noise_mm of NOISES_mm) {
        const { trial, plan } = caseOf(seed, rate_Hz, noise_mm);
        for (const kind of DAMAGES) {
          for (let i = 0; i < each; i++) {
            const damage = damageCase(trial, kind, 100 * seed + i);
            if (damage === null) continue;
            const tally = tallies.get(kind)!;
            tally.cases += 1;
            const faults = faultsOf(damage.trial, i % 2 === 0 ? [] : plan.calibration!.clusters);
            if (isFound(faults, damage)) continue;
            const where = `${damage.markers.join(',')} ${damage.frames.join('–')} of ${seed}, ${rate_Hz} Hz, ${noise_mm} mm`;
            tally.missed.push(`${where}: ${faults.map(faultText).join('; ')}`);
          }
        }
      }
    }
  }
  return tallies;
}
