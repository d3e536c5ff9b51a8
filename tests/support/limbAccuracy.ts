/** What the program makes of limbs and head lines of known orientation: errors by quantity and position, degrees. */
import type { TruePosition } from '../../samples/generator/truth.ts';
import { lineTruth } from '../../samples/generator/wholeBodyTruth.ts';
import { LIMB_QUANTITIES } from '../../src/model/quantities/limbs.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { angleError, cellsAtTimes } from './trueTimes.ts';
import { ALL_TRUE, type Conditions, ErrorTable, truthCase } from './truthCases.ts';

const LIMBS = new Set(LIMB_QUANTITIES.map(({ id }) => id));
const LINES = ['head_line.tilt', 'eyes_line.tilt'] as const;
/** Flexion of hip, knee and elbow, tilt of the line of the ears; all others rest on landmarks under 80 mm apart somewhere (the orbits: 72 mm). */
const LONG = /^((lead|trail)_(hip|knee|elbow)\.flexion|head_line\.tilt)@/;

export interface LimbErrors {
  readonly atTrueTime: ErrorTable;
  readonly atFoundTime: ErrorTable;
  /** `quantity@position: reason`. */
  readonly missing: readonly string[];
}

/** P1 and P10 are means over 0.1 s of stillness, as definitions 6 has them. */
function trueValue(
  limbs: (t: number) => Readonly<Record<string, number>>,
  id: string,
  position: TruePosition,
  t: number,
): number {
  if (position !== 'P1' && position !== 'P10') return limbs(t)[id]!;
  const from = position === 'P1' ? t - 0.1 : t;
  let sum = 0;
  for (let i = 0; i < 10; i++) sum += angleNear(limbs(from + 0.005 + 0.01 * i)[id]!, limbs(from)[id]!);
  return sum / 10;
}

const angleNear = (value: number, reference: number): number =>
  value - 2 * Math.PI * Math.round((value - reference) / (2 * Math.PI));

export function measureLimbs(seeds: readonly number[], conditions: Conditions): LimbErrors {
  const atTrueTime = new ErrorTable();
  const atFoundTime = new ErrorTable();
  const missing: string[] = [];
  const ws = createWorkspace();
  for (const seed of seeds) {
    const one = truthCase(seed, { ...conditions, options: { ...conditions.options, limbs: true } });
    const { truth, limbs, contact_s, swing } = one.made;
    const lines = lineTruth(swing, truth, contact_s);
    const known = new Map(
      ALL_TRUE.map((position) => [
        position as string,
        new Map([
          ...[...LIMBS].map((id) => [id, trueValue(limbs, id, position, truth.time_s[position])] as const),
          ...LINES.map((id) => [id as string, lines[position]![id]!] as const),
        ]),
      ]),
    );
    ws.reset();
    const motion = motionFromMarkers(one.trial, one.plan, ws).value;
    const read = cellsAtTimes(motion, (position) => truth.time_s[position], contact_s, ws);
    const add = (cells: typeof read, table: ErrorTable): void => {
      for (const { quantity, position, value, why, flags } of cells) {
        const is = known.get(position)?.get(quantity);
        if (is === undefined || Number.isNaN(is)) continue;
        const name = `${quantity}@${position}`;
        if (value === null) missing.push(`${name}: ${why?.needed}`);
        else if (!flags.includes('near-singular')) table.at(name).add(angleError(value, is));
      }
    };
    add(read, atTrueTime);
    ws.reset();
    add(analyseTrial(one.trial, one.plan, ws).cells, atFoundTime);
  }
  return { atTrueTime, atFoundTime, missing };
}

/** All positions of a quantity together, as `quantity@all`: few swings then tell as much as many. */
export function byQuantity({ atTrueTime, atFoundTime, missing }: LimbErrors): LimbErrors {
  const pooled = (table: ErrorTable): ErrorTable => {
    const out = new ErrorTable();
    for (const [name, { values }] of table.rows) {
      for (const error of values) out.at(`${name.split('@')[0]}@all`).add(error);
    }
    return out;
  };
  return { atTrueTime: pooled(atTrueTime), atFoundTime: pooled(atFoundTime), missing };
}

export interface LimbLimit {
  readonly what: string;
  readonly read: (measured: LimbErrors) => { readonly name: string; readonly rms: number };
  readonly clean: number;
  readonly noisy: number;
}

/** Definitions 9. */
export const LIMB_LIMITS: readonly LimbLimit[] = [
  {
    what: 'flexion of hip, knee and elbow, tilt of the head line, at the true time',
    read: ({ atTrueTime }) => atTrueTime.worst((name) => LONG.test(name)),
    clean: 0.01,
    noisy: 0.4,
  },
  {
    what: 'rotations fixed by landmarks under 80 mm apart, tilt of the eyes line, at the true time',
    read: ({ atTrueTime }) => atTrueTime.worst((name) => !LONG.test(name)),
    clean: 0.01,
    noisy: 1,
  },
  {
    what: 'flexion of hip, knee and elbow, tilt of the head line, at the time found',
    read: ({ atFoundTime }) => atFoundTime.worst((name) => LONG.test(name)),
    clean: 0.02,
    noisy: 0.5,
  },
  {
    what: 'rotations fixed by landmarks under 80 mm apart, tilt of the eyes line, at the time found',
    read: ({ atFoundTime }) => atFoundTime.worst((name) => !LONG.test(name)),
    clean: 0.02,
    noisy: 1.2,
  },
];
