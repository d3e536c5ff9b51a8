import { FileError, openFile } from '../disk/fileSource.ts';
import { type TablesOnDisk, tablesOnDisk } from '../disk/recordingFiles.ts';
import { type AnglesAsked, ORDER_NAMES, orderNamed } from '../pipeline/anglesBetween.ts';
import { inspectFile, inspectionsJson, inspectSensors } from '../pipeline/inspect.ts';
import type { FailedInspection, Inspection } from '../pipeline/inspection.ts';
import { inspectionText } from '../pipeline/inspectText.ts';
import { EXIT, UsageError } from './exit.ts';

export interface InspectFlags {
  readonly json: boolean;
  readonly anglesBetween?: string;
  readonly order?: string;
  /** Folder for quality figures. */
  readonly quality?: string;
}

/** Exit code 1 where any file cannot be read; the others are shown all the same. @throws UsageError */
export async function inspectCommand(files: readonly string[], flags: InspectFlags): Promise<number> {
  const angles = anglesAsked(flags);
  const results = files.flatMap((path) => inspectPath(path, angles));
  process.stdout.write(flags.json ? inspectionsJson(results) : results.map(inspectionText).join('\n'));
  if (flags.quality !== undefined) {
    const { writeQualityFigures } = await import('../disk/qualityFigures.ts');
    for (const line of await writeQualityFigures(files, flags.quality)) process.stderr.write(`${line}\n`);
  }
  return results.some((one) => 'error' in one) ? EXIT.someBad : EXIT.used;
}

function anglesAsked({ anglesBetween, order }: InspectFlags): AnglesAsked | null {
  if (anglesBetween === undefined) {
    if (order !== undefined) throw new UsageError('--order belongs to --angles-between PARENT,CHILD');
    return null;
  }
  const names = anglesBetween.split(',').map((name) => name.trim());
  if (names.length !== 2 || names.includes('')) {
    throw new UsageError(`--angles-between ${anglesBetween}: write two rotations, PARENT,CHILD`);
  }
  const known = orderNamed(order ?? 'ZXY');
  if (known === null) throw new UsageError(`--order ${order}: write one of ${ORDER_NAMES.join(', ')}`);
  return { parent: names[0]!, child: names[1]!, order: known };
}

type Result = Inspection | FailedInspection;

function inspectPath(path: string, angles: AnglesAsked | null): readonly Result[] {
  return caught(path, () => {
    const tables = tablesOnDisk(path);
    if (tables === null) return [inspectC3d(path, angles)];
    return tables.flatMap((one) => caught(one.name, () => [inspectTables(one, angles)]));
  });
}

function caught(path: string, look: () => readonly Result[]): readonly Result[] {
  try {
    return look();
  } catch (error) {
    if (!(error instanceof FileError)) throw error;
    return [{ file: path, error: { code: 'file-not-readable', message: error.message, offset: null } }];
  }
}

function inspectTables(one: TablesOnDisk, angles: AnglesAsked | null): Result {
  if (angles === null) return inspectSensors(one.read(), one.name);
  const message = `${one.name}: --angles-between is for rotations of C3D files; a table of sensors has none`;
  return { file: one.name, error: { code: 'rotation-not-found', message, offset: null } };
}

function inspectC3d(path: string, angles: AnglesAsked | null): Result {
  const source = openFile(path, path);
  try {
    return inspectFile(source, path, angles);
  } finally {
    source.close();
  }
}
