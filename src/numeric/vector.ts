/** Small kernels on three-vectors. Outputs may be the same array as an input. */

/** Three numbers x, y, z. */
export type Triple = ArrayLike<number>;
export type WritableTriple = number[] | Float64Array;

export function dot(a: Triple, b: Triple): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}

/** Length; safe from overflow and underflow. */
export function norm(a: Triple): number {
  return Math.hypot(a[0]!, a[1]!, a[2]!);
}

/** a × b, right-handed. */
export function cross(a: Triple, b: Triple, out: WritableTriple): void {
  const x = a[1]! * b[2]! - a[2]! * b[1]!;
  const y = a[2]! * b[0]! - a[0]! * b[2]!;
  const z = a[0]! * b[1]! - a[1]! * b[0]!;
  out[0] = x;
  out[1] = y;
  out[2] = z;
}

export function add(a: Triple, b: Triple, out: WritableTriple): void {
  for (let i = 0; i < 3; i++) out[i] = a[i]! + b[i]!;
}

/** a − b. */
export function subtract(a: Triple, b: Triple, out: WritableTriple): void {
  for (let i = 0; i < 3; i++) out[i] = a[i]! - b[i]!;
}

export function scale(a: Triple, factor: number, out: WritableTriple): void {
  for (let i = 0; i < 3; i++) out[i] = a[i]! * factor;
}

/** a + factor · b. */
export function addScaled(a: Triple, b: Triple, factor: number, out: WritableTriple): void {
  for (let i = 0; i < 3; i++) out[i] = a[i]! + factor * b[i]!;
}

/** a + share · (b − a): 0 gives a, 0.5 the midpoint, 1 gives b. */
export function blend(a: Triple, b: Triple, share: number, out: WritableTriple): void {
  for (let i = 0; i < 3; i++) out[i] = a[i]! + share * (b[i]! - a[i]!);
}

/** Unit vector along a; returns the length of a. A zero vector gives NaN components. */
export function normalize(a: Triple, out: WritableTriple): number {
  const length = norm(a);
  const factor = length > 0 ? 1 / length : Number.NaN;
  scale(a, factor, out);
  return length;
}

export function distance(a: Triple, b: Triple): number {
  return Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);
}

/** Angle between two directions in 0..π rad, accurate near 0 and π too (atan2 of |a × b| and a · b). */
export function angleBetween(a: Triple, b: Triple): number {
  const x = a[1]! * b[2]! - a[2]! * b[1]!;
  const y = a[2]! * b[0]! - a[0]! * b[2]!;
  const z = a[0]! * b[1]! - a[1]! * b[0]!;
  return Math.atan2(Math.hypot(x, y, z), dot(a, b));
}

/** One frame of a planar track (x of all frames, then y, then z). */
export function loadPoint(track: Float64Array, frames: number, frame: number, out: WritableTriple): void {
  out[0] = track[frame]!;
  out[1] = track[frames + frame]!;
  out[2] = track[2 * frames + frame]!;
}

/** Writes one frame of a planar track. */
export function storePoint(track: Float64Array, frames: number, frame: number, point: Triple): void {
  track[frame] = point[0]!;
  track[frames + frame] = point[1]!;
  track[2 * frames + frame] = point[2]!;
}
