/** Integrals of smooth functions. */

/** Abscissae of the five-point Gauss–Legendre rule on [−1, 1] (Abramowitz & Stegun 1964, table 25.4). */
export const GAUSS_NODES: readonly number[] = [
  -0.906179845938664, -0.5384693101056831, 0, 0.5384693101056831, 0.906179845938664,
];

/** Their weights; they sum to 2. */
export const GAUSS_WEIGHTS: readonly number[] = [
  0.23692688505618908, 0.47862867049936647, 0.5688888888888889, 0.47862867049936647, 0.23692688505618908,
];

/** ∫ f from a to b, exact for polynomials of degree 9. */
export function integrate(f: (t: number) => number, a: number, b: number): number {
  const middle = 0.5 * (a + b);
  const half = 0.5 * (b - a);
  let sum = 0;
  for (let i = 0; i < GAUSS_NODES.length; i++) sum += GAUSS_WEIGHTS[i]! * f(middle + half * GAUSS_NODES[i]!);
  return half * sum;
}
