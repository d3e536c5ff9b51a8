import { existsSync, readdirSync, readFileSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { compareCodeUnits } from '../base/text.ts';
import type { Output, OutputPart } from '../pipeline/renderReport.ts';
import { startAtomically, UNFINISHED, type UnfinishedFile, writeAtomically } from './atomicWrite.ts';
import { FileError } from './fileSource.ts';

const RUN_RECORD = 'run.json';
/** Files that this program wrote into the folder: only these are ever removed. */
const MADE = '.store/files.json';
/** What a run keeps for the next one; it may be alone where a run was ended early. */
const STORE = '.store';

/** What a folder is written by: results of a day and comparisons never take each other's place. */
export type OutputKind = 'process' | 'compare';

const HOLDS: Readonly<Record<OutputKind, string>> = { process: 'the results of a day', compare: 'a comparison' };

/** Refuses a folder that is not empty and holds no run of this program, or one of the other kind. @throws FileError */
export function checkOutputFolder(folder: string, kind: OutputKind = 'process'): void {
  if (!existsSync(folder)) return;
  if (!statSync(folder).isDirectory()) throw new FileError(`${folder} is a file; --out names a folder`);
  if (readdirSync(folder).every((name) => name === STORE)) return;
  const wayOut = 'choose another with --out, or empty it yourself';
  const held = kindOf(folder);
  if (held === null) {
    throw new FileError(`the folder ${folder} is not empty and holds no earlier run of this program; ${wayOut}`);
  }
  if (held !== kind) throw new FileError(`the folder ${folder} holds ${HOLDS[held]}, which stays; ${wayOut}`);
}

/** What an earlier run left in the folder, whole or not; null where no run of this program did. */
function kindOf(folder: string): OutputKind | null {
  const record = parsed(join(folder, RUN_RECORD));
  if (typeof record === 'object' && record !== null && (record as { program?: unknown }).program === 'swingbasis')
    return (record as { command?: unknown }).command === 'compare' ? 'compare' : 'process';
  if (existsSync(join(folder, RUN_RECORD))) return null;
  const earlier = madeFiles(folder);
  if (earlier.length === 0) return null;
  // the first file of a comparison; that of a day is another table
  return earlier.includes('tables/comparison.csv') && !earlier.includes('tables/angles.csv') ? 'compare' : 'process';
}

function parsed(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    return null;
  }
}

/** Files below the folder that the last run noted as made by it; nothing that leads out of the folder. */
export function madeFiles(folder: string): readonly string[] {
  const noted = parsed(join(folder, MADE));
  if (!Array.isArray(noted)) return [];
  return noted.filter(
    (path): path is string =>
      typeof path === 'string' &&
      path !== '' &&
      !path.split(/[/\\]/).includes('..') &&
      !/^([/\\]|[A-Za-z]:)/.test(path),
  );
}

/**
 * Writes the files of a run, some of them bit by bit beside others. The run record of an earlier run goes first and the new one comes last, so
 * that a folder with a run record is whole; what an earlier run made and this one does not is removed. @throws FileError
 */
export async function writeOutput(
  folder: string,
  files: AsyncIterable<Output>,
  pause: () => Promise<void>,
  kind: OutputKind = 'process',
): Promise<void> {
  checkOutputFolder(folder, kind);
  const earlier = madeFiles(folder);
  const made = new Set<string>();
  const open = new Map<string, UnfinishedFile>();
  let begun = false;
  const begin = (): void => {
    begun = true;
    removeUnfinished(folder);
    const all = [...new Set([...earlier, ...made])].sort(compareCodeUnits);
    writeAtomically(join(folder, MADE), [`${JSON.stringify(all, null, 1)}\n`]);
    rmSync(join(folder, RUN_RECORD), { force: true });
  };
  try {
    for await (const file of files) {
      await pause();
      made.add(file.path);
      if (!begun) begin();
      if (file.path === RUN_RECORD) finish(folder, earlier, made);
      const path = join(folder, ...file.path.split('/'));
      if ('text' in file) writeAtomically(path, file.text);
      else writePart(path, file, open);
    }
  } finally {
    for (const file of open.values()) file.abandon();
  }
}

function writePart(path: string, { piece, isLast = false }: OutputPart, open: Map<string, UnfinishedFile>): void {
  const file = open.get(path) ?? startAtomically(path);
  open.set(path, file);
  file.write(piece);
  if (!isLast) return;
  file.finish();
  open.delete(path);
}

/** Adds a file to a finished run and notes it as made, so that the next run takes it away or makes it again. @throws FileError */
export function addOutput(folder: string, path: string, bytes: Uint8Array): void {
  const all = [...new Set([...madeFiles(folder), path])].sort(compareCodeUnits);
  writeAtomically(join(folder, MADE), [`${JSON.stringify(all, null, 1)}\n`]);
  writeAtomically(join(folder, ...path.split('/')), [bytes]);
}

/** Removes what is no longer made and notes what is there, before the run record makes the folder whole. */
function finish(folder: string, earlier: readonly string[], made: ReadonlySet<string>): void {
  for (const path of earlier) {
    if (made.has(path)) continue;
    const full = join(folder, ...path.split('/'));
    rmSync(full, { force: true });
    removeEmptyFolders(dirname(full), folder);
  }
  writeAtomically(join(folder, MADE), [`${JSON.stringify([...made].sort(compareCodeUnits), null, 1)}\n`]);
}

/** Removes what a killed run was writing. The store may be written by others at this moment, so it is passed over. */
function removeUnfinished(folder: string): void {
  if (!existsSync(folder)) return;
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    if (!entry.isFile() || !entry.name.startsWith('.') || !entry.name.endsWith(UNFINISHED)) continue;
    if (!path.startsWith(join(folder, STORE))) rmSync(path, { force: true });
  }
}

function removeEmptyFolders(from: string, stop: string): void {
  for (let at = from; at !== stop && at.startsWith(stop); at = dirname(at)) {
    if (!existsSync(at)) continue;
    if (readdirSync(at).length > 0) return;
    rmdirSync(at);
  }
}
