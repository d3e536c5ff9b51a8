/** A worker thread: one workspace for all its trials; records stay in the store, the main thread is told what it holds of them and sent what is written. */
import { transferableSymbol, valueSymbol, workerData } from 'piscina';
import { openBelow, sha256Of } from '../disk/fileSource.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import { type BriefOutcome, briefOutcome, recordFrom } from '../pipeline/swingBrief.ts';
import { runTask, type TaskDone, type TrialTask } from '../pipeline/trialTask.ts';
import { loadAnalysis } from './analysis.ts';
import {
  type PlayerAnswer,
  type PlayerTask,
  playerAnswer,
  type ReadyFile,
  readyFile,
  type SwingAnswer,
  type SwingTask,
} from './partMessages.ts';
import { HandleShelf } from './recordHandles.ts';
import { createResultStore, encodeDone, type StorePlace, storedSeries } from './resultStore.ts';

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
export function trial(task: TrialTask): WorkerAnswer {
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
  const value = { outcome: briefOutcome(outcome), basis, bytes, recalled, key, notes };
  return moved(value, bytes === null ? [] : [bytes]);
}

/** Makes one swing ready to be written. Throws what reading its record throws. */
export async function swing({ outcome, handles, options, hasSeries }: SwingTask): Promise<SwingAnswer> {
  const { swingOutput } = await import('../pipeline/swingOutput.ts');
  const notes: string[] = [];
  const keys = new Map(handles.flatMap((handle) => ('key' in handle ? [[handle.trial, handle.key]] : [])));
  const seriesOf = hasSeries ? storedSeries(store, keys, (note) => notes.push(note)) : null;
  const record = recordFrom(new HandleShelf(store, handles), outcome)!;
  const output = await swingOutput(record, options, seriesOf);
  const files = output.files.map(readyFile);
  return moved({ ...output, files, notes }, bytesOf(files));
}

/** Makes one player ready to be written. Throws what reading the records throws. */
export async function player({ part, handles }: PlayerTask): Promise<PlayerAnswer> {
  const { playerOutput } = await import('../pipeline/playerOutput.ts');
  const output = playerAnswer(await playerOutput(part, new HandleShelf(store, handles)));
  return moved(output, bytesOf(output.files));
}

function bytesOf(files: readonly ReadyFile[]): readonly Uint8Array[] {
  return files.map(({ text }) => text[0]);
}

/** The answer with these bytes of it moved to the other thread, not copied. */
function moved<T extends object>(value: T, bytes: readonly Uint8Array[]): T {
  return { ...value, [transferableSymbol]: bytes.map(({ buffer }) => buffer), [valueSymbol]: value } as T;
}
