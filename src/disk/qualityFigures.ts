/** Quality figures of C3D files, written into a folder. */
import { basename, join } from 'node:path';
import { FormatError } from '../base/errors.ts';
import { readC3d } from '../c3d/readC3d.ts';
import { qualityOfFile } from '../pipeline/fileQuality.ts';
import { renderQuality } from '../report/qualityFigure.ts';
import { EN } from '../report/words/en.ts';
import { writeAtomically } from './atomicWrite.ts';
import { FileError, openFile } from './fileSource.ts';
import { tablesOnDisk } from './recordingFiles.ts';

/**
 * Writes `<name>-quality.svg` for each C3D file with points; names that repeat get a number. Returns a line for each file: where its
 * figure is, or why it has none. Files that cannot be read have a line too. @throws FileError where the folder cannot be written
 */
export async function writeQualityFigures(paths: readonly string[], folder: string): Promise<readonly string[]> {
  const used = new Map<string, number>();
  return paths.map((path) => {
    const name = basename(path).replace(/\.c3d$/i, '');
    const quality = readQuality(path, name);
    if (typeof quality === 'string') return `${path}: no quality figure: ${quality}`;
    const count = (used.get(name) ?? 0) + 1;
    used.set(name, count);
    const out = join(folder, `${name}${count === 1 ? '' : `-${count}`}-quality.svg`);
    writeAtomically(out, [renderQuality(EN, quality)]);
    return `${path}: quality figure ${out}`;
  });
}

/** The quality, or why there is none. */
function readQuality(path: string, name: string): NonNullable<ReturnType<typeof qualityOfFile>> | string {
  try {
    if (tablesOnDisk(path) !== null) return 'tables of sensors hold no points';
    const source = openFile(path, path);
    try {
      return qualityOfFile(readC3d(source, { file: path }), name) ?? 'the file holds no points';
    } finally {
      source.close();
    }
  } catch (error) {
    if (error instanceof FormatError || error instanceof FileError) return error.message;
    throw error;
  }
}
