import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { compareCodeUnits } from '../base/text.ts';
import { FileError, fileReason } from './fileSource.ts';

const MOST_FILES = 200_000;
const PASSED_OVER = new Set(['node_modules', '$RECYCLE.BIN', 'System Volume Information']);

/**
 * Files below a folder, `/` between folders, by code unit. Hidden files and folders are passed over; links to files count,
 * links to folders are not followed, so that no circle is possible. @throws FileError
 */
export function listFiles(folder: string): readonly string[] {
  const out: string[] = [];
  const walk = (below: string): void => {
    let entries: ReturnType<typeof entriesOf>;
    try {
      entries = entriesOf(join(folder, below));
    } catch (error) {
      if (below !== '') return;
      throw new FileError(`the folder ${folder} cannot be listed: ${fileReason(error)}`);
    }
    for (const entry of entries) {
      if (entry.name.startsWith('.') || PASSED_OVER.has(entry.name)) continue;
      const path = below === '' ? entry.name : `${below}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else if (entry.isFile() || (entry.isSymbolicLink() && isFile(join(folder, path)))) out.push(path);
      if (out.length > MOST_FILES)
        throw new FileError(`${folder} holds more than ${MOST_FILES} files; choose a smaller folder`);
    }
  };
  walk('');
  return out.sort(compareCodeUnits);
}

function entriesOf(folder: string) {
  return readdirSync(folder, { withFileTypes: true });
}

function isFile(path: string): boolean {
  try {
    return statSync(path).isFile();
  } catch {
    return false;
  }
}
