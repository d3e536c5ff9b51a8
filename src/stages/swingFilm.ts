import type { Outcome } from '../base/diagnostics.ts';
import type { FoundPositions } from '../model/delivery.ts';
import { FILM_POINTS, type Film, packPlaces } from '../model/film.ts';
import type { Motion, PointId } from '../model/motion.ts';
import { CURVE_STEPS, type CurveBase } from '../model/swingRecord.ts';
import { pointAtSample } from '../numeric/sampleWeights.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { isStruck, placeInto, sampleTimes } from './shared/motionView.ts';

export interface FilmInput {
  readonly motion: Motion;
  readonly found: FoundPositions;
  readonly curveBase: CurveBase;
}

/**
 * Places of the body and the club at the steps of the curves; null of sensors, which know no places, and where no point is known at any
 * step. Points of the body by the quintic through six points; club never across impact.
 */
export function swingFilm({ motion, found, curveBase }: FilmInput, ws: Workspace): Outcome<Film | null> {
  const missing = { value: null, diagnostics: [] };
  if (motion.head.source === 'sensors') return missing;
  const known = FILM_POINTS.filter((id) => motion.points.get(id)?.ok === true);
  const width = 3 * known.length;
  const places = ws.float64(width * CURVE_STEPS);
  const seen = new Uint8Array(known.length);
  const at = new Float64Array(3);
  const { rate_Hz, frames } = motion.clock;
  const moments = Array.from(curveBase.times_s, (time_s) => ({ t_frames: time_s * rate_Hz, window: null }));
  const { weights } = sampleTimes(moments, frames, ws);
  known.forEach((id, p) => {
    const data = isStruck(id) ? null : dataOf(motion, id);
    for (let step = 0; step < CURVE_STEPS; step++) {
      let isThere = !Number.isNaN(moments[step]!.t_frames);
      if (isThere && data === null) isThere = placeInto(motion, id, moments[step]!, found.impact, at);
      else if (isThere) {
        pointAtSample(weights, step, data!, at);
        isThere = !Number.isNaN(at[0]! + at[1]! + at[2]!);
      }
      if (isThere) seen[p] = 1;
      for (let axis = 0; axis < 3; axis++) places[width * step + 3 * p + axis] = isThere ? at[axis]! : Number.NaN;
    }
  });
  const kept = known.flatMap((_, p) => (seen[p] === 1 ? [p] : []));
  if (kept.length === 0) return missing;
  const [x0, z0] = originOf(places, width, known.indexOf('pelvis_centre'));
  const film = new Float64Array(3 * kept.length * CURVE_STEPS);
  for (let step = 0; step < CURVE_STEPS; step++) {
    kept.forEach((p, k) => {
      const from = width * step + 3 * p;
      const to = 3 * (kept.length * step + k);
      film[to] = places[from]! - x0;
      film[to + 1] = places[from + 1]!;
      film[to + 2] = places[from + 2]! - z0;
    });
  }
  return { value: { points: kept.map((p) => known[p]!), data: packPlaces(film) }, diagnostics: [] };
}

function dataOf(motion: Motion, id: PointId): Float64Array | null {
  const track = motion.points.get(id);
  return track?.ok === true ? track.value.data : null;
}

/** X and Z of the pelvis centre at the first step that has it; those of any first place where the pelvis is never known. */
function originOf(places: Float64Array, width: number, pelvis: number): [number, number] {
  const first = pelvis < 0 ? 0 : 3 * pelvis;
  const stride = pelvis < 0 ? 3 : width;
  for (let i = first; i < places.length; i += stride) {
    if (!Number.isNaN(places[i]!)) return [places[i]!, places[i + 2]!];
  }
  return pelvis < 0 ? [0, 0] : originOf(places, width, -1);
}
