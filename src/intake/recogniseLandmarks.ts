import type { Diagnostic } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import { FILE_LANDMARKS, type FileLandmark } from '../model/landmarks.ts';
import { intakeDiagnostic } from './diagnosticCodes.ts';
import { LANDMARK_BY_NAME, plainName } from './landmarkNames.ts';

export interface RecognisedLandmarks {
  /** Landmark → index of the point. */
  readonly found: ReadonlyMap<FileLandmark, number>;
  /** Points without a name (empty, or beginning with `*`). */
  readonly unlabelled: number;
  /** Points that the file calls angles, forces, moments, powers or scalars. */
  readonly modelOutputs: readonly string[];
  /** Labels that name no landmark. */
  readonly others: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
}

/** The label without a subject's prefix ("someone:L_ASIS" → "L_ASIS"). */
export function withoutSubject(label: string): string {
  const colon = label.lastIndexOf(':');
  return (colon < 0 ? label : label.slice(colon + 1)).trim();
}

const LANDMARKS: ReadonlySet<string> = new Set(FILE_LANDMARKS);

function findNamed(file: C3dFile, name: string): number {
  if (name.startsWith('#')) {
    const index = Number(name.slice(1)) - 1;
    return Number.isInteger(index) && index >= 0 && index < file.points ? index : -1;
  }
  const wanted = name.trim();
  const exact = file.labels.findIndex((label) => label.trim() === wanted || withoutSubject(label) === wanted);
  if (exact >= 0) return exact;
  const plain = plainName(wanted);
  if (plain !== '') {
    const loose = file.labels.findIndex((label) => plainName(withoutSubject(label)) === plain);
    if (loose >= 0) return loose;
  }
  return file.descriptions.findIndex((description) => description.trim() === wanted);
}

/**
 * Finds landmarks among the points: first those the day file names (label, description or number `#7`), then by their names.
 * A landmark that the day file names is never looked for under another name.
 */
export function recogniseLandmarks(file: C3dFile, named: Readonly<Record<string, string>>): RecognisedLandmarks {
  const diagnostics: Diagnostic[] = [];
  const found = new Map<FileLandmark, number>();
  const taken = new Set<number>();
  for (const [landmark, name] of Object.entries(named)) {
    if (!LANDMARKS.has(landmark)) throw new RangeError(`no landmark is called ${landmark}`);
    const index = findNamed(file, name);
    if (index < 0) {
      diagnostics.push(
        intakeDiagnostic(
          'named-marker-missing',
          `${landmark} is named "${name}" in the day file; no point of this file has that label, description or number`,
        ),
      );
    } else {
      found.set(landmark as FileLandmark, index);
      taken.add(index);
    }
  }
  const outputs = new Set([...file.typeGroups.values()].flat().map((label) => label.trim()));
  const modelOutputs: string[] = [];
  const others: string[] = [];
  let unlabelled = 0;
  for (let index = 0; index < file.points; index += 1) {
    const label = (file.labels[index] ?? '').trim();
    if (taken.has(index)) continue;
    if (label === '' || label.startsWith('*')) {
      unlabelled += 1;
      continue;
    }
    if (outputs.has(label)) {
      modelOutputs.push(label);
      continue;
    }
    const landmark = LANDMARK_BY_NAME.get(plainName(withoutSubject(label)));
    if (landmark === undefined) others.push(label);
    else if (landmark in named) others.push(label);
    else if (found.has(landmark)) {
      diagnostics.push(
        intakeDiagnostic(
          'duplicate-landmark',
          `points ${found.get(landmark)! + 1} and ${index + 1} are both ${landmark}; point ${found.get(landmark)! + 1} is used`,
        ),
      );
    } else found.set(landmark, index);
  }
  if (unlabelled > 0) {
    diagnostics.push(
      intakeDiagnostic(
        'unlabelled-points-dropped',
        `${unlabelled} of ${file.points} points have no name and were dropped`,
      ),
    );
  }
  if (modelOutputs.length > 0) {
    diagnostics.push(
      intakeDiagnostic(
        'model-outputs-set-aside',
        `${modelOutputs.length} of ${file.points} points are computed values (angles, forces …) and were set aside`,
      ),
    );
  }
  return { found, unlabelled, modelOutputs, others, diagnostics };
}
