/** The angles of a still pose. */

import type { Outcome } from '../base/diagnostics.ts';
import type { AngleSeries, AngleSet } from '../model/angles.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import { isLimb } from '../model/motion.ts';
import type { Reading } from '../model/quantity.ts';
import type { StillAngle } from '../model/stillRecord.ts';
import { wrapAngle } from '../numeric/eulerAngles.ts';
import { circularMean } from '../numeric/statistics.ts';

const STRETCHES = 10;
/** The default margin of an angle: a pose that moves by more is no zero for it (common practice, no source). */
const STILL_rad = (2 * Math.PI) / 180;

/**
 * Of every angle of pelvis, thorax and head and of the joints between them that the trial shows: its mean over the frames, and by how much the means
 * of ten equal stretches differ, which white noise of the markers hardly moves. Frames in which it is missing are passed over.
 */
export function stillAngles(angles: AngleSet): Outcome<readonly StillAngle[]> {
  const value: StillAngle[] = [];
  for (const { id, reading } of CATALOGUE) {
    const series = isOfTrunk(reading) ? angles.series.get(id) : undefined;
    const still = series?.ok === true ? stillAngle(series.value) : null;
    if (still !== null) value.push(still);
  }
  return { value, diagnostics: [] };
}

function isOfTrunk(reading: Reading): boolean {
  switch (reading.kind) {
    case 'orientation':
      return !isLimb(reading.segment);
    case 'joint':
      return !isLimb(reading.proximal) && !isLimb(reading.distal);
    default:
      return reading.kind === 'turn-difference';
  }
}

function stillAngle({ quantity, order, values, singular }: AngleSeries): StillAngle | null {
  const seen = values.filter((value) => !Number.isNaN(value));
  if (seen.length === 0) return null;
  const mean = circularMean(seen).mean_rad;
  if (Number.isNaN(mean)) return null;
  let low = 0;
  let high = 0;
  for (let i = 0; i < STRETCHES; i++) {
    const from = Math.floor((i * seen.length) / STRETCHES);
    const to = Math.floor(((i + 1) * seen.length) / STRETCHES);
    let sum = 0;
    for (let k = from; k < to; k++) sum += wrapAngle(seen[k]! - mean);
    if (to === from) continue;
    low = Math.min(low, sum / (to - from));
    high = Math.max(high, sum / (to - from));
  }
  const range = high - low;
  const flags = [
    ...(range > STILL_rad ? ['moves'] : []),
    ...(singular?.some((near, f) => near === 1 && !Number.isNaN(values[f]!)) === true ? ['near-singular'] : []),
  ];
  return { quantity, order, value: mean, range, flags };
}
