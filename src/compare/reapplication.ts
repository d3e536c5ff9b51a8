import { CATALOGUE } from '../model/catalogue.ts';
import type { Reapplication } from '../model/reapplication.ts';
import { topicOf } from '../model/topics.ts';
import { marginSetting } from './margins.ts';
import type { Sampled } from './samples.ts';

/** Definitions 8: what putting the markers on again moves an angle by. */
const ANGLE_DEG = 3;
const PELVIS_FORWARD_BEND_DEG = 5;

/**
 * What markers put on again may move a quantity by, display units: 3° for angles of the body, 5° for forward bend of the pelvis, nothing for
 * lengths, times, speeds and the club, unless it is set.
 */
export function reapplicationOf(quantity: Sampled, set: Reapplication): number {
  const own = Object.hasOwn(set, quantity.id) ? set[quantity.id] : undefined;
  if (own !== undefined) return own;
  const topic = topicOf(quantity.reading);
  if (quantity.unit !== 'deg' || quantity.reading.kind === 'club' || topic === 'club' || topic === 'order') return 0;
  return quantity.id === 'pelvis.forward_bend' ? PELVIS_FORWARD_BEND_DEG : ANGLE_DEG;
}

/** Margins of all quantities that have an absolute one, with what the markers may have moved. A share of the mean stays as it is, and so does what is zeroed. */
export function enlargedMargins(
  margins: Readonly<Record<string, number>>,
  set: Reapplication,
  zeroed: ReadonlyMap<string, unknown>,
): Readonly<Record<string, number>> {
  const out: Record<string, number> = { ...margins };
  for (const quantity of CATALOGUE) {
    const setting = marginSetting(quantity, margins);
    const more = reapplicationOf(quantity, set);
    if (setting.kind === 'absolute' && more > 0 && !zeroed.has(quantity.id)) out[quantity.id] = setting.value + more;
  }
  return out;
}
