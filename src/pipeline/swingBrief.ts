/** What the main thread holds of a swing while its record lies elsewhere: what the day is judged by, and what its tables say of every trial. */
import { contentKey, type GateFinding, gateFindings } from '../compare/gateReadings.ts';
import type { DayOutcome, SwingFacts, SwingRecord, TrialOutcome } from '../model/swingRecord.ts';

export interface SwingBrief extends SwingFacts, Pick<SwingRecord, 'headPlace' | 'headPoint'> {
  /** What the gates find in the record alone, without its faults. */
  readonly findings: readonly GateFinding[];
  readonly contentKey: string;
}

export type BriefOutcome = TrialOutcome<SwingBrief>;

/** Records of a day, wherever they lie. */
export interface RecordShelf {
  /** The record as its trial left it. @throws Error whose message a user understands where it is gone */
  get(trial: string): SwingRecord;
}

/** A shelf that may lack some. */
export interface PartialShelf extends RecordShelf {
  holds(trial: string): boolean;
}

export function briefOf(record: SwingRecord): SwingBrief {
  const { head, datum, form, frames, faults, smoothing, headPlace, headPoint } = record;
  return {
    head,
    datum,
    form,
    headPoint,
    frames,
    ...(faults === undefined ? {} : { faults }),
    ...(headPlace === undefined ? {} : { headPlace }),
    ...(smoothing === undefined ? {} : { smoothing }),
    findings: gateFindings(record),
    contentKey: contentKey(record),
  };
}

export function briefOutcome(outcome: TrialOutcome): BriefOutcome {
  return { ...outcome, record: outcome.record === null ? null : briefOf(outcome.record) };
}

/** The record of a used swing, read from the shelf, with what the day found of it since; null of other trials. */
export function recordFrom(shelf: RecordShelf, { trial, record, diagnostics }: DayOutcome): SwingRecord | null {
  if (record === null) return null;
  const { faults } = record;
  return { ...shelf.get(trial), ...(faults === undefined ? {} : { faults }), diagnostics };
}

/** A shelf for days that are small or that no disk is lent to. */
export class MemoryShelf implements RecordShelf {
  readonly #records = new Map<string, SwingRecord>();

  /** Takes the record of a trial and leaves its brief. */
  take(outcome: TrialOutcome): BriefOutcome {
    if (outcome.record !== null) this.#records.set(outcome.trial, outcome.record);
    return briefOutcome(outcome);
  }

  get(trial: string): SwingRecord {
    const record = this.#records.get(trial);
    if (record === undefined) throw new RangeError(`there is no record of ${trial}`);
    return record;
  }
}
