/** German. What it does not say of its own is said in English. */
import { completed, type Partly } from './completed.ts';
import { CHECKPOINTS, DOUBTS } from './de/checkpoints.ts';
import { COMMON } from './de/common.ts';
import { DAY } from './de/day.ts';
import { DETAILS } from './de/details.ts';
import { DIFFERENCES } from './de/differences.ts';
import { FINDINGS } from './de/findings.ts';
import { ORDER } from './de/order.ts';
import { ORDERS } from './de/orders.ts';
import { PAGE } from './de/page.ts';
import { POSITIONS } from './de/positions.ts';
import { QUALITY } from './de/quality.ts';
import { QUANTITIES } from './de/quantities.ts';
import { SESSIONS } from './de/sessions.ts';
import { SHEET } from './de/sheet.ts';
import { TABLE } from './de/table.ts';
import { TREND } from './de/trend.ts';
import type { Words } from './words.ts';

export const DE_WORDS: Partly<Words> = {
  ...COMMON,
  positions: POSITIONS,
  quantities: QUANTITIES,
  differences: DIFFERENCES,
  findings: FINDINGS,
  checkpoints: CHECKPOINTS,
  doubts: DOUBTS,
  order: ORDER,
  orders: ORDERS,
  sessions: SESSIONS,
  trend: TREND,
  page: PAGE,
  sheet: SHEET,
  table: TABLE,
  details: DETAILS,
  day: DAY,
  quality: QUALITY,
};

export const DE: Words = completed(DE_WORDS);
