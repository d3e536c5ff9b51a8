/** A worker thread: one workspace for all its trials; records stay in the store, the main thread is told what it holds of them. */
import { transferableSymbol, valueSymbol, workerData } from 'piscina';
import { openBelow, sha256Of } from '../disk/fileSource.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import { type BriefOutcome, briefOutcome } from '../pipeline/swingBrief.ts';
import { runTask, type TaskDone, type TrialTask } from '../pipeline/trialTask.ts';
import { loadAnalysis } from './analysis.ts';
import { createResultStore, encodeDone, type StorePlace } from './resultStore.ts';

/** What all tasks of a pool share. */
export interface WorkerSetup {
  readonly data: string;
  readonly store: StorePlace;
  /** A module whose `analyse` takes the place of the program's own; null: none. */
  readonly analysis: string | null;
}

export interface WorkerAnswer extends Pick<TaskDone, 'basis'> {
  readonly outcome: BriefOutcome;
  /** Of encodeDone, where the record of a swing is in no store; else null. */
  readonly bytes: Uint8Array | null;
  readonly recalled: boolean;
  /** Under which the store has it; null where it has not. */
  readonly key: string | null;
  readonly notes: readonly string[];
}

const { data, store, analysis } = workerData as WorkerSetup;
const analyse = await loadAnalysis(analysis);
const ws = createWorkspace();
const io = { open: (path: string) => openBelow(data, path), sha256: sha256Of };

/** Runs one task. Never throws for what the files hold. */
export default function answer(task: TrialTask): WorkerAnswer {
  const notes: string[] = [];
  let key: string | null = null;
  const told = {
    onNote: (note: string) => notes.push(note),
    onKey: (_trial: string, found: string) => {
      key = found;
    },
  };
  const tools = { io, ws, analyse, memory: createResultStore(store, told) };
  const { recalled, ...done } = runTask(task, tools);
  const { outcome, basis } = done;
  const bytes = key === null && outcome.record !== null ? encodeDone(done) : null;
  return moved({ outcome: briefOutcome(outcome), basis, bytes, recalled, key, notes });
}

/** The answer with its bytes moved to the other thread, not copied. */
function moved(value: WorkerAnswer): WorkerAnswer {
  const transfer = value.bytes === null ? [] : [value.bytes.buffer];
  return { ...value, [transferableSymbol]: transfer, [valueSymbol]: value } as WorkerAnswer;
}
