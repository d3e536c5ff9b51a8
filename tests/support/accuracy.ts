/** What the program makes of synthetic swings against what is true of them (definitions 9). */
import type { TruePosition } from '../../samples/generator/truth.ts';
import type { Cell, SwingRecord } from '../../src/model/swingRecord.ts';
import { createWorkspace, type Workspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { angleError, cellsAtTimes, count, countPositions } from './trueTimes.ts';
import { type Conditions, ErrorTable, type TruthCase, truthCase } from './truthCases.ts';

const DEGREES = 180 / Math.PI;

/** How often the stated ± held the truth. */
export class Coverage {
  readonly counts = new Map<string, { inside: number; of: number }>();

  add(name: string, error: number, half: number | null): void {
    if (half === null || !Number.isFinite(half)) return;
    const count = this.counts.get(name) ?? { inside: 0, of: 0 };
    this.counts.set(name, { inside: count.inside + (Math.abs(error) <= half ? 1 : 0), of: count.of + 1 });
  }

  /** Share inside, 0 to 1; NaN without a case. */
  share(name: string): number {
    const count = this.counts.get(name);
    return count === undefined ? Number.NaN : count.inside / count.of;
  }
}

export interface Measured {
  readonly swings: number;
  /** Degrees, `quantity@position`: read at the true time. */
  readonly atTrueTime: ErrorTable;
  /** Degrees: read where the program found the position. */
  readonly atFoundTime: ErrorTable;
  /** Milliseconds by position. */
  readonly times: ErrorTable;
  /** Figures of the club in degrees, degrees per second and millimetres; `club.head_speed` in percent. */
  readonly club: ErrorTable;
  /** Millimetres of displacement, `quantity@position`, at the found time. */
  readonly places: ErrorTable;
  /** By position and by club figure. */
  readonly coverage: Coverage;
  /** Times a position or figure was not found, with the reason. */
  readonly missing: Map<string, number>;
  /** Methods by position, counted. */
  readonly methods: Map<string, number>;
}

/** Angles of a catalogue row whose true value is known; the direction of a nearly upright spine means nothing (definitions 2). */
function isMeasurable(cell: Cell, truth: Readonly<Record<string, number>>): boolean {
  if (cell.quantity !== 'thorax.inclination_direction') return true;
  return truth['thorax.inclination']! > 15 / DEGREES;
}

/** Analyses the swings of these seeds. */
export function measure(seeds: readonly number[], conditions: Conditions): Measured {
  const measured: Measured = {
    swings: seeds.length,
    atTrueTime: new ErrorTable(),
    atFoundTime: new ErrorTable(),
    times: new ErrorTable(),
    club: new ErrorTable(),
    places: new ErrorTable(),
    coverage: new Coverage(),
    missing: new Map(),
    methods: new Map(),
  };
  const ws = createWorkspace();
  for (const seed of seeds) {
    const one = truthCase(seed, conditions);
    ws.reset();
    readAtTrueTimes(one, measured, ws);
    ws.reset();
    compare(one, analyseTrial(one.trial, one.plan, ws), measured);
  }
  return measured;
}

function readAtTrueTimes(one: TruthCase, measured: Measured, ws: Workspace): void {
  const { truth, contact_s } = one.made;
  const motion = motionFromMarkers(one.trial, one.plan, ws).value;
  const cells = cellsAtTimes(motion, (position) => truth.time_s[position], contact_s, ws);
  for (const cell of cells) {
    const values = truth.values[cell.position as TruePosition] as Readonly<Record<string, number>> | undefined;
    const is = values?.[cell.quantity];
    if (is === undefined || cell.unit !== 'deg' || !isMeasurable(cell, values!)) continue;
    if (cell.value === null) count(measured.missing, `${cell.quantity}@${cell.position}: ${cell.why?.needed}`);
    else measured.atTrueTime.at(`${cell.quantity}@${cell.position}`).add(angleError(cell.value, is));
  }
}

function compare(one: TruthCase, record: SwingRecord, measured: Measured): void {
  const { truth } = one.made;
  countPositions(record, measured, (position, moment) => {
    const error = moment.time_s - truth.time_s[position];
    measured.times.at(position).add(1000 * error);
    measured.coverage.add(position, error, 1.96 * moment.sd_s);
  });
  const swing: Readonly<Record<string, number>> = { ...truth.swing, ...one.made.clubTruth() };
  for (const cell of record.cells) {
    if (cell.position === 'swing') {
      compareFigure(cell, swing[cell.quantity], measured);
      continue;
    }
    const values = truth.values[cell.position as TruePosition] as Readonly<Record<string, number>> | undefined;
    const is = values?.[cell.quantity];
    if (is === undefined || cell.value === null) continue;
    const name = `${cell.quantity}@${cell.position}`;
    if (cell.unit === 'mm') measured.places.at(name).add(1000 * (cell.value - is));
    if (cell.unit !== 'deg' || !isMeasurable(cell, values!)) continue;
    const error = angleError(cell.value, is);
    measured.atFoundTime.at(name).add(error);
    measured.coverage.add('angles', error / DEGREES, cell.plusMinus);
  }
}

function compareFigure(cell: Cell, is: number | undefined, measured: Measured): void {
  if (is === undefined || !cell.quantity.startsWith('club.')) return;
  if (cell.value === null) {
    count(measured.missing, `${cell.quantity}: ${cell.why?.needed}`);
    return;
  }
  measured.club.at(cell.quantity).add(figureError(cell, cell.value, is));
  measured.coverage.add(cell.quantity, cell.value - is, cell.plusMinus);
}

function figureError({ quantity, unit }: Cell, value: number, is: number): number {
  if (quantity === 'club.head_speed') return 100 * (value / is - 1);
  if (unit === 'mm') return 1000 * (value - is);
  return unit === 'deg' ? angleError(value, is) : (value - is) * DEGREES;
}

export const seedsTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);
