import type { Random } from '../../src/numeric/random.ts';

/** A random curve of unit variance at every step: white noise under a Gaussian kernel of the given full width at half maximum, in steps. */
export function smoothCurve(random: Random, steps: number, fwhm: number): Float64Array {
  const sigma = fwhm / Math.sqrt(8 * Math.LN2);
  const reach = Math.ceil(4 * sigma);
  const noise = Float64Array.from({ length: steps + 2 * reach }, () => random.normal());
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp((-0.5 * (i - reach) * (i - reach)) / (sigma * sigma)),
  );
  const scale = 1 / Math.sqrt(kernel.reduce((sum, value) => sum + value * value, 0));
  return Float64Array.from({ length: steps }, (_, step) => {
    let sum = 0;
    for (let k = 0; k < kernel.length; k++) sum += kernel[k]! * noise[step + k]!;
    return scale * sum;
  });
}
