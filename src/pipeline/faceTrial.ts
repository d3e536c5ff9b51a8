/** Face-calibration trials: a club with markers on its face tells centre and normal for every swing with it. */
import type { Diagnostic } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import { clubPoints } from '../intake/clubPoints.ts';
import { recogniseLandmarks } from '../intake/recogniseLandmarks.ts';
import type { ClubPlan, TrialPlan } from '../model/dayPlan.ts';
import { FACE_LANDMARKS } from '../model/landmarks.ts';
import { calibrateFace, type FaceCalibration } from '../stages/calibrateFace.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';
import { Refused, refuseWarnings } from './refusals.ts';

/** By club: what its trial gave, or why it gave nothing. */
export type Faces = Map<
  string,
  { readonly trial: string; readonly found: FaceCalibration | null; readonly why: string }
>;

type Three = readonly [number, number, number];

const MOST_APART_mm = 5;
const MOST_TURNED_deg = 2;

/** The club with its face: what the day file states holds, the trial gives the rest. */
export function withFace(club: ClubPlan | null, faces: Faces): ClubPlan | null {
  const face = club === null ? undefined : faces.get(club.id);
  if (club === null || face === undefined || (club.faceCentre_mm !== null && club.faceNormal !== null)) return club;
  const { found } = face;
  if (found === null) {
    return { ...club, faceLost: `the face of the club: ${face.trial} could not be used (${face.why})` };
  }
  const { normal, sides_m } = found;
  const centre = club.faceCentre_mm ?? centre_mm(found);
  return { ...club, faceCentre_mm: centre, faceNormal: club.faceNormal ?? normal, headSides_m: sides_m };
}

function centre_mm({ centre_m }: FaceCalibration): Three | null {
  return centre_m === null ? null : [1000 * centre_m[0], 1000 * centre_m[1], 1000 * centre_m[2]];
}

/** Notes that the face of the trial's club is not known from it; a trial of the same club that was used still holds. */
export function loseFace(trial: TrialPlan, why: string, faces: Faces): void {
  if (trial.club !== null && !faces.get(trial.club)?.found)
    faces.set(trial.club, { trial: trial.id, found: null, why });
}

/** Why a calibration trial of markers is none of a face, such as a club that hangs still, or null. */
export function showsNoFace(file: C3dFile, trial: TrialPlan, club: ClubPlan | null): string | null {
  const { found } = recogniseLandmarks(file, { ...(club?.markers ?? {}), ...trial.markers });
  if (FACE_LANDMARKS.some((id) => found.has(id))) return null;
  return `none of its markers is on the face (${FACE_LANDMARKS.join(', ')}): name them in the day file under markers of the club`;
}

/** clubPoints → calibrateFace. Appends to `diagnostics`. @throws Refused for a trial that shows no face, a second one of a club, with strict any warning */
export function useFaceTrial(
  file: C3dFile,
  trial: TrialPlan,
  club: ClubPlan,
  { faces, strict }: { readonly faces: Faces; readonly strict: boolean },
  diagnostics: Diagnostic[],
): void {
  const first = faces.get(club.id);
  if (first?.found) {
    const needed = `one face-calibration trial for each club: ${club.id} has ${first.trial}; leave one out with use: no`;
    throw new Refused({ code: 'face-known', needed });
  }
  const points = clubPoints(file, { trial, club });
  diagnostics.push(...points.diagnostics);
  if (!points.value.ok) throw new Refused(points.value.why);
  const made = calibrateFace(points.value.value, { height_m: (club.faceMarkerHeight_mm ?? 0) / 1000 });
  diagnostics.push(...made.diagnostics);
  if (!made.value.ok) throw new Refused(made.value.why);
  const found = made.value.value;
  diagnostics.push(pipelineDiagnostic('face-calibrated', described(found)));
  const differs = differences(club, found);
  if (differs !== '') {
    diagnostics.push(pipelineDiagnostic('face-differs', `${differs}; what the day file states is used`));
  }
  if (strict) refuseWarnings(diagnostics);
  faces.set(club.id, { trial: trial.id, found, why: '' });
}

function described(found: FaceCalibration): string {
  const { normal, frames, scatter_m, normalWithin_rad } = found;
  const centre = centre_mm(found);
  const numbers = (values: readonly number[], digits: number): string =>
    values.map((value) => (Math.round(value * digits) / digits).toString()).join(', ');
  const place = centre === null ? 'no centre (no marker CLUB_FACE)' : `centre [${numbers(centre, 10)}] mm`;
  const sd = `± ${numbers([Math.max(0.01, (normalWithin_rad * 180) / Math.PI)], 100)}° from ${frames} frames`;
  return `${place}, normal [${numbers(normal, 1000)}] ${sd}, markers scatter by ${numbers([1000 * scatter_m], 10)} mm`;
}

/** Where day file and trial both state what they do not agree on, or ''. */
function differences({ faceCentre_mm, faceNormal }: ClubPlan, found: FaceCalibration): string {
  const parts: string[] = [];
  const centre = centre_mm(found);
  if (faceCentre_mm !== null && centre !== null) {
    const apart = Math.hypot(...centre.map((x, c) => x - faceCentre_mm[c]!));
    if (apart > MOST_APART_mm) parts.push(`the face centre is ${Math.round(apart)} mm from face_centre_mm`);
  }
  if (faceNormal !== null) {
    const length = Math.hypot(...faceNormal);
    const cosine = found.normal.reduce((sum, x, c) => sum + (x * faceNormal[c]!) / length, 0);
    const turned = (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI;
    if (turned > MOST_TURNED_deg) parts.push(`the face is turned by ${Math.round(turned)}° from face_normal`);
  }
  return parts.join(', ');
}
