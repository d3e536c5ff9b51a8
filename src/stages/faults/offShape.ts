import type { ClusterModel } from '../../model/calibration.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Span } from './mending.ts';
import { distance } from './neighbours.ts';

/** Frames of each span that are looked at: noise falls to a fifth. */
const MOST_FRAMES = 25;

/**
 * How far markers lie from where the shape of their segment on the static trial has `ids`, seen from the other landmarks of that segment:
 * root mean square of the distances' difference, metres. `carriers` are the markers that stand for `ids`. Null: no shape, or never together.
 */
export function offShape(
  trial: MarkerTrial,
  ids: readonly LandmarkId[],
  carriers: readonly LandmarkId[],
  spans: readonly Span[],
  models: readonly ClusterModel[],
): number | null {
  const { frames } = trial.clock;
  let squares = 0;
  let n = 0;
  ids.forEach((id, i) => {
    const model = models.find(({ landmarks }) => landmarks.includes(id));
    const own = trial.points.get(carriers[i]!);
    if (model === undefined || own === undefined) return;
    const at = model.landmarks.indexOf(id);
    model.landmarks.forEach((other, k) => {
      const track = trial.points.get(other);
      if (track === undefined || ids.includes(other)) return;
      const right = placeDistance(model.places_m, at, k);
      for (const [first, last] of spans) {
        const stride = Math.max(1, Math.floor((last - first + 1) / MOST_FRAMES));
        for (let f = first; f <= last; f += stride) {
          const off = distance(own.data, track.data, frames, f) - right;
          if (Number.isNaN(off)) continue;
          squares += off * off;
          n += 1;
        }
      }
    });
  });
  return n === 0 ? null : Math.sqrt(squares / n);
}

function placeDistance(places_m: readonly number[], i: number, k: number): number {
  const [x, y, z] = [0, 1, 2].map((c) => places_m[3 * i + c]! - places_m[3 * k + c]!);
  return Math.sqrt(x! * x! + y! * y! + z! * z!);
}
