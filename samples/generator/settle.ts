/** Finds the set-up of a swing that delivers the club as asked: speed, attack, path, height of strike, place of the head at address. */
import type { Body } from './body.ts';
import type { Club } from './club.ts';
import { add, length, RAD, sub, type Vec } from './geometry.ts';
import { type Setup, Swing, type Timing } from './swing.ts';
import type { Technique } from './technique.ts';

export interface Delivery {
  readonly speed_mPerS: number;
  readonly attack_deg: number;
  readonly path_deg: number;
  /** Share of the head's speed that is lost at contact, and how long that takes. */
  readonly loss: number;
  readonly slowing_s: number;
  /** Place of the face centre at address less its place at contact, metres in G. */
  readonly addressOffset: Vec;
}

const ROUNDS = 10;

export function settle(body: Body, club: Club, technique: Technique, timing: Timing, want: Delivery): Swing {
  let setup: Setup = {
    timing,
    armSlope: 66 * RAD,
    clubSlope: (club.spec.kind === 'driver' ? 50 : 62) * RAD,
    heading: 0,
    address: [0, 0, 0],
    contact: 0,
    slowing: 0,
    slowingTime: want.slowing_s,
  };
  let swing = new Swing(body, club, technique, setup);
  for (let round = 0; round < ROUNDS; round += 1) {
    const contact = timeOfAttack(swing, want.attack_deg * RAD, 18);
    const v = swing.faceVelocity(contact, false);
    const speed = length(v);
    const path = Math.atan2(v[0], -v[2]);
    const height = swing.face(contact, false)[1];
    const tilted = new Swing(body, club, technique, { ...setup, clubSlope: setup.clubSlope + 1e-5 });
    const slope = (tilted.face(contact, false)[1] - height) / 1e-5;
    const nearer = Math.max(-0.06, Math.min(0.06, (club.strikeHeight - height) / slope));
    const { down } = setup.timing;
    const faster = Math.max(0.9, Math.min(1.1, speed / want.speed_mPerS));
    setup = {
      ...setup,
      timing: { ...setup.timing, down: round < ROUNDS - 3 ? down * faster : down },
      clubSlope: setup.clubSlope + nearer,
      heading: setup.heading + want.path_deg * RAD - path,
    };
    swing = new Swing(body, club, technique, setup);
  }
  const contact = timeOfAttack(swing, want.attack_deg * RAD, 44);
  const speed = swing.headSpeed(contact, false);
  setup = { ...setup, contact, slowing: (want.loss * speed) / club.spec.length_m };
  const place = add(new Swing(body, club, technique, setup).face(contact), want.addressOffset);
  return addressed(body, club, technique, setup, place);
}

/** When the face centre, not slowed by contact, moves at the given elevation, near the bottom of the arc. */
function timeOfAttack(swing: Swing, attack: number, halvings: number): number {
  let low = swing.knots[6]! - 0.014;
  let high = swing.knots[6]! + 0.014;
  for (let i = 0; i < halvings; i += 1) {
    const middle = (low + high) / 2;
    const v = swing.faceVelocity(middle, false);
    if (Math.atan2(v[1], Math.sqrt(v[0] * v[0] + v[2] * v[2])) < attack) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Arm and club turned so that the head starts at `place`: Newton's method on three angles. */
function addressed(body: Body, club: Club, technique: Technique, setup: Setup, place: Vec): Swing {
  let address = setup.address;
  let swing = new Swing(body, club, technique, setup);
  for (let round = 0; round < 12; round += 1) {
    const miss = sub(place, swing.face(0));
    const step = 1e-6;
    const columns = [0, 1, 2].map((i) => {
      const moved: Vec = [
        address[0] + (i === 0 ? step : 0),
        address[1] + (i === 1 ? step : 0),
        address[2] + (i === 2 ? step : 0),
      ];
      const from = new Swing(body, club, technique, { ...setup, address: moved });
      return sub(from.face(0), swing.face(0)).map((d) => d / step) as unknown as Vec;
    });
    const change = solve3(columns, miss);
    const largest = Math.max(Math.abs(change[0]), Math.abs(change[1]), Math.abs(change[2]));
    const damped = largest > 0.15 ? 0.15 / largest : 1;
    address = [address[0] + damped * change[0], address[1] + damped * change[1], address[2] + damped * change[2]];
    swing = new Swing(body, club, technique, { ...setup, address });
  }
  return swing;
}

/** Solves [a b c]·x = r for columns a, b, c (Cramer). */
function solve3(columns: readonly Vec[], r: Vec): Vec {
  const [a, b, c] = columns as [Vec, Vec, Vec];
  const determinant = (x: Vec, y: Vec, z: Vec): number =>
    x[0] * (y[1] * z[2] - y[2] * z[1]) - y[0] * (x[1] * z[2] - x[2] * z[1]) + z[0] * (x[1] * y[2] - x[2] * y[1]);
  const d = determinant(a, b, c);
  return [determinant(r, b, c) / d, determinant(a, r, c) / d, determinant(a, b, r) / d];
}
