/** The true figures of the club at impact, from the noise-free functions of time of a swing that goes on as if nothing were struck. */
import { cross, dot, length, planeNormal, scale, sub, turnOut, unit, type Vec } from './geometry.ts';
import type { Swing } from './swing.ts';

/** `ball`: its centre while it lies still; `p6`, `p8`: times of the swing. Radians, metres, rad/s; the low point + toward the target from the ball. */
export function clubTruth(swing: Swing, ball: Vec, p6: number, p8: number): Readonly<Record<string, number>> {
  const { contact } = swing.setup;
  const normal = (t: number): Vec => turnOut(swing.clubPose(t, swing.bodyPose(t), false).axes, swing.club.normal);
  const face = (t: number): Vec => swing.face(t, false);
  const v = swing.faceVelocity(contact, false);
  const n = normal(contact);
  const h = 1e-5;
  const near = headingOf(normal(contact + h)) - headingOf(normal(contact - h));
  const far = headingOf(normal(contact + 2 * h)) - headingOf(normal(contact - 2 * h));
  const down = swing.clubPose(contact, swing.bodyPose(contact), false).axes.x;
  const path = headingOf(v);
  const attack = riseOf(v);
  const p6p7 = planeOf(face, p6, contact);
  const late = planeOf(face, contact - 0.05, contact);
  const struck = (t: number): Vec => swing.face(t, true);
  const after = planeOf(struck, contact, p8);
  const off = (plane: { readonly slope: number; readonly direction: number }): number =>
    path - (plane.direction - Math.asin(Math.tan(attack) / Math.tan(plane.slope)));
  return {
    'club.face': headingOf(n),
    'club.face_to_path': headingOf(n) - path,
    'club.loft': riseOf(n),
    // Shaft seen along the target line, and seen from the front.
    'club.lie': Math.atan2(-down[1], down[0]),
    'club.shaft_lean': Math.atan2(down[2], -down[1]),
    'club.face_rate': -(8 * near - far) / (12 * h),
    'club.face_to_velocity': Math.acos(dot(unit(n), unit(v))),
    'club.plane_slope': p6p7.slope,
    'club.plane_direction': p6p7.direction,
    'club.plane_disagreement': off(p6p7),
    'club.late_plane_slope': late.slope,
    'club.late_plane_direction': late.direction,
    'club.late_plane_disagreement': off(late),
    'club.low_point': ball[2] - face(lowest(face, contact))[2],
    'club.plane_after_slope': after.slope,
    'club.plane_after_direction': after.direction,
    // Known only where the head is lowest after contact.
    ...(attack < 0 ? { 'club.low_point_after': ball[2] - struck(lowest(struck, contact + 0.03))[2] } : {}),
  };
}

/** Horizontal direction against the target line (−Z), + away from the player. */
const headingOf = (d: Vec): number => Math.atan2(d[0], -d[2]);
const riseOf = (d: Vec): number => Math.asin(d[1] / length(d));

/** Plane of least squares through the head's path between two times, evenly in time; its base line runs toward the target. */
function planeOf(
  at: (t: number) => Vec,
  from: number,
  to: number,
): { readonly slope: number; readonly direction: number } {
  const steps = 400;
  const places: Vec[] = [];
  for (let i = 0; i < steps; i += 1) places.push(at(from + ((to - from) * (i + 0.5)) / steps));
  const sum = places.reduce((a, b): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]], [0, 0, 0] as Vec);
  const centre = scale(sum, 1 / steps);
  let normal = planeNormal(places.map((place) => sub(place, centre)));
  if (cross([0, 1, 0], normal)[2] > 0) normal = scale(normal, -1);
  return { slope: Math.acos(normal[1]), direction: headingOf(cross([0, 1, 0], normal)) };
}

/** How far the path between two times lies from its own plane of least squares, largest distance, metres. */
export function outOfPlane(swing: Swing, from: number, to: number): number {
  const steps = 400;
  const places: Vec[] = [];
  for (let i = 0; i <= steps; i += 1) places.push(swing.face(from + ((to - from) * i) / steps, false));
  const sum = places.reduce((a, b): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]], [0, 0, 0] as Vec);
  const centre = scale(sum, 1 / places.length);
  const normal = planeNormal(places.map((place) => sub(place, centre)));
  return Math.max(...places.map((place) => Math.abs(dot(normal, sub(place, centre)))));
}

/** When the path is lowest, near `about`. */
function lowest(at: (t: number) => Vec, about: number): number {
  const h = 1e-6;
  let low = about - 0.03;
  let high = about + 0.03;
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2;
    if (at(middle + h)[1] - at(middle - h)[1] < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
