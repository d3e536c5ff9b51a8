/** The files of a trial: opened, checked by their sums, read as what they are. */
import type { DiagnosticTable } from '../base/diagnostics.ts';
import { compareCodeUnits } from '../base/text.ts';
import { C3D_DIAGNOSTICS } from '../c3d/diagnosticCodes.ts';
import { bytesSource, readC3d } from '../c3d/readC3d.ts';
import type { ByteSource, C3dFile } from '../c3d/types.ts';
import { countsAsSensors } from '../day/poseTrials.ts';
import { IMU_DIAGNOSTICS } from '../imu/diagnosticCodes.ts';
import { type NamedBytes, readImu } from '../imu/readImu.ts';
import type { ImuRecording } from '../imu/types.ts';
import { sourceOfC3d } from '../intake/sensors/intakeSensors.ts';
import type { ClubPlan, TrialPlan } from '../model/dayPlan.ts';
import type { Workspace } from '../numeric/workspace.ts';
import type { OpenSource, TrialIo } from './io.ts';

export interface OpenFile {
  readonly path: string;
  readonly source: OpenSource;
}

export interface FileSum {
  readonly path: string;
  /** '' where the file was not reached. */
  readonly sha256: string;
  readonly bytes: number;
}

/** What a trial's files hold. */
export type Recording =
  | { readonly source: 'markers'; readonly file: C3dFile }
  | { readonly source: 'sensors'; readonly file: C3dFile | ImuRecording };

/** One sum for a trial: that of its file; of several files that of the lines `sha256  path`, sorted by path, each ended by a line feed. */
export function trialSum(sums: readonly FileSum[], io: TrialIo): string {
  if (sums.length === 1) return sums[0]!.sha256;
  const lines = [...sums]
    .sort((a, b) => compareCodeUnits(a.path, b.path))
    .map(({ path, sha256 }) => `${sha256}  ${path}\n`);
  return io.sha256(bytesSource(new TextEncoder().encode(lines.join(''))));
}

/**
 * Reads the files by what the day file says they are, else by their names, else a C3D file by its content: orientations without a single
 * marker that is recognised are sensors; points that a suit computed are markers. @throws FormatError
 */
export function readRecording(
  files: readonly OpenFile[],
  trial: TrialPlan,
  club: ClubPlan | null,
  ws: Workspace,
): Recording {
  const isC3d = files.length === 1 && trial.file.toLowerCase().endsWith('.c3d');
  if (!isC3d && countsAsSensors(trial)) return { source: 'sensors', file: readImu(files.map(wholeFile)) };
  const file = readC3d(files[0]!.source, {
    file: trial.file,
    memory: { float64: (n) => ws.float64(n), int16: (n) => new Int16Array(n) },
  });
  return { source: sourceOfC3d(file, trial, club), file };
}

/** All bytes of an open file under its name. */
export function wholeFile({ path, source }: OpenFile): NamedBytes {
  const bytes = new Uint8Array(source.size);
  const read = readAll(source, bytes);
  return { path, bytes: read === bytes.length ? bytes : bytes.subarray(0, read) };
}

function readAll(source: ByteSource, into: Uint8Array): number {
  let at = 0;
  while (at < into.length) {
    const got = source.read(at, into.length - at, into.subarray(at));
    if (got === 0) break;
    at += got;
  }
  return at;
}

/** What to do about a damage that a reader reports; '' where its table has no word. */
export function wayOutOf(code: string): string {
  const tables: readonly DiagnosticTable[] = [C3D_DIAGNOSTICS, IMU_DIAGNOSTICS];
  return tables.find((table) => table[code] !== undefined)?.[code]?.whatToDo ?? '';
}
