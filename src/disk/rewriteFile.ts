/** Rewriting one C3D file on disk: the input is never touched, the output is there whole or not at all. */
import { realpathSync, statSync } from 'node:fs';
import { FormatError } from '../base/errors.ts';
import { type RewriteOptions, type RewriteReport, rewriteSource } from '../c3d/rewriteC3d.ts';
import type { C3dHead } from '../c3d/types.ts';
import { writeAtomically } from './atomicWrite.ts';
import { FileError, openFile } from './fileSource.ts';

export interface RewriteRun {
  readonly file: C3dHead;
  readonly report: RewriteReport;
  /** Bytes written. */
  readonly bytes: number;
}

/**
 * A file of any size: its frames are read in blocks, never whole. `optionsFor` is asked once its head is read, so that labels can be
 * checked against it.
 * @throws FileError where the output is the input (also through a link), exists without `replace`, or the input is no readable C3D file
 * @throws RangeError where the options do not fit the file
 */
export function rewriteFile(
  input: string,
  out: string,
  replace: boolean,
  strict: boolean,
  optionsFor: (file: C3dHead) => Omit<RewriteOptions, 'source'>,
): RewriteRun {
  const source = openFile(input, input);
  try {
    if (isSame(input, out)) throw new FileError(`${out} is the file that is read; it is never overwritten`);
    if (!replace && statSync(out, { throwIfNoEntry: false })) {
      throw new FileError(`${out} already exists; name another, or add --replace`);
    }
    const { head, chunks, report } = rewriteSource(source, optionsFor, { file: input, strict });
    const bytes = writeAtomically(out, chunks(), { exclusive: !replace });
    return { file: head, report, bytes };
  } catch (error) {
    if (error instanceof FormatError) throw new FileError(error.message);
    throw error;
  } finally {
    source.close();
  }
}

/** One file under two names: the same path, a symbolic link or a hard link. */
function isSame(a: string, b: string): boolean {
  const there = statSync(b, { bigint: true, throwIfNoEntry: false });
  if (!there) return false;
  const here = statSync(a, { bigint: true });
  return (here.ino === there.ino && here.dev === there.dev) || realpathSync(a) === realpathSync(b);
}
