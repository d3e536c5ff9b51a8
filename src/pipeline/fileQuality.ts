/** The quality of the points of any C3D file, before a day file says what they are. */
import type { C3dFile } from '../c3d/types.ts';
import { pointLabel, samplePoint } from '../intake/pointSamples.ts';
import { framesOf, type MarkerRun } from '../model/markerRuns.ts';
import type { MarkerQuality } from '../model/trial.ts';
import type { TrialQuality } from '../model/trialQuality.ts';

/**
 * One row a point by its label, in the order of the file: nothing is filled, no position is known. A sample counts as missing as it does
 * in a day without trust_coordinates. Null where the file holds no points or no frames.
 */
export function qualityOfFile(file: C3dFile, name: string): TrialQuality | null {
  if (file.points === 0 || file.frames === 0) return null;
  const rate_Hz = file.rate_Hz ?? Number.NaN;
  const markers = Array.from({ length: file.points }, (_, point) => markerOf(file, point, rate_Hz));
  return { trial: name, frames: file.frames, rate_Hz, moments: {}, markers, faults: [] };
}

function markerOf(file: C3dFile, point: number, rate_Hz: number): MarkerQuality {
  const runs: MarkerRun[] = [];
  for (let f = 0; f < file.frames; f++) {
    if (samplePoint(file, point, f, false) !== null) continue;
    const first = f;
    while (f + 1 < file.frames && samplePoint(file, point, f + 1, false) === null) f += 1;
    runs.push([first, f, 'missing']);
  }
  const missing = framesOf(runs, 'missing');
  const longest = Math.max(0, ...runs.map(([first, last]) => last - first + 1));
  return {
    marker: pointLabel(file, point),
    frames: file.frames,
    missing,
    filled: 0,
    ...(runs.length > 0 ? { runs } : {}),
    longestGap_s: longest / rate_Hz,
    noise_m: Number.NaN,
    flags: [],
  };
}
