/** Records of a run for all its threads: where each lies, in the store or packed in memory, so that another thread can read it. */
import type { TrialPlan } from '../model/dayPlan.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { RecordShelf } from '../pipeline/swingBrief.ts';
import { decodeDone, type StorePlace, StoreShelf } from './resultStore.ts';

/** Where one record lies. Plain data: it is sent between threads. */
export type RecordHandle =
  | { readonly trial: string; readonly order: number; readonly key: string }
  | { readonly trial: string; readonly bytes: Uint8Array };

export class HandleShelf implements RecordShelf {
  readonly #stored: StoreShelf;
  /** What the disk does not take, packed. */
  readonly #packed = new Map<string, Uint8Array>();

  constructor(place: StorePlace, handles: Iterable<RecordHandle> = []) {
    this.#stored = new StoreShelf(place);
    for (const handle of handles) {
      if ('bytes' in handle) this.addPacked(handle.trial, handle.bytes);
      else this.add({ id: handle.trial, order: handle.order }, handle.key);
    }
  }

  add(trial: Pick<TrialPlan, 'id' | 'order'>, key: string): void {
    this.#stored.add(trial, key);
  }

  addPacked(trial: string, bytes: Uint8Array): void {
    this.#packed.set(trial, bytes);
  }

  /** None of a trial whose record is nowhere. */
  handlesOf(trials: Iterable<string>): readonly RecordHandle[] {
    const handles: RecordHandle[] = [];
    for (const trial of trials) {
      const bytes = this.#packed.get(trial);
      const entry = this.#stored.entry(trial);
      if (bytes !== undefined) handles.push({ trial, bytes });
      else if (entry !== undefined) handles.push({ trial, ...entry });
    }
    return handles;
  }

  /** @throws FileError where the entry was removed or damaged during the run */
  get(trial: string): SwingRecord {
    const bytes = this.#packed.get(trial);
    return bytes === undefined ? this.#stored.get(trial) : decodeDone(bytes).outcome.record!;
  }
}
