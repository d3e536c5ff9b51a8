/** Quantities that a swing has once: club figures at impact, times between positions and their ratios. */

import type { Missing } from '../../model/availability.ts';
import type { ClubFigures } from '../../model/delivery.ts';
import type { Moments, PositionId } from '../../model/positions.ts';
import type { Quantity } from '../../model/quantity.ts';
import type { Cell } from '../../model/swingRecord.ts';

interface Once {
  readonly value: number;
  readonly sd: number;
  readonly flags: readonly string[];
}

/** The cell of a quantity whose `at` is 'swing'. Throws RangeError for a reading that needs a position. */
export function swingCell(quantity: Quantity, moments: Moments, club: ClubFigures, targetAssumed: boolean): Cell {
  const own = targetAssumed && quantity.usesTarget ? ['target-assumed'] : [];
  const { id, order, unit } = quantity;
  const position = 'swing';
  const once =
    targetAssumed && quantity.needsTarget
      ? { code: 'target-assumed', needed: 'a target line that is set or given by an alignment marker' }
      : onceOf(quantity, moments, club);
  if ('code' in once) {
    return { quantity: id, position, order, unit, value: null, plusMinus: null, flags: own, why: once };
  }
  const half = 1.96 * once.sd;
  const plusMinus = Number.isFinite(half) ? half : null;
  const all = [...own, ...once.flags];
  const flags = all.length > 1 ? [...new Set(all)] : all;
  return { quantity: id, position, order, unit, value: once.value, plusMinus, flags, why: null, placement: null };
}

function onceOf({ id, reading }: Quantity, moments: Moments, club: ClubFigures): Once | Missing {
  switch (reading.kind) {
    case 'club': {
      const figure = club[reading.figure];
      if (figure === undefined) return { code: 'not-read', needed: 'the reading of the club at impact' };
      return figure.ok ? figure.value : figure.why;
    }
    case 'time':
      return between(moments, reading.from, reading.to);
    case 'time-ratio': {
      const of = between(moments, ...reading.of);
      const over = between(moments, ...reading.over);
      if ('code' in of) return of;
      if ('code' in over) return over;
      if (!(over.value > 0)) return { code: 'position-missing', needed: `${reading.over.join(' and ')} in this order` };
      const ratio = of.value / over.value;
      const a = of.sd / of.value;
      const b = over.sd / over.value;
      return {
        value: ratio,
        sd: Math.abs(ratio) * Math.sqrt(a * a + b * b),
        flags: [...new Set([...of.flags, ...over.flags])],
      };
    }
    default:
      throw new RangeError(`${id} is read at positions, not once a swing`);
  }
}

/** Seconds from one position to another. */
function between(moments: Moments, from: PositionId, to: PositionId): Once | Missing {
  const a = moments.get(from);
  const b = moments.get(to);
  if (a?.found !== true) return a?.why ?? { code: 'position-missing', needed: `the moment of ${from}` };
  if (b?.found !== true) return b?.why ?? { code: 'position-missing', needed: `the moment of ${to}` };
  return {
    value: b.time_s - a.time_s,
    sd: Math.sqrt(a.sd_s * a.sd_s + b.sd_s * b.sd_s),
    flags: [...a.flags, ...b.flags],
  };
}
