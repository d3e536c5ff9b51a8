/**
 * Days from 1970-01-01 to an ISO date of the Gregorian calendar, for places along an axis. Years are taken to begin in March, so that the leap day is the
 * last of its year, and 400 years have 146 097 days (H. Hinnant, chrono-Compatible Low-Level Date Algorithms, days_from_civil).
 */
export function dayNumber(date: string): number {
  const [year, month, day] = date.split('-').map(Number) as [number, number, number];
  const fromMarch = month <= 2 ? year - 1 : year;
  const era = Math.floor(fromMarch / 400);
  const yearOfEra = fromMarch - 400 * era;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = 365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return 146_097 * era + dayOfEra - 719_468;
}
