/** From a table of swings measured elsewhere to a written comparison. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { compareTable } from '../compare/compareTable.ts';
import { readSwingTable, type TableRequest } from '../day/swingTable.ts';
import { DEFAULT_COMPARE } from '../model/dayPlan.ts';
import { DEFAULT_REPORT, inAskedLanguage, type Language } from '../model/reportSettings.ts';
import type { TableComparison } from '../model/swingTable.ts';
import { renderTable } from '../pipeline/renderTable.ts';
import type { TableFormat } from '../tables/formats.ts';
import { FileError, readSmallFile, sha256OfBytes } from './fileSource.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';
import { languageNote } from './runComparison.ts';

export interface TableRun {
  readonly comparisons: readonly TableComparison[];
  readonly out: string;
  readonly notes: readonly string[];
  readonly problems: readonly string[];
}

export interface TableOutput {
  /** Null: `comparison` beside the table. */
  readonly out: string | null;
  readonly tables: readonly TableFormat[];
  /** Of the report; absent: English. */
  readonly language?: Language;
}

/** Reads the table, compares and writes; `out` null: `comparison` beside it. @throws FileError @throws TableOptionError */
export async function runTable(
  path: string,
  request: TableRequest,
  { out, tables, language }: TableOutput,
  pause: () => Promise<void>,
): Promise<TableRun> {
  const file = resolve(path);
  if (!existsSync(file)) throw new FileError(`there is no table ${path}`);
  if (statSync(file).isDirectory()) throw new FileError(`${path} is a folder; --table names a file`);
  const name = basename(file);
  const bytes = readSmallFile(file, path);
  const { table, plan, by, notes, problems } = readSwingTable(bytes, name, request);
  const folder = resolve(out ?? join(dirname(file), 'comparison'));
  checkOutputFolder(folder, 'compare');
  await pause();
  const { seed, resamples } = DEFAULT_COMPARE;
  const comparisons = compareTable(table, { ...plan, seed, resamples });
  const program = programFacts();
  const view = {
    file: name,
    by,
    comparisons,
    notes: [...notes, ...problems],
    settings: inAskedLanguage(DEFAULT_REPORT, language) ?? DEFAULT_REPORT,
    programVersion: `${program.name} ${program.version}`,
  };
  const run = {
    program,
    libraries: libraryFacts(),
    days: [],
    options: { ...request, seed, resamples, ...languageNote(language) },
    inputs: [{ path: name, bytes: bytes.length, sha256: sha256OfBytes(bytes) }],
    tables,
  };
  await writeOutput(folder, renderTable(comparisons, view, run), pause, 'compare');
  return { comparisons, out: folder, notes, problems };
}
