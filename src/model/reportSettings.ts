import type { Unit } from './units.ts';

export const SPEED_UNITS = ['m/s', 'mph'] as const;
export const LENGTH_UNITS = ['mm', 'in'] as const;

/** How the report is written: sheets, details and pages. Tables are not touched by it. */
export interface ReportSettings {
  readonly speed: (typeof SPEED_UNITS)[number];
  readonly length: (typeof LENGTH_UNITS)[number];
}

export const DEFAULT_REPORT: ReportSettings = { speed: 'm/s', length: 'mm' };

/** The unit in which the report writes what the tables have in `unit`. */
export function reportUnit(unit: Unit, { speed, length }: ReportSettings): Unit {
  if (unit === 'm/s') return speed;
  return unit === 'mm' ? length : unit;
}
