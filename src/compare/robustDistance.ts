/** How far each swing of a small group lies from its middle, over several quantities that move together. */
import { choleskyInPlace, choleskySolveInPlace } from '../numeric/leastSquares.ts';
import { MAD_TO_SD, mad, mean, median } from '../numeric/statistics.ts';

/** Degrees of freedom that the common spread of all quantities counts beside a quantity's own n − 1. A choice of this program: with five swings each has half the say. */
const PRIOR_FREEDOM = 4;
/** Spread below this share of the margin is no spread: nothing so small means anything. */
const LEAST_SPREAD = 0.1;
/** Standardised values count no further than this in the correlations (winsorised; Khan, Van Aelst and Zamar 2007, JASA 102:1289, from memory). */
const WINSOR = 2;
/** Correlations shrink toward none at least so far, so that more quantities than swings can be inverted. */
const LEAST_SHRINKAGE = 0.1;

/**
 * √(zᵀ R⁻¹ z / p) of each swing over the p values it has: z is the distance from the median in robust standard deviations (1.4826 × the
 * median absolute deviation, each drawn toward the median of all in units of their margins), R the correlation of the winsorised z, shrunk toward
 * none by the intensity of Schäfer and Strimmer 2005 (Stat Appl Genet Mol Biol 4:32, from memory). About 1 for a common swing; NaN for one
 * without a value. `values`: one array a quantity, one value a swing, NaN where missing; `margins` in the same units, above 0.
 */
export function robustDistances(values: readonly Float64Array[], margins: readonly number[]): Float64Array {
  const n = values[0]?.length ?? 0;
  const z = standardised(values, margins);
  const winsorised = z.map((column) => column.map((value) => Math.max(-WINSOR, Math.min(WINSOR, value))));
  const correlation = shrunkCorrelation(winsorised);
  return Float64Array.from({ length: n }, (_, swing) => distanceOf(z, correlation, swing));
}

/** The values that are not missing. */
export function present(values: Float64Array): Float64Array {
  return values.filter((value) => !Number.isNaN(value));
}

function standardised(values: readonly Float64Array[], margins: readonly number[]): readonly Float64Array[] {
  const spreads = values.map((column, j) => (MAD_TO_SD * mad(present(column))) / margins[j]!);
  const common = median(spreads);
  return values.map((column, j) => {
    const own = present(column).length - 1;
    const pooled = PRIOR_FREEDOM * common * common + own * spreads[j]! * spreads[j]!;
    const spread = Math.max(LEAST_SPREAD, Math.sqrt(pooled / (PRIOR_FREEDOM + own))) * margins[j]!;
    const middle = median(present(column));
    return column.map((value) => (value - middle) / spread);
  });
}

/** The columns to mean 0 and variance 1 over the swings that have them; a column without spread stays 0. */
function toUnit(column: Float64Array): Float64Array {
  const own = present(column);
  const centre = mean(own);
  const squares = own.reduce((sum, value) => sum + (value - centre) * (value - centre), 0);
  const scale = squares > 0 ? Math.sqrt((own.length - 1) / squares) : 0;
  return column.map((value) => (value - centre) * scale);
}

/** p × p, row-major, shrunk toward the identity. Pairs count the swings that have both. */
function shrunkCorrelation(columns: readonly Float64Array[]): Float64Array {
  const p = columns.length;
  const unit = columns.map(toUnit);
  const out = new Float64Array(p * p);
  let variances = 0;
  let squares = 0;
  for (let j = 0; j < p; j++) {
    out[j * p + j] = 1;
    for (let k = 0; k < j; k++) {
      const products = present(unit[j]!.map((value, i) => value * unit[k]![i]!));
      const n = products.length;
      if (n < 2) continue;
      const middle = mean(products);
      const r = (n / (n - 1)) * middle;
      const spread = products.reduce((sum, value) => sum + (value - middle) * (value - middle), 0);
      variances += (n / ((n - 1) * (n - 1) * (n - 1))) * spread;
      squares += r * r;
      out[j * p + k] = r;
      out[k * p + j] = r;
    }
  }
  const intensity = squares > 0 ? Math.max(LEAST_SHRINKAGE, Math.min(1, variances / squares)) : 1;
  for (let j = 0; j < p * p; j++) if (j % (p + 1) !== 0) out[j] = (1 - intensity) * out[j]!;
  return out;
}

function distanceOf(z: readonly Float64Array[], correlation: Float64Array, swing: number): number {
  const p = z.length;
  const has = Array.from({ length: p }, (_, j) => j).filter((j) => !Number.isNaN(z[j]![swing]!));
  if (has.length === 0) return Number.NaN;
  const own = Float64Array.from(has, (j) => z[j]![swing]!);
  const matrix = Float64Array.from({ length: has.length * has.length }, (_, at) => {
    const [row, column] = [has[Math.floor(at / has.length)]!, has[at % has.length]!];
    return correlation[row * p + column]!;
  });
  const solved = Float64Array.from(own);
  // pairs that miss other swings may leave a matrix that is none of correlations: then the quantities count as apart
  if (choleskyInPlace(matrix, has.length)) choleskySolveInPlace(matrix, has.length, solved);
  const square = own.reduce((sum, value, j) => sum + value * solved[j]!, 0);
  return Math.sqrt(square / has.length);
}
