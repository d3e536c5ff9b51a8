import { orderSummary } from '../../src/compare/orderOfMotion.ts';
import type { Sample } from '../../src/compare/samples.ts';
import { CATALOGUE } from '../../src/model/catalogue.ts';
import type { Link, OrderMethod } from '../../src/model/orderOfMotion.ts';
import type { OrderSummary } from '../../src/model/orderSummary.ts';

/** Invented peaks of turning, seeded by the caller, made into a summary by the program itself: milliseconds before impact, degrees per second. */
export type OrderCase =
  /** Every link, from the ground up, the same with all clubs and by all methods. */
  | 'full'
  /** About the long axis the chest leads the pelvis; with the driver the arm leads the chest. */
  | 'mixed'
  /** Peaks so scattered that nothing is settled. */
  | 'open';

const MAGNITUDE: Readonly<Partial<Record<Link, readonly [before_ms: number, speed: number]>>> = {
  pelvis: [96, 442],
  thorax: [71, 709],
  lead_upper_arm: [58, 806],
  lead_forearm: [44, 1145],
  club: [0, 1987],
};

const SHARE: Readonly<Record<OrderMethod, number>> = { magnitude: 1, long_axis: 0.94, swing_plane: 0.89 };

function timeOf(link: Link, method: OrderMethod, isDriver: boolean, kind: OrderCase): number {
  const [before] = MAGNITUDE[link]!;
  if (kind !== 'mixed') return before;
  if (method === 'long_axis' && link === 'thorax') return 118;
  if (isDriver && link === 'lead_upper_arm') return 84;
  return before;
}

export function fixtureOrder(
  kind: OrderCase,
  drivers: number,
  irons: number,
  missing: readonly Link[],
  normal: () => number,
): OrderSummary | null {
  const samples = CATALOGUE.flatMap((quantity): Sample[] => {
    const { reading } = quantity;
    if (reading.kind !== 'order-of-motion') return [];
    const { link, method, figure } = reading;
    const isThere = MAGNITUDE[link] !== undefined && !missing.includes(link);
    const values = Float64Array.from({ length: drivers + irons }, (_, swing) => {
      if (!isThere) return Number.NaN;
      const isDriver = swing < drivers;
      if (figure === 'speed') return MAGNITUDE[link]![1] * SHARE[method] * ((isDriver ? 1.05 : 1) + 0.015 * normal());
      const scatter = (kind === 'open' ? 60 : 3) * normal();
      return Math.max(0, timeOf(link, method, isDriver, kind) + (link === 'club' ? 0 : scatter)) / 1000;
    });
    const leftOut = isThere
      ? ''
      : `${drivers} of ${drivers} driver and ${irons} of ${irons} irons left out: needs markers of ${link.replaceAll('_', ' ')}`;
    return [
      {
        quantity,
        position: 'swing',
        basis: 'value',
        order: null,
        values,
        nGroup: drivers,
        flags: [],
        leftOut,
        refused: '',
      },
    ];
  });
  return orderSummary(samples);
}
