import { dirname, join, resolve } from 'node:path';
import { withoutRepair } from '../day/settings.ts';
import { analyseDay, type DayProgress, type DayResult } from '../pipeline/analyseDay.ts';
import type { DayIo } from '../pipeline/io.ts';
import { renderDay } from '../pipeline/renderDay.ts';
import type { RunInput } from '../pipeline/runRecord.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { type DayRequest, dayIo, planDay } from './plannedDay.ts';

export interface DayWatch {
  readonly onNote: (note: string) => void;
  readonly onProgress: (progress: DayProgress) => void;
  readonly onWriting: () => void;
  /** Between trials and between files; an error it throws ends the run. */
  readonly pause: () => Promise<void>;
}

/** Either problems of the day file, one line each (file:line:column: message), nothing then written, or a result and where it was written. */
export type DayRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | { readonly ok: true; readonly result: DayResult; readonly out: string };

/** From a day file to a written output folder. @throws FileError where files or folders cannot be used */
export async function runDay(request: DayRequest, watch: DayWatch): Promise<DayRun> {
  const day = planDay(request, watch.onNote);
  if (!day.ok) return day;
  const out = resolve(request.out ?? join(dirname(resolve(request.dayFile)), 'results'));
  checkOutputFolder(out);
  const sizes = new Map<string, number>();
  const plain = dayIo(day.data, { pause: watch.pause });
  const io: DayIo = {
    ...plain,
    open(path) {
      const source = plain.open(path);
      sizes.set(path, source.size);
      return source;
    },
  };
  const plan = request.repair === false ? withoutRepair(day.plan) : day.plan;
  const result = await analyseDay(plan, io, request, watch.onProgress);
  const inputs = [...day.inputs, ...captureInputs(result, sizes)];
  watch.onWriting();
  await writeOutput(out, renderDay(result, inputs, request), watch.pause);
  return { ok: true, result, out };
}

/** Every file of every trial, once: a side-car may serve many recordings. */
function captureInputs(result: DayResult, sizes: ReadonlyMap<string, number>): readonly RunInput[] {
  const inputs = new Map<string, RunInput>();
  for (const { file, files, sha256 } of result.outcomes) {
    for (const one of files ?? [{ path: file, sha256 }]) {
      if ((inputs.get(one.path)?.sha256 ?? '') === '')
        inputs.set(one.path, { ...one, bytes: sizes.get(one.path) ?? 0 });
    }
  }
  return [...inputs.values()].map(({ path, bytes, sha256 }) => ({ path, bytes, sha256 }));
}
