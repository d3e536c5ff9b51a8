import { quantityById } from '../../model/catalogue.ts';
import type { Gate } from '../../model/gates.ts';
import type { Outlying } from '../../model/outlying.ts';
import type { TrialOutcome } from '../../model/swingRecord.ts';
import { counted, listed, plain, signedWithUnit } from './numbers.ts';

/** What is said of a swing that is used with a doubt. */

/** 'for review: marker noise 4.1 mm (C7), more than 3 mm', 'accepted by hand: seen by eye'; '' where a swing is accepted by the rules. */
function gateText({ verdict, setBy, note, reasons }: Gate): string {
  const found = reasons.map(({ text }) => text).join('; ');
  if (setBy === 'rules') return verdict === 'accept' ? '' : `for review: ${found}`;
  return `accepted by hand${note === '' ? '' : `: ${note}`}${found === '' ? '' : ` (found: ${found})`}`;
}

/** 'outlying among 8 swings (driver): chest side bend at P7 +6.1° from their median (distance 5.1, limit 2.7)' */
export function outlyingText({ group, swings, values, distance, limit }: Outlying): string {
  const each = values.map(({ quantity, position, unit, deviation }) => {
    const { label, decimals } = quantityById(quantity);
    return `${label} at ${position} ${signedWithUnit(deviation, decimals, unit)}`;
  });
  const how = `distance ${plain(distance, 1)}, limit ${plain(limit, 1)}`;
  return `outlying among ${counted(swings, 'swing')} (${group}): ${listed(each)} from their median (${how})`;
}

/** Everything that is to be said of a swing in use; '' where it is a plain one. */
export function doubtText({ gate, outlying }: Pick<TrialOutcome, 'gate' | 'outlying'>): string {
  const texts = [gate === undefined ? '' : gateText(gate), outlying === undefined ? '' : outlyingText(outlying)];
  return texts.filter((text) => text !== '').join('; ');
}
