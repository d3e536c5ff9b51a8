/** Names of players for the screen. They are read where they are asked for and written nowhere. */
import { nearestOf } from '../base/text.ts';
import { readDelimited } from '../day/delimitedText.ts';
import { FileError, readSmallFile } from '../disk/fileSource.ts';

const COLUMNS = ['code', 'name'] as const;

/** 'wren (Anna)' where the file has a name for the code, else the code. */
export type Naming = (code: string) => string;

/** Without a file every player is called by the code. @throws FileError with the line that cannot be used */
export function readNames(path: string | null): Naming {
  if (path === null) return (code) => code;
  const read = readDelimited(readSmallFile(path, path), COLUMNS);
  if (!read.ok) throw new FileError(`${path}, line ${read.line}: ${read.message}`);
  const header = read.header?.names ?? [];
  const at = COLUMNS.map((column) => {
    const index = header.indexOf(column);
    if (index >= 0) return index;
    const near = nearestOf(column, header);
    const found = header.length === 0 ? 'nothing' : header.join(', ');
    throw new FileError(
      `${path}: its first line must name the columns code and name, and holds ${found}${near === null ? '' : `; is "${near}" meant as ${column}?`}`,
    );
  });
  const names = new Map<string, string>();
  for (const { line, fields } of read.rows) {
    const [code = '', name = ''] = at.map((index) => (fields[index] ?? '').trim());
    if (names.has(code)) throw new FileError(`${path}, line ${line}: the code ${code} is there a second time`);
    names.set(code, name);
  }
  return (code) => ((names.get(code) ?? '') === '' ? code : `${code} (${names.get(code)})`);
}
