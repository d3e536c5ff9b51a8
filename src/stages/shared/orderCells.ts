/** Cells of the order of motion: peak speeds of the links, when they are before impact, gains from link to link. */

import type { Missing } from '../../model/availability.ts';
import { type Link, linksBefore, type OrderOfMotion } from '../../model/orderOfMotion.ts';
import type { Quantity } from '../../model/quantity.ts';
import type { Cell } from '../../model/swingRecord.ts';

interface Once {
  readonly value: number;
  readonly sd: number;
  readonly flags: readonly string[];
  readonly rule?: string;
}

/** The cell of a quantity whose reading is 'order-of-motion' or 'order-gain'; null of any other. `plusMinus` is 1.96 standard deviations. */
export function orderCell({ id, order, unit, reading }: Quantity, motion: OrderOfMotion): Cell | null {
  let once: Once | Missing;
  if (reading.kind === 'order-gain') once = gainOf(reading.link, motion);
  else if (reading.kind === 'order-of-motion') {
    const peak = motion[reading.method][reading.link];
    once = !peak.ok
      ? peak.why
      : reading.figure === 'time'
        ? { value: peak.value.before_s, sd: peak.value.beforeSd_s, flags: peak.value.flags }
        : { value: peak.value.speed_radPerS, sd: peak.value.speedSd_radPerS, flags: peak.value.flags };
  } else return null;
  const quantity = id;
  const position = 'swing';
  if ('code' in once) return { quantity, position, order, unit, value: null, plusMinus: null, flags: [], why: once };
  const half = 1.96 * once.sd;
  const plusMinus = Number.isFinite(half) ? half : null;
  const flags = once.flags.length > 1 ? [...new Set(once.flags)] : once.flags;
  const { value, rule } = once;
  return rule === undefined
    ? { quantity, position, order, unit, value, plusMinus, flags, why: null, placement: null }
    : { quantity, position, order, unit, value, plusMinus, flags, why: null, rule, placement: null };
}

/** Over the nearest link before that has a peak; which one it was is the value's rule. */
function gainOf(link: Link, { magnitude }: OrderOfMotion): Once | Missing {
  const peak = magnitude[link];
  if (!peak.ok) return peak.why;
  for (const before of linksBefore(link)) {
    const base = magnitude[before];
    if (!base.ok) continue;
    const ratio = peak.value.speed_radPerS / base.value.speed_radPerS;
    const a = peak.value.speedSd_radPerS / peak.value.speed_radPerS;
    const b = base.value.speedSd_radPerS / base.value.speed_radPerS;
    return {
      value: ratio,
      sd: ratio * Math.sqrt(a * a + b * b),
      flags: [...peak.value.flags, ...base.value.flags],
      rule: `over the ${before.replaceAll('_', ' ')}`,
    };
  }
  return { code: 'landmark-missing', needed: 'a peak of a link before it' };
}
