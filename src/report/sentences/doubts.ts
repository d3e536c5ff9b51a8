import { quantityById } from '../../model/catalogue.ts';
import type { Gate } from '../../model/gates.ts';
import type { Outlying } from '../../model/outlying.ts';
import type { TrialOutcome } from '../../model/swingRecord.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { counted, listed, plain, signedWithUnit } from './numbers.ts';
import { labelOf } from './words.ts';

/** What is said of a swing that is used with a doubt. */

/** 'for review: marker noise 4.1 mm (C7), more than 3 mm', 'accepted by hand: seen by eye'; '' where a swing is accepted by the rules. */
function gateText(words: Words, { verdict, setBy, note, reasons }: Gate): string {
  const found = reasons.map(({ text }) => text).join('; ');
  if (setBy === 'rules') return verdict === 'accept' ? '' : fill(words.doubts.review, { found });
  return words.doubts.byHand({ note, found });
}

/** 'outlying among 8 swings (driver): chest side bend at P7 +6.1° from their median (distance 5.1, limit 2.7)' */
export function outlyingText(words: Words, { group, swings, values, distance, limit }: Outlying): string {
  const each = values.map(({ quantity, position, unit, deviation }) => {
    const shown = signedWithUnit(words, deviation, quantityById(quantity).decimals, unit);
    return fill(words.doubts.outlyingValue, { quantity: labelOf(words, quantity), position, deviation: shown });
  });
  const how = fill(words.doubts.distance, { distance: plain(words, distance, 1), limit: plain(words, limit, 1) });
  return fill(words.doubts.outlying, {
    swings: counted(words, swings, 'swing'),
    group: words.side(group),
    values: listed(words, each),
    how,
  });
}

/** Everything that is to be said of a swing in use; '' where it is a plain one. */
export function doubtText(words: Words, { gate, outlying }: Pick<TrialOutcome, 'gate' | 'outlying'>): string {
  const texts = [
    gate === undefined ? '' : gateText(words, gate),
    outlying === undefined ? '' : outlyingText(words, outlying),
  ];
  return texts.filter((text) => text !== '').join('; ');
}
