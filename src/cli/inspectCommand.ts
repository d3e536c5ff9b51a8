import { FileError, openFile } from '../disk/fileSource.ts';
import {
  type FailedInspection,
  type Inspection,
  inspectFile,
  inspectionsJson,
  inspectionText,
} from '../pipeline/inspect.ts';
import { EXIT } from './exit.ts';

/** Exit code 1 where any file cannot be read; the others are shown all the same. */
export function inspectCommand(files: readonly string[], json: boolean): number {
  const results = files.map(inspectOne);
  process.stdout.write(json ? inspectionsJson(results) : results.map(inspectionText).join('\n'));
  return results.some((one) => 'error' in one) ? EXIT.someBad : EXIT.used;
}

function inspectOne(path: string): Inspection | FailedInspection {
  try {
    const source = openFile(path, path);
    try {
      return inspectFile(source, path);
    } finally {
      source.close();
    }
  } catch (error) {
    if (!(error instanceof FileError)) throw error;
    return { file: path, error: { code: 'file-not-readable', message: error.message, offset: null } };
  }
}
