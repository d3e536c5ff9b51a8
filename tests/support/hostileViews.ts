/** Views other than that of a day, with a text in every place that a file fills. */
import { compareRecords } from '../../src/compare/compareRecords.ts';
import type { GroupInfo, PlayerComparison } from '../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../src/model/dayPlan.ts';
import { POSITIONS } from '../../src/model/positions.ts';
import type { SessionComparison } from '../../src/model/sessions.ts';
import type { SessionView } from '../../src/report/sessionSheet.ts';
import type { TableView } from '../../src/report/tablePage.ts';
import type { TrendView } from '../../src/report/trendSheet.ts';
import { orderDay, type PostureOf } from './orderDay.ts';
import { clubPlan } from './plans.ts';
import { fixtureSession, fixtureTable, fixtureTrend } from './sessionFixture.ts';

const side = (group: GroupInfo, text: string): GroupInfo => ({
  ...group,
  label: text,
  clubs: group.clubs.map(() => text),
  trials: group.trials.map((_, i) => `${text}${i}`),
});

function hostileSessionOf(comparison: SessionComparison, text: string): SessionComparison {
  const { group, reference } = comparison;
  return {
    ...comparison,
    group: { before: side(group.before, text), after: side(group.after, text) },
    reference: { before: side(reference.before, text), after: side(reference.after, text) },
    rows: comparison.rows.map((row) => ({ ...row, reason: text })),
    notes: [text],
  };
}

const SESSION = fixtureSession();
const TREND = fixtureTrend();
const TABLE = fixtureTable();

export function hostileSession(text: string): SessionView {
  return { comparison: hostileSessionOf(SESSION, text), notes: [text], programVersion: text };
}

/** The version of the program is read from the folders of the days. */
export function hostileTrend(text: string): TrendView {
  const last = TREND.last === null ? null : hostileSessionOf(TREND.last, text);
  const days = TREND.days.map((day, i) => ({
    ...day,
    version: i === 0 ? text : day.version,
    reason: i === 1 ? text : '',
    group: side(day.group, text),
    reference: side(day.reference, text),
  }));
  const trend = { ...TREND, labels: { group: text, reference: text }, days, last, notes: [text] };
  return { trend, programVersion: text };
}

export function hostileTable(text: string): TableView {
  const comparisons = TABLE.comparisons.map((comparison) => ({
    ...comparison,
    player: text,
    by: [text],
    group: { ...comparison.group, label: text },
    reference: { ...comparison.reference, label: text },
    rows: comparison.rows.map((row) => ({ ...row, quantity: text })),
  }));
  return { ...TABLE, file: text, by: [text], comparisons, notes: [text], programVersion: text };
}

/** Turned away more and more, the driver further over from P3 on. */
const posture: PostureOf = (isDriver, position, swing) => {
  const place = POSITIONS.indexOf(position);
  const off = 0.4 * (swing % 4) - 0.6;
  return [-8.5 * place + off, (isDriver && place > 1 ? -43 : -35) + 0.5 * off, -place - off];
};
const ORDERS = compareRecords(orderDay(posture), {
  player: { id: 'wren', hand: 'right' },
  clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
  options: { ...DEFAULT_COMPARE, resamples: 20 },
  orderCheck: ['thorax'],
});

export function hostileOrders(text: string): { readonly comparison: PlayerComparison } {
  const { group, reference } = ORDERS;
  return { comparison: { ...ORDERS, group: side(group, text), reference: side(reference, text), notes: [text] } };
}
