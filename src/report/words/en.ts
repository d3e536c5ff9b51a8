/** English, complete. */
import { CHECKPOINTS, DOUBTS } from './en/checkpoints.ts';
import { COMMON } from './en/common.ts';
import { DAY } from './en/day.ts';
import { DETAILS } from './en/details.ts';
import { DIFFERENCES } from './en/differences.ts';
import { FINDINGS } from './en/findings.ts';
import { ORDER } from './en/order.ts';
import { ORDERS } from './en/orders.ts';
import { PAGE } from './en/page.ts';
import { POSITIONS } from './en/positions.ts';
import { QUALITY } from './en/quality.ts';
import { QUANTITIES } from './en/quantities.ts';
import { SESSIONS } from './en/sessions.ts';
import { SHEET } from './en/sheet.ts';
import { TABLE } from './en/table.ts';
import { TREND } from './en/trend.ts';

export const EN = {
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
  table: TABLE,
  trend: TREND,
  page: PAGE,
  sheet: SHEET,
  details: DETAILS,
  day: DAY,
  quality: QUALITY,
};
