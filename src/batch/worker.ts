/** A worker thread: one workspace for all its trials; results are moved to the main thread as bytes. */
import { transferableSymbol, valueSymbol, workerData } from 'piscina';
import { openBelow, sha256Of } from '../disk/fileSource.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import { runTask, type TrialTask } from '../pipeline/trialTask.ts';
import { loadAnalysis } from './analysis.ts';
import { createResultStore, encodeDone, type StorePlace } from './resultStore.ts';

/** What all tasks of a pool share. */
export interface WorkerSetup {
  readonly data: string;
  /** Null: nothing is kept. */
  readonly store: StorePlace | null;
  /** A module whose `analyse` takes the place of the program's own; null: none. */
  readonly analysis: string | null;
}

export interface WorkerAnswer {
  /** Of encodeDone. */
  readonly bytes: Uint8Array;
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
  const tools = { io, ws, analyse, ...(store === null ? {} : { memory: createResultStore(store, told) }) };
  const { recalled, ...done } = runTask(task, tools);
  return moved({ bytes: encodeDone(done), recalled, key, notes });
}

/** The answer with its bytes moved to the other thread, not copied. */
function moved(value: WorkerAnswer): WorkerAnswer {
  return { ...value, [transferableSymbol]: [value.bytes.buffer], [valueSymbol]: value } as WorkerAnswer;
}
