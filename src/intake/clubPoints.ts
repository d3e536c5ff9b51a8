import type { Outcome } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { ClubPlan, TrialPlan } from '../model/dayPlan.ts';
import { CLUB_LANDMARKS, type ClubLandmark } from '../model/landmarks.ts';
import { detectFacts, METRES_PER } from './detectFacts.ts';
import { PointSamples, samplePoint } from './pointSamples.ts';
import { recogniseLandmarks } from './recogniseLandmarks.ts';

/** Planar columns in metres, NaN where missing. */
export type ClubPoints = ReadonlyMap<ClubLandmark, Float64Array>;

/**
 * The club's markers of a recording without a body, in the axes of the file as they stand: what the day file says of a club holds in them, for
 * left-handers and left-handed files too. The unit is the day file's, else the file's own; there is no body to tell it.
 */
export function clubPoints(
  file: C3dFile,
  { trial, club }: { readonly trial: TrialPlan; readonly club: ClubPlan },
): Outcome<Avail<ClubPoints>> {
  const names = recogniseLandmarks(file, { ...club.markers, ...trial.markers });
  const { diagnostics } = names;
  const samples = new PointSamples(file, names.found, trial.trustCoordinates);
  const units = trial.units ?? detectFacts(file, samples, trial.up).unitsText;
  if (units === null) {
    const needed = 'a unit of length: the file states none and shows no body; set units in the day file';
    return { value: absent('units-unknown', needed), diagnostics };
  }
  const points = new Map<ClubLandmark, Float64Array>();
  for (const landmark of CLUB_LANDMARKS) {
    const index = names.found.get(landmark);
    if (index === undefined) continue;
    const column = new Float64Array(3 * file.frames).fill(Number.NaN);
    for (let f = 0; f < file.frames; f++) {
      const place = samplePoint(file, index, f, trial.trustCoordinates);
      if (place !== null) for (let c = 0; c < 3; c++) column[c * file.frames + f] = METRES_PER[units] * place[c]!;
    }
    points.set(landmark, column);
  }
  return { value: present(points), diagnostics };
}
