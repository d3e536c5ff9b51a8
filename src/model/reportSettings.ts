import type { Unit } from './units.ts';

export const SPEED_UNITS = ['m/s', 'mph'] as const;
export const LENGTH_UNITS = ['mm', 'in'] as const;
/** Language tags (BCP 47) of the languages that the report speaks. */
export const LANGUAGES = ['en', 'de'] as const;
export type Language = (typeof LANGUAGES)[number];

/** How the report is written: sheets, details and pages. Tables are not touched by it. */
export interface ReportSettings {
  readonly speed: (typeof SPEED_UNITS)[number];
  readonly length: (typeof LENGTH_UNITS)[number];
  readonly language: Language;
}

export const DEFAULT_REPORT: ReportSettings = { speed: 'm/s', length: 'mm', language: 'en' };

/** The settings in another language where one is asked for; undefined where neither says anything. */
export function inAskedLanguage(
  settings: ReportSettings | undefined,
  language: Language | undefined,
): ReportSettings | undefined {
  return language === undefined ? settings : { ...(settings ?? DEFAULT_REPORT), language };
}

/** The unit in which the report writes what the tables have in `unit`. */
export function reportUnit(unit: Unit, { speed, length }: Pick<ReportSettings, 'speed' | 'length'>): Unit {
  if (unit === 'm/s') return speed;
  return unit === 'mm' ? length : unit;
}
