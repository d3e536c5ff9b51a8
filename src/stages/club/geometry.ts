/** Directions and planes of the club in the player frame G: X toward the ball, Y up, target −Z. Radians. */

/** Horizontal direction against the target line, + away from the player: atan2(d·X, −d·Z) (definitions 5). */
export function headingOf(d: ArrayLike<number>): number {
  return Math.atan2(d[0]!, -d[2]!);
}

/** Elevation of a direction, + up. */
export function riseOf(d: ArrayLike<number>): number {
  return Math.atan2(d[1]!, Math.sqrt(d[0]! * d[0]! + d[2]! * d[2]!));
}

/** Angle between two directions, 0 to π. */
export function angleOf(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const x = a[1]! * b[2]! - a[2]! * b[1]!;
  const y = a[2]! * b[0]! - a[0]! * b[2]!;
  const z = a[0]! * b[1]! - a[1]! * b[0]!;
  return Math.atan2(Math.sqrt(x * x + y * y + z * z), a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!);
}

/** Angle of a shaft that points from grip to head to the ground, seen along the target line; 90° upright. */
export function lieOf(shaft: ArrayLike<number>): number {
  return Math.atan2(-shaft[1]!, shaft[0]!);
}

/** Lean of the same seen from the front, + hands toward the target. */
export function leanOf(shaft: ArrayLike<number>): number {
  return Math.atan2(shaft[2]!, -shaft[1]!);
}

/** Into (−π, π]. */
export function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.ceil(angle / (2 * Math.PI) - 0.5);
}

/** Slope of a plane (0 flat, π/2 upright, more where it leans over) and direction of its base line, which runs as `along` does. */
export interface PlaneAngles {
  readonly slope: number;
  readonly direction: number;
}

/** From a unit normal of either sign. The base line is level and lies in the plane: Y × n. */
export function planeAngles(normal: ArrayLike<number>, along: ArrayLike<number>): PlaneAngles {
  const way = normal[2]! * along[0]! - normal[0]! * along[2]! >= 0 ? 1 : -1;
  return {
    slope: Math.acos(Math.max(-1, Math.min(1, way * normal[1]!))),
    direction: headingOf([way * normal[2]!, 0, -way * normal[0]!]),
  };
}

/**
 * What a velocity that lay in the plane would have for a path, exactly: direction − δ with sin δ = tan(attack) / tan(slope) (plane geometry).
 * NaN where the attack is steeper than the plane.
 */
export function pathInPlane(attack: number, { slope, direction }: PlaneAngles): number {
  return direction - Math.asin(Math.tan(attack) / Math.tan(slope));
}
