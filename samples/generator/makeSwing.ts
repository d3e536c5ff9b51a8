/** One invented swing or static trial as a recording: what a C3D writer takes, and the known truth. Imports nothing of the program but that writer. */
import { type C3dContent, writeC3d } from '../../src/c3d/writeC3d.ts';
import { type Body, makeBody, type PlayerSpec } from './body.ts';
import { type Club, type ClubSpec, makeClub } from './club.ts';
import { clubTruth } from './clubTruth.ts';
import { add, cross, mid, perpendicular, scale, unit, type Vec, vec } from './geometry.ts';
import { inFile, type Lab, RIGHT_HANDED_LAB } from './lab.ts';
import { limbAngles, limbAxes, STANDING, withLimbs } from './limbs.ts';
import { staticPlaces, staticPose, swingPlaces } from './markers.ts';
import { Random } from './random.ts';
import { settle } from './settle.ts';
import type { Swing } from './swing.ts';
import { type Change, changed, IRON_TECHNIQUE, scatter, TYPICAL_DRIVER } from './technique.ts';
import { type Truth, truthOf } from './truth.ts';

export interface Player extends PlayerSpec {
  /** Own way of swinging, every club; what the driver changes (default: a typical player's). */
  readonly style: Change;
  readonly driverChange: Change;
  readonly driverSpeed_mPerS: number;
  readonly driverAttack_deg: number;
  readonly ironAttack_deg: number;
  readonly path_deg: number;
  /** From swing to swing, degrees. */
  readonly scatter_deg: number;
}

export interface SwingOptions {
  readonly rate_Hz: number;
  /** Standard deviation of white noise per axis. */
  readonly noise_mm: number;
  readonly hand?: 'left' | 'right';
  /** Where between two frames contact lies, 0 to 1; by default as the seed has it. */
  readonly impactFraction?: number;
  /** Coordinates rounded to 0.01 mm (default true). */
  readonly rounding?: boolean;
  readonly lab?: Lab;
  /** How long the loss of speed at contact takes, seconds (default 0.0004). */
  readonly slowing_s?: number;
  /** Share of the head's speed lost at contact; by default as the seed has it, 0.2 to 0.3. */
  readonly loss?: number;
  /** A stored event at impact, rounded to the nearest frame. */
  readonly event?: string;
  readonly ball?: boolean;
  readonly damage?: Damage;
  /** Limb segments of known orientation, with technical clusters. */
  readonly limbs?: boolean;
}

export interface Damage {
  /** Missing markers (file labels), from and to as seconds before (−) or after contact. */
  readonly gaps?: readonly { readonly label: string; readonly from_s: number; readonly to_s: number }[];
  /** Markers that are missing in every frame. */
  readonly dropped?: readonly string[];
}

export interface Recording {
  /** Millimetres, missing samples NaN. Not rounded to 32 bits: the file's floats are. */
  readonly content: C3dContent;
  readonly bytes: () => Uint8Array;
}

export interface SwingRecording extends Recording {
  readonly truth: Truth;
  readonly swing: Swing;
  readonly club: Club;
  /**
   * Face centre in the frame of the club's head markers, from coordinates as the file has them: z has the other sign for a
   * left-hander's club, a mirror image, and once more in a left-handed file frame.
   */
  readonly faceCentre_mm: Vec;
  /** Direction of the face in the same frame, of length 1, with the same sign of z. */
  readonly faceNormal: Vec;
  readonly contact_s: number;
  /** True angles of the limbs made with `limbs`, by quantity, radians; time of the file. */
  readonly limbs: (time_s: number) => Readonly<Record<string, number>>;
  /** The true figures of the club at impact that `truth` does not hold; worked out when asked for. */
  readonly clubTruth: () => Readonly<Record<string, number>>;
}

const BALL_RADIUS_m = 0.021335;
const SPEED_SHARE: Readonly<Record<string, number>> = { driver: 1, iron5: 0.83, iron7: 0.79, iron9: 0.76 };

