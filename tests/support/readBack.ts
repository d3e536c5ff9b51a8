/** A written day read back, as the commands that come after `process` read it. */

import { storedFiles } from '../../src/disk/runComparison.ts';
import type { PlayerComparison } from '../../src/model/comparison.ts';
import { compareStoredDay } from '../../src/pipeline/compareStored.ts';
import { readStoredDay, type StoredDay } from '../../src/pipeline/storedDay.ts';

/** Throws where not everything can be used. */
export function readBack(out: string): StoredDay {
  const { day, problems } = readStoredDay(storedFiles(out, out, []));
  if (day === null || problems.length > 0) throw new Error(problems.join('\n'));
  return day;
}

export function comparisonsOf(day: StoredDay): readonly PlayerComparison[] {
  return compareStoredDay(day, { named: null, player: null });
}
