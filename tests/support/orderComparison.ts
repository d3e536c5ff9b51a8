/** A player whose thorax is compared in all twelve orders of axes. */
import { compareRecords } from '../../src/compare/compareRecords.ts';
import type { PlayerComparison } from '../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../src/model/dayPlan.ts';
import { POSITIONS } from '../../src/model/positions.ts';
import { orderDay, PLACES, type PostureOf } from './orderDay.ts';
import { clubPlan } from './plans.ts';

/** Turned away more and more, the driver 8° further over from P3 on; the last position is near the singular one of Z-Y-X. */
const posture: PostureOf = (isDriver, position, swing) => {
  const place = POSITIONS.indexOf(position);
  const off = 0.4 * (swing % 4) - 0.6;
  return [-8.5 * place + off, (isDriver && place > 1 ? -43 : -35) + 0.5 * off, -place - off];
};

/** The foot has rotations but no quantities, the hip neither. */
export function orderComparison(rotations: readonly ('thorax' | 'lead_foot' | 'lead_hip')[]): PlayerComparison {
  const records = orderDay(posture).map((record) => ({
    ...record,
    rotations: { lead_foot: Object.fromEntries(PLACES.map((at) => [at, record.poses[at]!.thorax])) },
  }));
  return compareRecords(records, {
    player: { id: 'wren', hand: 'right' },
    clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
    options: { ...DEFAULT_COMPARE, resamples: 20 },
    orderCheck: rotations,
  });
}