export function makeSwing(seed: number, player: Player, spec: ClubSpec, options: SwingOptions): SwingRecording {
  const random = new Random(seed);
  const body = makeBody(player);
  const club = makeClub(spec);
  const swing = invent(random, player, body, club, options);
  const { contact } = swing.setup;
  const fraction = options.impactFraction ?? random.uniform();
  const frame_s = 1 / options.rate_Hz;
  // The first frame lies within one frame of the swing's own time 0.
  const past = contact * options.rate_Hz - fraction;
  const shift = (past - Math.floor(past)) * frame_s;
  const last = swing.knots[swing.knots.length - 1]! + 0.42 - shift;
  const frames = Math.ceil(last * options.rate_Hz);
  const ball = ballOf(swing, random);
  const hand = options.hand ?? player.hand;
  const noise = new Random(seed + 77_001);
  const content = record(frames, hand, options, noise, (frame) => {
    const t = shift + frame * frame_s;
    const plain = swingPlaces(swing, t, !options.limbs);
    const places: Map<string, Vec | null> = options.limbs
      ? withLimbs(plain, body, swing.bodyPose(t), limbMotion(swing, t))
      : plain;
    if (options.ball !== false) places.set('BALL', ball(t));
    return places;
  });
  const contact_s = contact - shift;
  damage(content, options.damage, contact_s);
  const events = options.event
    ? [{ label: options.event, context: 'General', time_s: Math.round(contact_s * options.rate_Hz) / options.rate_Hz }]
    : [];
  const full: C3dContent = { ...content, events };
  const inFileFrame = ([x, y, z]: Vec): Vec =>
    (hand === 'left') !== (options.lab?.mirrored ?? false) ? [x, y, -z] : [x, y, z];
  const truth = truthOf(swing, shift, !options.limbs);
  const { P6, P8 } = truth.time_s;
  return {
    content: full,
    bytes: () => writeC3d(full),
    truth,
    swing,
    club,
    faceCentre_mm: inFileFrame(club.face_mm),
    faceNormal: inFileFrame(club.faceNormal),
    contact_s,
    limbs: (time_s) => {
      const t = time_s + shift;
      const pose = swing.bodyPose(t);
      const plain = swingPlaces(swing, t, false);
      return limbAngles(
        limbAxes(plain, pose, limbMotion(swing, t)),
        pose,
        mid(plain.get('lead_EL')!, plain.get('lead_EM')!),
      );
    },
    clubTruth: () => clubTruth(swing, ball(0)!, P6 + shift, P8 + shift),
  };
}

export function limbMotion(swing: Swing, t: number) {
  return { roll: swing.value('clubRoll', t), swing: 0.25 * swing.value('clubSwing', t) };
}

/** A static trial of 0.3 s without club and ball. */
export function makeStatic(
  seed: number,
  player: PlayerSpec,
  options: SwingOptions,
): Recording & { readonly body: Body } {
  const body = makeBody(player);
  const plain = staticPlaces(body);
  const places = options.limbs ? withLimbs(plain, body, staticPose(body), STANDING) : plain;
  const frames = Math.ceil(0.3 * options.rate_Hz);
  const content = record(frames, options.hand ?? player.hand, options, new Random(seed + 77_001), () => places);
  damage(content, options.damage, 0);
  return { content, bytes: () => writeC3d(content), body };
}

function invent(random: Random, player: Player, body: Body, club: Club, options: SwingOptions): Swing {
  const driver = club.spec.kind === 'driver';
  const sd = player.scatter_deg;
  const own = scatter(random, sd);
  const technique = changed(IRON_TECHNIQUE, player.style, ...(driver ? [player.driverChange] : []), own);
  const speed = player.driverSpeed_mPerS * (SPEED_SHARE[club.spec.id] ?? 0.8);
  const away = random.between(0.002, 0.06);
  const angle = random.between(-1, 1);
  const timing = { start: 0.52, back: 0.9 + 0.015 * random.normal(), down: 0.255 };
  const delivery = {
    speed_mPerS: speed * (1 + 0.01 * random.normal()),
    attack_deg: (driver ? player.driverAttack_deg : player.ironAttack_deg) + sd * 0.9 * random.normal(),
    path_deg: player.path_deg + sd * random.normal(),
    loss: random.between(0.2, 0.3),
    slowing_s: options.slowing_s ?? 0.0004,
    addressOffset: vec(away * Math.sin(angle), driver ? -0.014 : 0.002, away * Math.cos(angle)),
  };
  return settle(body, club, technique, timing, { ...delivery, loss: options.loss ?? delivery.loss });
}

