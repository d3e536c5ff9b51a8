import * as z from 'zod';
import { LANGUAGES, LENGTH_UNITS, SPEED_UNITS } from './reportSettings.ts';

/** `ReportSettings` as run records and archives keep them. Apart from the settings, which the script of a page reads too. */
export const storedReport = z.looseObject({
  speed: z.enum(SPEED_UNITS),
  length: z.enum(LENGTH_UNITS),
  language: z.enum(LANGUAGES).default('en'),
});
