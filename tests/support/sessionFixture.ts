/** Days of one player with a speed, a length and an angle as primary comparisons: two days, a season, a table measured elsewhere. */
import { compareSessions } from '../../src/compare/sessions.ts';
import { trendOf } from '../../src/compare/trend.ts';
import { DEFAULT_COMPARE } from '../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import type { Trend } from '../../src/model/trend.ts';
import { createRandom } from '../../src/numeric/random.ts';
import type { SessionView } from '../../src/report/sessionSheet.ts';
import type { TableView } from '../../src/report/tablePage.ts';
import { fixtureComparison } from './reportFixture.ts';
import { fullDay, swingRecord } from './swingRecords.ts';

const PRIMARY = ['club.head_speed@swing', 'thorax.to_target@P7', 'pelvis.forward_bend@P4'];

/** Eight swings of the driver, eight of an iron; the driver is `gap` faster and further, display units. */
function madeDay(gap: number, level: number): readonly SwingRecord[] {
  return Array.from({ length: 16 }, (_, i) => {
    const isDriver = i < 8;
    const own = level + (isDriver ? gap : 0) + 0.3 * Math.sin(7 * i);
    const values = Object.fromEntries(PRIMARY.map((key, k) => [key, 20 * (k + 1) + own + 0.1 * Math.cos(5 * i + k)]));
    const club = isDriver ? 'driver' : 'iron7';
    return swingRecord({ trial: `t${i + 10}`, club, kind: isDriver ? 'driver' : 'iron', order: i, values });
  });
}

const PLAN = {
  player: { id: 'wren', hand: 'right' },
  options: { ...DEFAULT_COMPARE, primary: PRIMARY, resamples: 100 },
  reapplication: {},
} as const;

const GAPS = { '2026-05-16': 30, '2026-06-30': 22, '2026-09-12': 15 } as const;
const DATED = Object.entries(GAPS).map(([date, gap], i) => {
  return { date, version: '0.1.0', records: madeDay(gap, i), clubs: [], stills: [] };
});

export const fixtureSession = () => compareSessions(DATED[0]!, DATED[2]!, PLAN);
export const fixtureTrend = () => trendOf(DATED, PLAN);

export function fixtureTable(): TableView {
  const { player, part, group, reference, rows, familySizes, counts } = fixtureComparison();
  const side = ({ label, trials }: typeof group) => ({ label, swings: trials.length });
  const comparison = {
    player, by: ['range'], part, group: side(group), reference: side(reference), familySizes, counts, missing: 3, values: 400, reason: '',
    rows: rows.slice(0, 60).map((row) => ({ ...row, unit: 'none' as const, position: 'swing' as const })),
  }; // biome-ignore format: one glance
  return {
    file: 'shots.csv',
    by: ['view'],
    comparisons: [comparison],
    notes: ['12 rows of 5 s'],
    programVersion: 'swingbasis 0.1.0',
  };
}

/** Days of one player with every quantity of the trunk; the driver's forward bend at P4 is `size` further, by date. */
function fullDays(sizes: Readonly<Record<string, number>>) {
  return Object.entries(sizes).map(([date, size], i) => {
    const at = (quantity: string, position: string): number =>
      quantity === 'pelvis.forward_bend' && position === 'P4' ? size : 0;
    return { date, version: '0.1.0', records: fullDay(createRandom(i + 1), 7, 9, 1, at), clubs: [], stills: [] };
  });
}

const FULL_PLAN = { player: { id: 'wren', hand: 'right' }, options: DEFAULT_COMPARE, reapplication: {} } as const;

/** Two days of one player, the second with a smaller gap. */
export function fullSession(): SessionView {
  const [before, after] = fullDays({ '2026-05-16': 10, '2026-09-12': 4 });
  const comparison = compareSessions(before!, after!, FULL_PLAN);
  return { comparison, notes: ['another lens'], programVersion: 'swingbasis 0.1.0' };
}

/** Three days of one player with a gap that closes, the last of a newer version; one more day has no driver. */
export function fullTrend(): Trend {
  const days = fullDays({ '2026-05-16': 10, '2026-06-30': 7, '2026-09-12': 4, '2026-10-03': 4 });
  const dated = days.map((day, i) => ({
    ...day,
    version: i < 2 ? '0.1.0' : '0.2.0',
    records: i < 3 ? day.records : day.records.filter(({ head }) => head.club !== 'driver'),
  }));
  return trendOf(dated, FULL_PLAN);
}
