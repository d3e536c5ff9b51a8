/** One look at a day that is being captured: what its day file names now, and how the files stand. Opens captures to read, never to write. */
import { type Stats, statSync } from 'node:fs';
import { join } from 'node:path';
import { FormatError } from '../base/errors.ts';
import { readC3d } from '../c3d/readC3d.ts';
import { isFolder } from '../day/sensorFiles.ts';
import { FileError, fileReason, openBelow } from '../disk/fileSource.ts';
import { type DayRequest, type PlannedRun, planRun } from '../disk/plannedDay.ts';
import type { DayPlan } from '../model/dayPlan.ts';
import type { FileState, HeldFile } from './watchFiles.ts';

export type DayLook =
  | { readonly ok: false; readonly problems: readonly string[]; readonly sign: string }
  | {
      readonly ok: true;
      readonly day: PlannedRun;
      /** Every file that a trial names, with its state. */
      readonly files: ReadonlyMap<string, FileState>;
      /** Changes with every byte of the day file, the lab file and the tables. */
      readonly sign: string;
    };

/** Reads the day file with the files that are there. Never throws for what a disk or a day file holds. */
export function lookAtDay(request: DayRequest, onNote: (note: string) => void): DayLook {
  try {
    const day = planRun({ ...request, unfinished: true }, onNote);
    if (!day.ok) return { ...day, sign: day.problems.join('\n') };
    const sign = day.inputs.map(({ path, sha256 }) => `${path} ${sha256}`).join('\n');
    return { ok: true, day, files: statesOf(day), sign };
  } catch (error) {
    if (!(error instanceof FileError)) throw error;
    return { ok: false, problems: [error.message], sign: error.message };
  }
}

function statesOf({ plan, data }: PlannedRun): ReadonlyMap<string, FileState> {
  const states = new Map<string, FileState>();
  for (const path of plan.trials.flatMap(({ files }) => files)) {
    if (states.has(path)) continue;
    const stat = statOf(data, path);
    if (stat !== undefined) states.set(path, { bytes: stat.size, mtime_ms: stat.mtimeMs });
  }
  return states;
}

/** @throws FileError */
function statOf(data: string, path: string): Stats | undefined {
  try {
    return statSync(join(data, ...path.split('/')), { throwIfNoEntry: false });
  } catch (error) {
    throw new FileError(`${path} cannot be looked at: ${fileReason(error)}`);
  }
}

/** What says that the end of a C3D file is not there. */
const CUT_CODES: ReadonlySet<string> = new Set(['frames-missing', 'rotations-missing']);

/** What is missing of a file, in a sentence: it cannot be opened, or is a C3D file that ends before its header says. Null: it is whole, as far as it tells. */
export function shortageOf(data: string, path: string): string | null {
  let source: ReturnType<typeof openBelow>;
  try {
    source = openBelow(data, path);
  } catch (error) {
    return (error as Error).message;
  }
  try {
    if (!path.toLowerCase().endsWith('.c3d')) return null;
    // counts and labels alone: no sample is decoded
    const select = { points: [], analog: false, rotations: true, frames: [0, 0] } as const;
    const { diagnostics } = readC3d(source, { file: path, select });
    const cut = diagnostics.find(({ code }) => CUT_CODES.has(code));
    return cut === undefined ? null : `${path}: ${cut.message}`;
  } catch (error) {
    if (error instanceof FormatError || error instanceof FileError) return error.message;
    throw error;
  }
}

/** The listing of a day without what is not complete: the files that are held, and every trial that rests on one of them. */
export function withoutHeld(
  listing: readonly string[],
  plan: Pick<DayPlan, 'trials'>,
  held: readonly HeldFile[],
): readonly string[] {
  const out = new Set(held.map(({ path }) => path));
  const folders = new Set<string>();
  for (const { file, files } of plan.trials) {
    if (!files.some((path) => out.has(path))) continue;
    if (isFolder(file)) folders.add(file);
    else out.add(file);
  }
  return listing.filter((path) => !out.has(path) && ![...folders].some((folder) => path.startsWith(folder)));
}
