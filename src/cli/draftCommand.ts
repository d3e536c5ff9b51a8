import { existsSync } from 'node:fs';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { writeAtomically } from '../disk/atomicWrite.ts';
import { FileError, openFile } from '../disk/fileSource.ts';
import { listFiles } from '../disk/listing.ts';
import { draftDay } from '../pipeline/draft.ts';
import { EXIT } from './exit.ts';

/** Writes a day file for a folder and says what to do next. @throws FileError where it exists or the folder holds no capture */
export function draftCommand(folder: string, out: string | null): number {
  const path = out ?? join(folder, 'day.yaml');
  if (existsSync(path)) throw new FileError(`${path} already exists; it is never overwritten. Name another with --out`);
  const listing = listFiles(folder);
  const { text, recordings, others } = draftDay({
    folder: basename(resolve(folder)),
    listing,
    open: (file) => openFile(join(folder, ...file.split('/')), file),
  });
  if (recordings === 0) {
    const first = others.slice(0, 3).join('; ');
    const more = others.length > 3 ? `; and ${others.length - 3} more` : '';
    throw new FileError(
      `${folder} holds no .c3d file and no recording of sensors${first === '' ? '' : `: ${first}${more}`}`,
    );
  }
  writeAtomically(path, [text], { exclusive: true });
  const lines = text.split('\n').flatMap((line, index) => (/^[^#]*"\?"/.test(line) ? [index + 1] : []));
  process.stdout.write(`${path}\n`);
  const data = relative(resolve(dirname(path)), resolve(folder)) === '' ? '' : ` --data ${folder}`;
  const todo = lines.length === 0 ? 'Look it through' : `Fill in the unknown facts ("?") in line ${lines.join(', ')}`;
  process.stderr.write(`${todo}, then: swingbasis process ${path}${data}\n`);
  return EXIT.used;
}
