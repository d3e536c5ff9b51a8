/** Truth in the units of the report, rounded far below what any recording could show. */
import { TRUE_POSITIONS, type Truth } from './truth.ts';

const DEGREES = 180 / Math.PI;

export interface TruthRow {
  /** Seconds from the first frame. */
  readonly time_s: Readonly<Record<string, number>>;
  /** By position, by quantity. */
  readonly values: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly swing: Readonly<Record<string, number>>;
}

/** `club`: further figures of the club at impact. */
export function truthForFile(truth: Truth, club: Readonly<Record<string, number>>): TruthRow {
  const time_s: Record<string, number> = {};
  const values: Record<string, Record<string, number>> = {};
  for (const position of TRUE_POSITIONS) {
    time_s[position] = rounded(truth.time_s[position], 10_000_000);
    values[position] = shown(truth.values[position]);
  }
  return { time_s, values, swing: shown({ ...truth.swing, ...club }) };
}

function shown(values: Readonly<Record<string, number>>): Record<string, number> {
  const out: Record<string, number> = {};
  for (const [name, value] of Object.entries(values)) {
    const length = /\.(to_target|to_ball|rise|low_point|low_point_after)$/.test(name);
    const plain = name === 'club.head_speed' || name.startsWith('tempo.');
    out[name] = rounded(value * (length ? 1000 : plain ? 1 : DEGREES), plain ? 1_000_000 : 10_000);
  }
  return out;
}

function rounded(value: number, steps: number): number {
  return Math.round(value * steps) / steps;
}
