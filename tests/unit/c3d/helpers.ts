import { FormatError } from '../../../src/base/errors.ts';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../../src/c3d/types.ts';
import { type BuildSpec, buildC3d } from '../../support/c3dBuilder.ts';

/** Reads a built file. */
export function read(spec: BuildSpec, strict = false): C3dFile {
  return readC3d(bytesSource(buildC3d(spec)), { file: 'made.c3d', strict });
}

export function codes(file: C3dFile): string[] {
  return file.diagnostics.map((d) => d.code);
}

/** The FormatError that reading throws; fails where it throws none. */
export function problemOf(run: () => unknown): FormatError['problem'] {
  try {
    run();
  } catch (error) {
    if (error instanceof FormatError) return error.problem;
    throw error;
  }
  throw new Error('no FormatError was thrown');
}

/** x, y, z and the fourth word of one sample. */
export function sample(c: C3dFile, point: number, frame: number): number[] {
  const at = (axis: number): number => c.xyz[(3 * point + axis) * c.frames + frame]!;
  return [at(0), at(1), at(2), c.word4[point * c.frames + frame]!];
}
