import { expect, it } from 'vitest';
import { dayNumber } from '../../../src/base/calendar.ts';

it('numbers every day of 1600 to 2400 as the calendar of the language does (ECMA-262, Time Within Day and Year)', () => {
  const DAY_ms = 86_400_000;
  for (let at = Date.UTC(1600, 0, 1); at < Date.UTC(2401, 0, 1); at += DAY_ms) {
    const date = new Date(at).toISOString().slice(0, 10);
    if (dayNumber(date) !== at / DAY_ms) expect([date, dayNumber(date)]).toEqual([date, at / DAY_ms]);
  }
  expect(dayNumber('1970-01-01')).toBe(0);
});
