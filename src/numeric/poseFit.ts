/** Least-squares pose of a rigid cluster of markers, with the refusals that keep a near-line cluster from giving a made-up turn. */

import { nearestRotation, svd3, symmetricValues3 } from './svd3.ts';

/** What came of a fit. `near-line`: the markers present determine no turn about their own line. */
export type PoseFitStatus = 'ok' | 'too-few' | 'near-line';

/** Filled anew by every `fitPoseInto`; make one with `createPoseFit` and reuse it. */
export interface PoseFit {
  status: PoseFitStatus;
  /** Markers present in both model and measurement. */
  used: number;
  /** Row-major, measured = R · model + L. NaN unless `ok`. */
  readonly R: Float64Array;
  /** In the unit of the measurement. NaN unless `ok`. */
  readonly L: Float64Array;
  /** sqrt(Σ|e|² / n), n markers. */
  rmsPerMarker: number;
  /** sqrt(Σ|e|² / 3n). */
  rmsPerCoordinate: number;
  /** Singular values, descending, of the centred model's markers that were used. */
  readonly modelSingularValues: Float64Array;
  /** The same of the measured markers, to 2e-4 of the largest where two are nearly equal, as of a line. */
  readonly measuredSingularValues: Float64Array;
}

export function createPoseFit(): PoseFit {
  return {
    status: 'too-few',
    used: 0,
    R: new Float64Array(9),
    L: new Float64Array(3),
    rmsPerMarker: Number.NaN,
    rmsPerCoordinate: Number.NaN,
    modelSingularValues: new Float64Array(3),
    measuredSingularValues: new Float64Array(3),
  };
}

/** Second singular value over the first below which a cluster counts as a line: 100 mm long, 5 mm wide. A choice of this program. */
export const NEAR_LINE_RATIO = 0.05;

const meanA = new Float64Array(3);
const meanB = new Float64Array(3);
const crossMoment = new Float64Array(9);
const momentA = new Float64Array(9);
const momentB = new Float64Array(9);
/** Moment of the model of the fit before, and its singular values: from frame to frame the same markers of the same model. */
const lastMoment = new Float64Array(9);
const lastValues = new Float64Array(3);
const su = new Float64Array(9);
const sv = new Float64Array(9);

/**
 * Rotation R and shift L that minimise Σ|b − (R a + L)|² over the markers present in both (Söderkvist & Wedin 1993, J Biomech
 * 26:1473-1477; Challis 1995, J Biomech 28:733-737): M = Σ(b − b̄)(a − ā)ᵀ = U S Vᵀ, R = U diag(1, 1, det(U Vᵀ)) Vᵀ, L = b̄ − R ā,
 * so that never a reflection is returned.
 *
 * `model` and `measured` hold x, y, z of one marker after the other, `count` markers, from their offsets on; a NaN marks an absent marker.
 * Refused, with R and L NaN: fewer than three markers, or a second singular value of either cluster below `nearLineRatio` of the first.
 */
export function fitPoseInto(
  out: PoseFit,
  model: Float64Array,
  measured: Float64Array,
  count: number,
  nearLineRatio = NEAR_LINE_RATIO,
  modelOffset = 0,
  measuredOffset = 0,
): PoseFitStatus {
  out.R.fill(Number.NaN);
  out.L.fill(Number.NaN);
  out.rmsPerMarker = Number.NaN;
  out.rmsPerCoordinate = Number.NaN;
  out.modelSingularValues.fill(0);
  out.measuredSingularValues.fill(0);
  meanA.fill(0);
  meanB.fill(0);
  let n = 0;
  for (let k = 0; k < count; k++) {
    const a = modelOffset + 3 * k;
    const b = measuredOffset + 3 * k;
    if (isAbsent(model, a, measured, b)) continue;
    for (let c = 0; c < 3; c++) {
      meanA[c] = meanA[c]! + model[a + c]!;
      meanB[c] = meanB[c]! + measured[b + c]!;
    }
    n += 1;
  }
  out.used = n;
  if (n === 0) return refuse(out, 'too-few');
  for (let c = 0; c < 3; c++) {
    meanA[c] = meanA[c]! / n;
    meanB[c] = meanB[c]! / n;
  }
  crossMoment.fill(0);
  momentA.fill(0);
  momentB.fill(0);
  for (let k = 0; k < count; k++) {
    const a = modelOffset + 3 * k;
    const b = measuredOffset + 3 * k;
    if (isAbsent(model, a, measured, b)) continue;
    for (let r = 0; r < 3; r++) {
      const ar = model[a + r]! - meanA[r]!;
      const br = measured[b + r]! - meanB[r]!;
      for (let c = 0; c < 3; c++) {
        const ac = model[a + c]! - meanA[c]!;
        const i = 3 * r + c;
        crossMoment[i] = crossMoment[i]! + br * ac;
        momentA[i] = momentA[i]! + ar * ac;
        momentB[i] = momentB[i]! + br * (measured[b + c]! - meanB[c]!);
      }
    }
  }
  if (!isSame(momentA, lastMoment)) {
    svd3(momentA, su, lastValues, sv);
    lastMoment.set(momentA);
  }
  symmetricValues3(momentB, out.measuredSingularValues);
  for (let c = 0; c < 3; c++) {
    out.modelSingularValues[c] = Math.sqrt(lastValues[c]!);
    out.measuredSingularValues[c] = Math.sqrt(Math.max(0, out.measuredSingularValues[c]!));
  }
  if (n < 3) return refuse(out, 'too-few');
  if (isNearLine(out.modelSingularValues, nearLineRatio) || isNearLine(out.measuredSingularValues, nearLineRatio)) {
    return refuse(out, 'near-line');
  }
  const { R, L } = out;
  nearestRotation(crossMoment, R);
  for (let r = 0; r < 3; r++) {
    L[r] = meanB[r]! - (R[3 * r]! * meanA[0]! + R[3 * r + 1]! * meanA[1]! + R[3 * r + 2]! * meanA[2]!);
  }
  let sum = 0;
  for (let k = 0; k < count; k++) {
    const a = modelOffset + 3 * k;
    const b = measuredOffset + 3 * k;
    if (isAbsent(model, a, measured, b)) continue;
    for (let r = 0; r < 3; r++) {
      const fitted = R[3 * r]! * model[a]! + R[3 * r + 1]! * model[a + 1]! + R[3 * r + 2]! * model[a + 2]! + L[r]!;
      const e = measured[b + r]! - fitted;
      sum += e * e;
    }
  }
  out.rmsPerMarker = Math.sqrt(sum / n);
  out.rmsPerCoordinate = Math.sqrt(sum / (3 * n));
  out.status = 'ok';
  return 'ok';
}

/** As `fitPoseInto`, into a new result. */
export function fitPose(
  model: Float64Array,
  measured: Float64Array,
  count: number,
  nearLineRatio = NEAR_LINE_RATIO,
): PoseFit {
  const out = createPoseFit();
  fitPoseInto(out, model, measured, count, nearLineRatio);
  return out;
}

function refuse(out: PoseFit, status: PoseFitStatus): PoseFitStatus {
  out.status = status;
  return status;
}

function isNearLine(singularValues: Float64Array, ratio: number): boolean {
  return !(singularValues[0]! > 0 && singularValues[1]! >= ratio * singularValues[0]!);
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

function isAbsent(model: Float64Array, a: number, measured: Float64Array, b: number): boolean {
  return Number.isNaN(model[a]! + model[a + 1]! + model[a + 2]! + measured[b]! + measured[b + 1]! + measured[b + 2]!);
}
