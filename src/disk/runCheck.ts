/** From a day file to what its captures are good for; writes nothing. */
import { withoutRepair } from '../day/settings.ts';
import type { DayProgress } from '../pipeline/analyseDay.ts';
import { checkDay, type DayCheck } from '../pipeline/checkDay.ts';
import { type DayPlace, dayIo, planDay } from './plannedDay.ts';

export interface CheckWatch {
  readonly onNote: (note: string) => void;
  readonly onProgress: (progress: DayProgress) => void;
  /** Between trials; an error it throws ends the check. */
  readonly pause: () => Promise<void>;
}

export type CheckRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | { readonly ok: true; readonly check: DayCheck };

/** Checks the captures of a day, finished or not. @throws FileError where the day file or the data folder cannot be used */
export async function runCheck(place: DayPlace, repair: boolean, watch: CheckWatch): Promise<CheckRun> {
  const day = planDay(place, watch.onNote, true);
  if (!day.ok) return day;
  const plan = repair ? day.plan : withoutRepair(day.plan);
  const check = await checkDay(plan, dayIo(day.data, { pause: watch.pause }), day.waiting, watch.onProgress);
  return { ok: true, check };
}
