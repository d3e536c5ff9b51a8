/** Vectors and rotations of the generator. Nothing is shared with the program, so that a wrong sign cannot cancel. */
export type Vec = readonly [number, number, number];
/** Three columns: the child's axes written in the parent. */
export interface Axes {
  readonly x: Vec;
  readonly y: Vec;
  readonly z: Vec;
}

export const RAD = Math.PI / 180;

export const vec = (x: number, y: number, z: number): Vec => [x, y, z];
export const add = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const sub = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const scale = (a: Vec, k: number): Vec => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const length = (a: Vec): number => Math.sqrt(dot(a, a));
export const unit = (a: Vec): Vec => scale(a, 1 / length(a));
export const mid = (a: Vec, b: Vec): Vec => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
export const distance = (a: Vec, b: Vec): number => length(sub(a, b));

/** Part of `a` perpendicular to the unit vector `n`, made a unit vector. */
export const perpendicular = (a: Vec, n: Vec): Vec => unit(sub(a, scale(n, dot(a, n))));

/** Child coordinates → parent coordinates. */
export const turnOut = (R: Axes, p: Vec): Vec => [
  R.x[0] * p[0] + R.y[0] * p[1] + R.z[0] * p[2],
  R.x[1] * p[0] + R.y[1] * p[1] + R.z[1] * p[2],
  R.x[2] * p[0] + R.y[2] * p[1] + R.z[2] * p[2],
];

/** Parent coordinates → child coordinates. */
export const turnIn = (R: Axes, p: Vec): Vec => [dot(R.x, p), dot(R.y, p), dot(R.z, p)];

/** Axes of B seen from A, both given in one parent. */
export const relative = (A: Axes, B: Axes): Axes => ({ x: turnIn(A, B.x), y: turnIn(A, B.y), z: turnIn(A, B.z) });

/** One rotation after another about the axes as they are after each turn: turn about Y, then X, then Z; radians. */
export function turnSideBend(aboutY: number, aboutX: number, aboutZ: number): Axes {
  const cy = Math.cos(aboutY);
  const sy = Math.sin(aboutY);
  const cx = Math.cos(aboutX);
  const sx = Math.sin(aboutX);
  const cz = Math.cos(aboutZ);
  const sz = Math.sin(aboutZ);
  // A heading: X along (cy, 0, −sy), Z along (sy, 0, cy). Then the bend about that X, then the bend about the new Z.
  const forward: Vec = [cy, 0, -sy];
  const up: Vec = [sy * sx, cx, cy * sx];
  const right: Vec = [sy * cx, -sx, cy * cx];
  const x = add(scale(forward, cz), scale(up, sz));
  const y = sub(scale(up, cz), scale(forward, sz));
  return { x, y, z: right };
}

/** Joint angles of axes seen from the proximal segment: about its Z, the floating X, the distal Y; radians. */
export function jointZXY(J: Axes): { readonly aboutZ: number; readonly aboutX: number; readonly aboutY: number } {
  // J = Rz·Rx·Ry: third row (−cosX·sinY, sinX, cosX·cosY), second column (−sinZ·cosX, cosZ·cosX, sinX).
  return {
    aboutZ: Math.atan2(-J.y[0], J.y[1]),
    aboutX: Math.atan2(J.y[2], Math.sqrt(J.x[2] * J.x[2] + J.z[2] * J.z[2])),
    aboutY: Math.atan2(-J.x[2], J.z[2]),
  };
}

/** Middle joint of two rigid links from `from` to `to`, bent toward `pole` (not parallel to the line between them). */
export function middleJoint(from: Vec, to: Vec, first: number, second: number, pole: Vec): Vec {
  const line = sub(to, from);
  const d = length(line);
  const along = (first * first - second * second + d * d) / (2 * d);
  const aside = Math.sqrt(Math.max(0, first * first - along * along));
  const direction = scale(line, 1 / d);
  return add(from, add(scale(direction, along), scale(perpendicular(pole, direction), aside)));
}

/** Unit normal of the plane through the origin that lies nearest to directions (smallest axis of their second moments). */
export function planeNormal(directions: readonly Vec[]): Vec {
  const m = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (const d of directions) {
    for (let i = 0; i < 3; i += 1) for (let j = 0; j < 3; j += 1) m[i]![j]! += d[i]! * d[j]!;
  }
  // Cyclic Jacobi sweeps; the columns of v become the axes.
  const v = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  for (let sweep = 0; sweep < 30; sweep += 1) {
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const) {
      const off = m[p]![q]!;
      if (Math.abs(off) < 1e-300) continue;
      const angle = 0.5 * Math.atan2(2 * off, m[q]![q]! - m[p]![p]!);
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      for (let k = 0; k < 3; k += 1) {
        const a = m[k]![p]!;
        const b = m[k]![q]!;
        m[k]![p] = c * a - s * b;
        m[k]![q] = s * a + c * b;
      }
      for (let k = 0; k < 3; k += 1) {
        const a = m[p]![k]!;
        const b = m[q]![k]!;
        m[p]![k] = c * a - s * b;
        m[q]![k] = s * a + c * b;
        const e = v[k]![p]!;
        const f = v[k]![q]!;
        v[k]![p] = c * e - s * f;
        v[k]![q] = s * e + c * f;
      }
    }
  }
  let best = 0;
  for (let i = 1; i < 3; i += 1) if (m[i]![i]! < m[best]![best]!) best = i;
  return unit([v[0]![best]!, v[1]![best]!, v[2]![best]!]);
}

/** A rotation after another: child axes of B, given in A's frame, written in A's parent. */
export const followedBy = (A: Axes, B: Axes): Axes => ({ x: turnOut(A, B.x), y: turnOut(A, B.y), z: turnOut(A, B.z) });

/** Rotation by `angle` about a unit axis (Rodrigues). */
export function turned(axis: Vec, angle: number): Axes {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const of = (v: Vec): Vec => add(add(scale(v, c), scale(cross(axis, v), s)), scale(axis, dot(axis, v) * (1 - c)));
  return { x: of([1, 0, 0]), y: of([0, 1, 0]), z: of([0, 0, 1]) };
}
