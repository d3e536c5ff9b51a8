/** P1 < P2 < … < P10: what may be reversed, and what a break costs (definitions 6). */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Moment, POSITIONS, type PositionId } from '../../model/positions.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';
import { type FoundMoment, flagged, missingMoment } from './momentMaker.ts';

/** A late or early set reverses these. */
const MAY_BE_REVERSED: readonly (readonly [PositionId, PositionId])[] = [
  ['P2', 'P3'],
  ['P5', 'P6'],
];

/** Position and those that must come later. */
const MUST_PRECEDE: readonly (readonly [PositionId, readonly PositionId[]])[] = [
  ['P4', ['P5', 'P6', 'P7']],
  ['P4(arm)', ['P5', 'P7']],
  ['P2', ['P4', 'P4(arm)', 'P7']],
  ['P3', ['P4', 'P4(arm)', 'P7']],
  ['P5', ['P7']],
  ['P6', ['P7']],
  ['P8', ['P9']],
  ['P1', ['P2', 'P3', 'P4', 'P4(arm)']],
];
/** These come after P7; P10 after all. */
const AFTER_IMPACT: readonly PositionId[] = ['P8', 'P9', 'P10'];

function found(moments: ReadonlyMap<PositionId, Moment>, position: PositionId): FoundMoment | null {
  const moment = moments.get(position);
  return moment?.found ? moment : null;
}

/** Flags reversed pairs; a position that breaks the order otherwise becomes missing. */
export function keepOrder(moments: Map<PositionId, Moment>, diagnostics: Diagnostic[]): void {
  const drop = (position: PositionId, other: PositionId, word: string): void => {
    const a = found(moments, position)!;
    const b = found(moments, other)!;
    const text = `${position} (${formatFixed(a.time_s, 3)} s) ${word} ${other} (${formatFixed(b.time_s, 3)} s)`;
    diagnostics.push(positionDiagnostic('position-order', `${text}: left out`));
    moments.set(position, missingMoment('out-of-order', `its place in the order of positions; ${text}`));
  };
  for (const position of AFTER_IMPACT) {
    const p7 = found(moments, 'P7');
    const own = found(moments, position);
    if (p7 !== null && own !== null && own.time_s <= p7.time_s) drop(position, 'P7', 'comes before');
  }
  for (const [position, later] of MUST_PRECEDE) {
    for (const other of later) {
      const a = found(moments, position);
      const b = found(moments, other);
      if (a === null || b === null || a.time_s < b.time_s) continue;
      // The top and impact hold the others; where they disagree the other position is dropped.
      if (other === 'P7' || other === 'P4' || other === 'P4(arm)' || position === 'P1')
        drop(position, other, 'comes after');
      else drop(other, position, 'comes before');
    }
  }
  const p9 = found(moments, 'P9');
  const p10 = found(moments, 'P10');
  if (p9 !== null && p10 !== null && p10.time_s <= p9.time_s) drop('P10', 'P9', 'comes before');
  for (const [first, second] of MAY_BE_REVERSED) {
    const a = found(moments, first);
    const b = found(moments, second);
    if (a === null || b === null || a.time_s <= b.time_s) continue;
    moments.set(first, flagged(a, 'reversed'));
    moments.set(second, flagged(b, 'reversed'));
    diagnostics.push(
      positionDiagnostic(
        'position-order',
        `${second} comes ${formatFixed(1000 * (a.time_s - b.time_s), 0)} ms before ${first}`,
      ),
    );
  }
}

/** One diagnostic for each position that is missing (P4(arm) is only sought without P4 by the shaft), and for a moving address. */
export function reportMissing(moments: ReadonlyMap<PositionId, Moment>, diagnostics: Diagnostic[]): void {
  for (const position of POSITIONS) {
    const moment = moments.get(position);
    if (moment === undefined) continue;
    if (!moment.found) {
      diagnostics.push(positionDiagnostic('position-missing', `${position} needs ${moment.why.needed}`));
    } else if (moment.flags.includes('moving-address')) {
      diagnostics.push(
        positionDiagnostic(
          'moving-address',
          `${position} is the slowest 0.1 s, ending at ${formatFixed(moment.time_s, 3)} s`,
        ),
      );
    }
  }
}
