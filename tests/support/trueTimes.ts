/** Quantities of a motion read at times that are known, and what is counted of them; shared by markers and sensors. */

import type { TruePosition } from '../../samples/generator/truth.ts';
import { CATALOGUE } from '../../src/model/catalogue.ts';
import type { Motion } from '../../src/model/motion.ts';
import type { Moment, PositionId } from '../../src/model/positions.ts';
import type { Cell, SwingRecord } from '../../src/model/swingRecord.ts';
import type { Workspace } from '../../src/numeric/workspace.ts';
import { jointAngles } from '../../src/stages/jointAngles.ts';
import { readQuantities } from '../../src/stages/readQuantities.ts';
import { NO_ORDER } from './noOrder.ts';
import { ALL_TRUE } from './truthCases.ts';

const DEGREES = 180 / Math.PI;

/** Cells at the given times, seconds on the motion's clock; impact lies in the frame pair around `contact_s`. */
export function cellsAtTimes(
  motion: Motion,
  time_s: (position: TruePosition) => number,
  contact_s: number,
  ws: Workspace,
): readonly Cell[] {
  const moments = new Map<PositionId, Moment>();
  for (const position of ALL_TRUE) {
    const t = time_s(position);
    moments.set(position, {
      found: true,
      time_s: t,
      sd_s: 0,
      method: 'event',
      confidence: 1,
      flags: [],
      window_s: position === 'P1' ? [t - 0.1, t] : position === 'P10' ? [t, t + 0.1] : null,
      eventOffset_s: null,
    });
  }
  const none = { ok: false, why: { code: 'not-asked', needed: '' } } as const;
  const before = Math.floor(contact_s * motion.clock.rate_Hz);
  return readQuantities(
    {
      motion,
      angles: jointAngles(motion, [], ws).value,
      found: { moments, impact: { ok: true, value: { before, after: before + 1, evidence: 'event' } } },
      club: { 'head-speed': none, attack: none, path: none },
      order: NO_ORDER,
    },
    CATALOGUE,
    ws,
  ).value.cells;
}

/** Degrees, on the branch nearest the truth. */
export function angleError(value: number, truth: number): number {
  const turns = Math.round((value - truth) / (2 * Math.PI));
  return (value - truth - 2 * Math.PI * turns) * DEGREES;
}

export function count(map: Map<string, number>, key: string): void {
  map.set(key, (map.get(key) ?? 0) + 1);
}

/** Positions of a record: those not found and the methods are counted, the others go to `found` with the time. */
export function countPositions(
  record: SwingRecord,
  { missing, methods }: { readonly missing: Map<string, number>; readonly methods: Map<string, number> },
  found: (position: TruePosition, moment: Moment & { readonly found: true }) => void,
): void {
  for (const position of ALL_TRUE) {
    const moment = record.moments[position];
    if (moment?.found !== true) {
      count(missing, `${position}: ${moment?.why.needed ?? 'no moment'}`);
      continue;
    }
    count(methods, `${position} ${moment.method}`);
    found(position, moment);
  }
}
