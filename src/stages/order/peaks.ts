/** The peaks of one link by every method. */

import { type Avail, absent } from '../../model/availability.ts';
import type { OrderMethod, SpeedPeak } from '../../model/orderOfMotion.ts';

export type OfMethods = Readonly<Record<OrderMethod, Avail<SpeedPeak>>>;

export function everywhere(why: Avail<never>): OfMethods {
  return { magnitude: why, long_axis: why, swing_plane: why };
}

export const NO_PEAK = absent<never>('no-peak', 'a speed that rises and falls between the top and impact');