/** Centre of the ball: still, one radius before the face at contact and a few millimetres beside its path; then away. */
function ballOf(swing: Swing, random: Random): (t: number) => Vec | null {
  const { contact } = swing.setup;
  const v = swing.faceVelocity(contact, false);
  const direction = unit(v);
  const side = perpendicular(vec(0, 1, 0), direction);
  const strike = add(scale(side, 0.004 * random.normal()), scale(cross(direction, side), 0.004 * random.normal()));
  const centre = add(add(swing.face(contact), scale(direction, BALL_RADIUS_m)), strike);
  const speed = (swing.club.spec.kind === 'driver' ? 1.46 : 1.35) * swing.headSpeed(contact, false);
  const launch = scale(unit(add(direction, vec(0, 0.25, 0))), speed);
  return (t) => {
    if (t <= contact) return centre;
    const flown = t - contact;
    return flown * speed > 3.5 ? null : add(centre, scale(launch, flown));
  };
}

/** Frames of places in G to columns in the file's axes, sides named left and right. */
export function record(
  frames: number,
  hand: 'left' | 'right',
  options: SwingOptions,
  noise: Random,
  at: (frame: number) => ReadonlyMap<string, Vec | null>,
): C3dContent {
  const names = [...at(0).keys()];
  const labels = names.map((name) => fileLabel(name, hand));
  const lab = options.lab ?? RIGHT_HANDED_LAB;
  const xyz = new Float64Array(3 * labels.length * frames).fill(Number.NaN);
  for (let f = 0; f < frames; f += 1) {
    const places = at(f);
    for (let p = 0; p < names.length; p += 1) {
      const place = places.get(names[p]!);
      if (!place) continue;
      const out = inFile(place, hand, lab);
      for (let c = 0; c < 3; c += 1) {
        const value = 1000 * out[c]! + (options.noise_mm > 0 ? options.noise_mm * noise.normal() : 0);
        xyz[(3 * p + c) * frames + f] = options.rounding === false ? value : Math.round(value * 100) / 100;
      }
    }
  }
  return { labels, units: 'mm', rate_Hz: options.rate_Hz, frames, firstFrame: 1, xyz, word4: null };
}

function fileLabel(name: string, hand: 'left' | 'right'): string {
  if (name.startsWith('lead_')) return (hand === 'right' ? 'L_' : 'R_') + name.slice(5);
  if (name.startsWith('trail_')) return (hand === 'right' ? 'R_' : 'L_') + name.slice(6);
  return name;
}

function damage(content: C3dContent, what: Damage | undefined, contact_s: number): void {
  if (!what) return;
  const { frames, rate_Hz, xyz, labels } = content;
  const lose = (label: string, from: number, to: number): void => {
    const p = labels.indexOf(label);
    if (p < 0) throw new RangeError(`no marker ${label}`);
    for (let c = 0; c < 3; c += 1) xyz.fill(Number.NaN, (3 * p + c) * frames + from, (3 * p + c) * frames + to);
  };
  for (const gap of what.gaps ?? []) {
    const from = Math.max(0, Math.ceil((contact_s + gap.from_s) * rate_Hz));
    const to = Math.min(frames, Math.ceil((contact_s + gap.to_s) * rate_Hz));
    if (to > from) lose(gap.label, from, to);
  }
  for (const label of what.dropped ?? []) lose(label, 0, frames);
}

const NO_CHANGE: Change = {};

/** An invented player from a seed. */
export function seededPlayer(seed: number): Player {
  const random = new Random(seed + 4_000_000);
  const female = random.uniform() < 0.5;
  const own = scatter(random, 4);
  const plain = { ...own, pelvisToTarget_mm: undefined, pelvisToBall_mm: undefined, pelvisRise_mm: undefined };
  const style: Record<string, readonly number[]> = {};
  for (const [channel, values] of Object.entries(plain)) if (values) style[channel] = values;
  return {
    id: `player${seed}`,
    hand: random.uniform() < 0.3 ? 'left' : 'right',
    sex: female ? 'female' : 'male',
    height_m: female ? random.between(1.6, 1.76) : random.between(1.7, 1.88),
    mass_kg: random.between(58, 95),
    style: style as Change,
    driverChange: random.uniform() < 0.7 ? TYPICAL_DRIVER : NO_CHANGE,
    driverSpeed_mPerS: female ? random.between(38, 43) : random.between(41, 46.5),
    driverAttack_deg: random.between(-1.5, 4),
    ironAttack_deg: random.between(-6, -2.5),
    path_deg: random.between(-3, 3),
    scatter_deg: 1.2,
  };
}
