import type { CheckpointReading } from '../model/checkpoint.ts';
import type { PositionId } from '../model/positions.ts';
import { CURVE_POSITIONS, type SwingRecord } from '../model/swingRecord.ts';
import { type MethodChoice, methodClass } from './methods.ts';
import type { Sample } from './samples.ts';

/** What a checkpoint reads in each swing, from the samples of a comparison and the curves of its records. */

/** Values by swing, the group's first; NaN where a swing has none. */
export interface SwingValues {
  readonly values: Float64Array;
  /** Why swings have none, or ''. */
  readonly why: string;
}

export type SampleIndex = ReadonlyMap<string, Sample>;

export function indexSamples(samples: readonly Sample[]): SampleIndex {
  return new Map(samples.map((sample) => [`${sample.quantity.id}@${sample.position} ${sample.basis}`, sample]));
}

export function valuesAt(
  index: SampleIndex,
  n: number,
  quantity: string,
  position: PositionId | 'swing',
  basis: Sample['basis'] = 'value',
): SwingValues {
  const sample = index.get(`${quantity}@${position} ${basis}`);
  if (sample !== undefined) return { values: sample.values, why: sample.leftOut };
  const where = position === 'swing' ? '' : ` at ${position}`;
  return { values: new Float64Array(n).fill(Number.NaN), why: `${quantity}${where} is in none of these recordings` };
}

/**
 * Value at `to` less value at `from` of each swing; where a swing has no value of its own (a head zeroed at P1, a heading that is zero there)
 * the change since P1 at the one less that at the other.
 */
export function changeBetween(
  index: SampleIndex,
  n: number,
  quantity: string,
  from: PositionId,
  to: PositionId,
): SwingValues {
  const [a, b] = [valuesAt(index, n, quantity, from), valuesAt(index, n, quantity, to)];
  const zero = { values: new Float64Array(n), why: '' };
  const start = from === 'P1' ? zero : valuesAt(index, n, quantity, from, 'change');
  const end = valuesAt(index, n, quantity, to, 'change');
  const values = Float64Array.from(b.values, (value, swing) => {
    const plain = value - a.values[swing]!;
    return Number.isNaN(plain) ? end.values[swing]! - start.values[swing]! : plain;
  });
  return { values, why: [...new Set([a.why, b.why])].filter((text) => text !== '').join('; ') };
}

/** Number of a position: 5.5 for P5.5. */
function numberOf(position: PositionId): number {
  return Number(position.slice(1));
}

/** The place of a time among the positions found, by time between neighbours: 6.2 is a fifth of the way from P6 to P7. */
function placeOf(time_s: number, moments: readonly (readonly [number, number])[]): number {
  for (let i = 1; i < moments.length; i++) {
    const [number, end_s] = moments[i]!;
    const [before, start_s] = moments[i - 1]!;
    if (time_s <= end_s || i === moments.length - 1)
      return before + ((number - before) * (time_s - start_s)) / (end_s - start_s);
  }
  return Number.NaN;
}

/** Time of the vertex of the parabola through three points, b the highest; the time of b where it has none. */
function vertex(
  [ta, a]: readonly [number, number],
  [tb, b]: readonly [number, number],
  [tc, c]: readonly [number, number],
): number {
  const left = (b - a) / (tb - ta);
  const right = (c - b) / (tc - tb);
  const bend = (right - left) / (tc - ta);
  return bend < 0 ? 0.5 * (ta + tb) - left / (2 * bend) : tb;
}

/**
 * Where in one swing a quantity begins to fall (rise): the place of its largest (smallest) value on the curve from `from` to `to`, between
 * steps by a parabola. At an end of the stretch it is that end: it falls from the start, or not before the end. Text: why there is none.
 */
export function beginningOf(
  record: SwingRecord,
  quantity: string,
  reading: CheckpointReading & { readonly kind: 'begins' },
  choice: MethodChoice,
): number | string {
  const { from, to, way } = reading;
  for (const end of [from, to]) {
    const found = methodClass(record, end);
    const moment = record.moments[end];
    if (found === null || moment?.found !== true)
      return `${end} not found (needs ${moment?.found === false ? moment.why.needed : 'a moment'})`;
    if (found !== choice.methods[end]) return `${end} found by ${found}, not by ${choice.methods[end] ?? 'any'}`;
  }
  const curve = record.curves.find((one) => one.quantity === quantity);
  if (curve === undefined) return `no curve of ${quantity}`;
  const first = 10 * CURVE_POSITIONS.indexOf(from);
  const last = 10 * CURVE_POSITIONS.indexOf(to);
  const sign = way === 'falls' ? 1 : -1;
  const at = (step: number): readonly [number, number] => [record.curveBase.times_s[step]!, sign * curve.values[step]!];
  const start = record.cells.find((cell) => cell.quantity === quantity && cell.position === from);
  if (start !== undefined && start.why !== null) return `needs ${start.why.needed}`;
  let best = first;
  for (let step = first; step <= last; step++) {
    const [time_s, value] = at(step);
    if (Number.isNaN(time_s) || Number.isNaN(value)) return `the curve has a gap between ${from} and ${to}`;
    if (value > at(best)[1]) best = step;
  }
  if (best === first) return numberOf(from);
  if (best === last) return numberOf(to);
  const moments = (['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9'] as const)
    .filter((position) => numberOf(position) >= numberOf(from) && numberOf(position) <= numberOf(to))
    .flatMap((position): (readonly [number, number])[] => {
      const moment = record.moments[position];
      return moment?.found === true ? [[numberOf(position), moment.time_s]] : [];
    });
  const isOrdered = moments.every(([, time_s], i) => i === 0 || time_s > moments[i - 1]![1]);
  if (!isOrdered) return `positions between ${from} and ${to} are not in order`;
  return placeOf(vertex(at(best - 1), at(best), at(best + 1)), moments);
}
