/**
 * A golf swing of two links as functions of time, for tests: arms about a moving hub, club about the wrists, in a drifting plane.
 * Written apart from the program; nothing of src is used but types. Player frame G: X toward the ball, Y up, Z to the player's right (target −Z).
 */

/** 0 at 0, 1 at 1, flat outside: the normalised integral of sin⁴(πx). */
export function step(x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  return x - (2 * Math.sin(2 * Math.PI * x)) / (3 * Math.PI) + Math.sin(4 * Math.PI * x) / (12 * Math.PI);
}

/** Seeded uniform numbers in [0, 1) (a 32-bit mixer, common practice). */
export function uniform(seed: number): () => number {
  let a = (seed * 2654435761) >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal numbers from uniform ones (Box & Muller 1958). */
export function normal(next: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}

export type V3 = [number, number, number];

export interface SwingShape {
  readonly rate_Hz: number;
  readonly duration_s: number;
  readonly takeaway_s: number;
  readonly top_s: number;
  readonly impact_s: number;
  /** Waggles before the takeaway: none, or one whose shaft passes the horizontal and comes back. */
  readonly waggle: boolean;
  /** Stillness at the top, seconds. */
  readonly pause_s: number;
  /** Seconds by which the release is later than usual (early: negative). */
  readonly release_s: number;
  readonly armTop_rad: number;
  /** Angle of the lead arm at impact, + toward the target. */
  readonly lean_rad: number;
  readonly wristTop_rad: number;
  readonly slope_rad: number;
  readonly shaft_m: number;
  readonly arm_m: number;
  /** Displacement of the hub from address to impact: the address place of the head is not the contact place. */
  readonly hub_m: V3;
  /** Share of the club's turning rate lost at impact. */
  readonly loss: number;
  /** Slow drift of the whole body before the takeaway, m/s. */
  readonly sway_mPerS: number;
}

export interface Swing {
  readonly shape: SwingShape;
  leadShoulder(t: number): V3;
  leadWrist(t: number): V3;
  trailShoulder(t: number): V3;
  trailWrist(t: number): V3;
  grip(t: number): V3;
  /** On the shaft near the head. */
  shaftLow(t: number): V3;
  head(t: number): V3;
  /** Of the club head: down the shaft, from the heel to the toe, out of the back of the face (right-handed). */
  headAxes(t: number): readonly [V3, V3, V3];
  readonly ball: V3;
  ballAt(t: number): V3;
  shaft(t: number): V3;
  leadArm(t: number): V3;
  trailArm(t: number): V3;
}

const BALL_RADIUS_m = 0.04267 / 2;

/** A swing of a player and club drawn by the seed; `fixed` overrides what a test needs. */
export function drawShape(seed: number, fixed: Partial<SwingShape> = {}): SwingShape {
  const next = uniform(seed);
  const between = (a: number, b: number): number => a + (b - a) * next();
  const takeaway_s = between(0.9, 1.2);
  const top_s = takeaway_s + between(0.75, 0.95);
  const pause_s = fixed.pause_s ?? 0;
  const impact_s = top_s + pause_s + between(0.235, 0.27);
  return {
    rate_Hz: 240,
    duration_s: impact_s + 1.7,
    takeaway_s,
    top_s,
    impact_s,
    waggle: false,
    pause_s,
    release_s: between(-0.006, 0.006),
    armTop_rad: between(1.9, 2.2),
    lean_rad: between(0.12, 0.25),
    wristTop_rad: between(1.55, 1.9),
    slope_rad: between(0.85, 1.1),
    shaft_m: between(0.86, 1.08),
    arm_m: between(0.58, 0.66),
    hub_m: [between(-0.03, 0.03), between(-0.02, 0.03), between(-0.06, 0.0)],
    loss: between(0.22, 0.3),
    sway_mPerS: 0,
    ...fixed,
  };
}

export function makeTwoLinkSwing(shape: SwingShape): Swing {
  const s = shape;
  const fall = s.impact_s - s.top_s - s.pause_s;
  // Without a pause the ways back and down overlap, so that the links turn round in passing.
  const overlap = s.pause_s > 0 ? 0 : 0.14;
  const down = s.top_s + s.pause_s - overlap;
  const back = s.top_s + overlap;
  const release = down + overlap + 0.46 * fall + s.release_s;
  const armBack = (t: number): number => -s.armTop_rad * step((t - s.takeaway_s) / (back - s.takeaway_s));
  const armDown = (t: number): number => step((t - down) / (fall * 1.95 + 1.2 * overlap));
  const wristBack = (t: number): number =>
    -s.wristTop_rad * step((t - s.takeaway_s - 0.1) / (back - s.takeaway_s - 0.1));
  const wristDown = (t: number): number => step((t - release) / (fall * 1.2));
  // Ways down that bring the arm to the lean and the head to nearly its address place at impact.
  const armWay = (s.lean_rad - armBack(s.impact_s)) / armDown(s.impact_s);
  const clubAtImpact = 0.02 - Math.asin((s.arm_m * Math.sin(s.lean_rad) - s.hub_m[2]) / s.shaft_m);
  const wristWay = (clubAtImpact - s.lean_rad - wristBack(s.impact_s)) / wristDown(s.impact_s);
  /** Arm in the plane: 0 hanging, − away from the target. */
  const arm = (t: number): number => armBack(t) + armWay * armDown(t) - (s.waggle ? 0.25 * bump(t, 0.1, 0.5) : 0);
  /** Club against the arm. */
  const wrist = (t: number): number =>
    wristBack(t) + wristWay * wristDown(t) - (s.waggle ? 1.6 * bump(t, 0.1, 0.5) : 0);
  const rateAtImpact =
    (arm(s.impact_s + 1e-5) + wrist(s.impact_s + 1e-5) - arm(s.impact_s - 1e-5) - wrist(s.impact_s - 1e-5)) / 2e-5;
  const club = (t: number): number => {
    const after = t - s.impact_s;
    const lost = after > 0 ? s.loss * rateAtImpact * 0.035 * (1 - Math.exp(-after / 0.035)) : 0;
    return arm(t) + wrist(t) - lost;
  };
  const lift = (t: number): number =>
    -0.16 * step((t - s.takeaway_s) / (s.top_s - s.takeaway_s)) +
    0.1 * step((t - down) / (fall * 0.9)) +
    0.25 * step((t - down - 0.5 * fall) / (1.6 * fall));
  const direction = (angle: number, out: number): V3 => {
    const c = Math.cos(angle) * Math.cos(out);
    const d = Math.sin(angle) * Math.cos(out);
    const e = Math.sin(out);
    const cl = Math.cos(s.slope_rad);
    const sl = Math.sin(s.slope_rad);
    // Down the slope (cl, −sl, 0), toward the target (0, 0, −1), normal (sl, cl, 0).
    return [c * cl + e * sl, -c * sl + e * cl, -d];
  };
  const finish = (t: number): number => step((t - s.takeaway_s - 0.2) / (s.impact_s - s.takeaway_s + 0.2));
  const hub = (t: number): V3 => {
    const share = finish(t);
    const sway = s.sway_mPerS * Math.min(t, s.takeaway_s + 0.3);
    return [
      -0.35 + s.hub_m[0] * share,
      1.42 + s.hub_m[1] * share,
      s.hub_m[2] * share + 0.004 * Math.sin(2 * t) * step((t - s.takeaway_s) / 0.5) + sway,
    ];
  };
  const add = (p: V3, q: V3, k: number): V3 => [p[0] + k * q[0], p[1] + k * q[1], p[2] + k * q[2]];
  const leadArm = (t: number): V3 => direction(arm(t), lift(t));
  const shaft = (t: number): V3 => direction(club(t), 0.6 * lift(t) + 0.03);
  const leadShoulder = (t: number): V3 => hub(t);
  const leadWrist = (t: number): V3 => add(hub(t), leadArm(t), s.arm_m);
  const trailArm = (t: number): V3 =>
    direction(arm(t) - 0.3 + 1.5 * step((t - s.impact_s + 0.12) / 0.5), lift(t) * 0.8);
  const trailWrist = (t: number): V3 => add(leadWrist(t), shaft(t), 0.08);
  const trailShoulder = (t: number): V3 => add(trailWrist(t), trailArm(t), -s.arm_m);
  const grip = (t: number): V3 => add(leadWrist(t), shaft(t), 0.12);
  const shaftLow = (t: number): V3 => add(grip(t), shaft(t), 0.55);
  const head = (t: number): V3 => {
    const c = club(t);
    const out = 0.6 * lift(t) + 0.03;
    const turn = 1.6 * (club(t) - club(s.impact_s));
    const n = direction(c, out + Math.PI / 2);
    const q = direction(c + Math.PI / 2, 0);
    const toe = 0.04 * Math.cos(0.6 * turn);
    const ahead = 0.04 * Math.sin(0.6 * turn);
    return add(add(add(grip(t), shaft(t), s.shaft_m - 0.12), n, toe), q, -ahead);
  };
  const headAxes = (t: number): readonly [V3, V3, V3] => {
    const c = club(t);
    const n = direction(c, 0.6 * lift(t) + 0.03 + Math.PI / 2);
    const q = direction(c + Math.PI / 2, 0);
    const turn = 0.6 * 1.6 * (c - club(s.impact_s));
    const none: V3 = [0, 0, 0];
    const toe = add(add(none, n, Math.cos(turn)), q, -Math.sin(turn));
    return [shaft(t), toe, add(add(none, q, -Math.cos(turn)), n, -Math.sin(turn))];
  };
  const h = 1e-6;
  const at = head(s.impact_s);
  const before = head(s.impact_s - h);
  const v: V3 = [at[0] - before[0], at[1] - before[1], at[2] - before[2]];
  const speed = Math.hypot(...v);
  const ball = add(at, v, BALL_RADIUS_m / speed);
  const ballAt = (t: number): V3 => add(ball, v, t > s.impact_s ? (1.4 / h) * (t - s.impact_s) : 0);
  return {
    shape,
    leadShoulder,
    leadWrist,
    trailShoulder,
    trailWrist,
    grip,
    shaftLow,
    head,
    headAxes,
    ball,
    ballAt,
    shaft,
    leadArm,
    trailArm,
  };
}

/** One bump of height 1 that begins and ends at rest. */
function bump(t: number, from: number, width: number): number {
  return step((t - from) / (width / 2)) - step((t - from - width / 2) / (width / 2));
}

/** Derivative of a point by time just before (−1) or after (+1) t. */
export function velocityOf(point: (t: number) => V3, t: number, side: -1 | 1): V3 {
  const h = 2e-5 * side;
  const a = point(t);
  const b = point(t + h);
  const c = point(t + 2 * h);
  return [0, 1, 2].map((i) => (-3 * a[i]! + 4 * b[i]! - c[i]!) / (2 * h)) as V3;
}

/** First time after `from` (or before it, with a negative step) at which f changes sign; bisected to 1e-12 s. */
export function crossing(f: (t: number) => number, from: number, to: number): number | null {
  const stepSize = from < to ? 1e-3 : -1e-3;
  const n = Math.round((to - from) / stepSize);
  for (let i = 0; i < n; i++) {
    let a = from + i * stepSize;
    let b = a + stepSize;
    if (f(a) >= 0 === f(b) >= 0) continue;
    for (let k = 0; k < 60; k++) {
      const m = (a + b) / 2;
      if (f(a) >= 0 === f(m) >= 0) a = m;
      else b = m;
    }
    return (a + b) / 2;
  }
  return null;
}
