import { formatFixed } from '../base/format.ts';
import type { Quantity } from '../model/quantity.ts';

/** How large a difference must be to matter: fixed per quantity before the data (definitions 8). */
export type MarginSetting =
  | { readonly kind: 'absolute'; readonly value: number; readonly rule: 'default' | 'day file' }
  | { readonly kind: 'share'; readonly value: number; readonly rule: string };

/** The day file's margin in display units, else the catalogue's. Throws RangeError for a margin that is not a number from 0 up. */
export function marginSetting(
  quantity: Pick<Quantity, 'id' | 'margin'>,
  margins: Readonly<Record<string, number>>,
): MarginSetting {
  const set = Object.hasOwn(margins, quantity.id) ? margins[quantity.id] : undefined;
  if (set !== undefined) {
    if (!(set >= 0 && Number.isFinite(set))) throw new RangeError(`the margin of ${quantity.id} is ${set}`);
    return { kind: 'absolute', value: set, rule: 'day file' };
  }
  const { kind, value } = quantity.margin;
  if (kind === 'absolute') return { kind, value, rule: 'default' };
  const percent = 100 * value;
  const text = formatFixed(percent, Number.isInteger(Math.round(percent * 1e6) / 1e6) ? 0 : 1);
  return { kind, value, rule: `${text} % of the mean` };
}

/** The margin in display units: a share is of the mean of the two group means, whatever its sign. NaN where a mean is missing. */
export function marginOf(setting: MarginSetting, meanGroup: number, meanReference: number): number {
  return setting.kind === 'absolute' ? setting.value : setting.value * Math.abs(0.5 * (meanGroup + meanReference));
}
