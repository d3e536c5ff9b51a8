import type { PlayerComparison } from '../model/comparison.ts';
import { findingsOf } from '../report/findings.ts';
import { EN } from '../report/words/en.ts';

/** The player's finding in one sentence, as on the sheet; why there is none where nothing could be compared. */
export function headlineOf(comparison: PlayerComparison): string {
  return comparison.reason === '' ? findingsOf(EN, comparison).headline : `no comparison: ${comparison.reason}`;
}
