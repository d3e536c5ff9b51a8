import type { LengthUnit } from './trial.ts';

/** Display units. Radians, metres, seconds and ratios inside; these factors are applied only at the doors (tables, report). */
/** 'mph' and 'in': of the report alone, where it is asked for them. 'none': of a column of a table measured elsewhere, whose unit is not known. */
export const UNITS = ['deg', 'mm', 's', 'm/s', 'deg/s', '%', 'ratio', 'N', 'none', 'mph', 'in'] as const;
/** A unit of display. */
export type Unit = (typeof UNITS)[number];

/** Metres of the units of length that recordings use. */
export const METRES_PER: Readonly<Record<LengthUnit, number>> = { mm: 0.001, cm: 0.01, m: 1 };

/** Metres per second of one mile per hour, exact (international yard and pound agreement of 1959: a mile is 1609.344 m). */
const MILE_PER_HOUR_mPerS = 0.44704;

/** Metres of one inch, exact (the same agreement). */
const INCH_m = 0.0254;

const FACTOR: Readonly<Record<Unit, number>> = {
  deg: 180 / Math.PI,
  mm: 1000,
  s: 1,
  'm/s': 1,
  'deg/s': 180 / Math.PI,
  '%': 100,
  ratio: 1,
  N: 1,
  none: 1,
  mph: 1 / MILE_PER_HOUR_mPerS,
  in: 1 / INCH_m,
};

/** Decimals in tables (interfaces.md). */
export const TABLE_DECIMALS: Readonly<Record<Unit, number>> = {
  deg: 3,
  mm: 2,
  s: 5,
  'm/s': 3,
  'deg/s': 2,
  '%': 2,
  ratio: 4,
  N: 1,
  none: 6,
  mph: 3,
  in: 4,
};

/** Inside value (SI, radians) → display unit. */
export function toDisplay(value: number, unit: Unit): number {
  return value * FACTOR[unit];
}

/** Display unit → inside value (SI, radians). */
export function fromDisplay(value: number, unit: Unit): number {
  return value / FACTOR[unit];
}

/** A speed in miles per hour. */
export function milesPerHour(speed_mPerS: number): number {
  return speed_mPerS / MILE_PER_HOUR_mPerS;
}
