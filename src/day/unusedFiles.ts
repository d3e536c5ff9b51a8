import type { Named } from './planContext.ts';
import { folderOf, isFolder, isSidecarName, isTableName } from './sensorFiles.ts';

/** Captures that no entry names: C3D files anywhere, tables of sensors where others are used. One note a kind. */
export function unusedNotes(
  named: readonly Named[],
  trialsCsv: string | undefined,
  listing: readonly string[],
): readonly string[] {
  const used = new Set(named.flatMap(({ file, files }) => [file, ...files]));
  const captures = listing.filter((path) => path.toLowerCase().endsWith('.c3d') && !used.has(path));
  const folders = new Set<string>();
  // beside a folder of tables there are others like it
  const above = new Set<string>();
  for (const { file, files } of named) {
    if (isFolder(file)) above.add(folderOf(file.slice(0, -1)));
    for (const path of files) if (isTableName(path) && !isSidecarName(path)) folders.add(folderOf(path));
  }
  const tables = listing.filter((path) => {
    if (!isTableName(path) || /\.txt$/i.test(path) || isSidecarName(path)) return false;
    if (path === trialsCsv || used.has(path)) return false;
    const folder = folderOf(path);
    return folders.has(folder) || (folder !== '' && above.has(folderOf(folder.slice(0, -1))));
  });
  return [...note(captures, '.c3d files'), ...note(tables, 'tables of sensors (.csv, .tsv)')];
}

function note(paths: readonly string[], what: string): readonly string[] {
  if (paths.length === 0) return [];
  const some = paths.slice(0, 3).join(', ');
  const more = paths.length > 3 ? ' …' : '';
  return [`${paths.length} ${what} of the data folder are not in the day file: ${some}${more}`];
}
