import type { PlayerComparison } from '../model/comparison.ts';
import { findingsOf } from '../report/findings.ts';
import { EN } from '../report/words/en.ts';
import { orderSentences } from './renderOrders.ts';

/** A comparison in one sentence. */
export interface Finding extends Pick<PlayerComparison, 'player' | 'name'> {
  /** Of the player's part; '' where there is one alone. */
  readonly label: string;
  readonly headline: string;
  /** Of the orders of axes that were asked for: a sentence for each segment or joint. */
  readonly orders: readonly string[];
}

/** The finding of a comparison, with whose it is. */
export function findingOf(comparison: PlayerComparison): Finding {
  const { player, name, part } = comparison;
  return {
    player,
    ...(name === undefined ? {} : { name }),
    label: part.label,
    headline: headlineOf(comparison),
    orders: orderSentences(comparison),
  };
}

/** The player's finding in one sentence, as on the sheet; why there is none where nothing could be compared. */
export function headlineOf(comparison: PlayerComparison): string {
  return comparison.reason === '' ? findingsOf(EN, comparison).headline : `no comparison: ${comparison.reason}`;
}
