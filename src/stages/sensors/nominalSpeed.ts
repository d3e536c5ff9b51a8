/** Speed of the club head (or the lead hand) from orientations, angular velocities and nominal lengths: it decides on stillness, no more. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { Clock } from '../../model/clock.ts';
import type { ClubKind, ClubPlan } from '../../model/dayPlan.ts';
import type { SensorPlace } from '../../model/sensors.ts';
import { MEASURED, MISSING, type Track } from '../../model/track.ts';
import { angularVelocity, applyT3, isRotationPresent } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { whiteNoiseOf } from '../positions/localFit.ts';
import { inSegment, type Placed, type PlacedSensors } from './placed.ts';

/** Shares of standing height (Drillis R, Contini R 1966, as in Winter DA, Biomechanics and Motor Control of Human Movement; from memory). */
const SHARES = { trunk: 0.288, halfShoulders: 0.129, upperArm: 0.186, forearm: 0.146 } as const;
/** An adult's height where none is given, metres. */
const HEIGHT_m = 1.72;
/** Lengths of clubs, metres (common practice, no source). */
const CLUB_m: Readonly<Record<ClubKind, number>> = {
  driver: 1.14,
  wood: 1.08,
  hybrid: 1.01,
  iron: 0.95,
  wedge: 0.9,
  putter: 0.87,
};
/** The lead wrist is this far down the grip. */
const GRIP_m = 0.05;

/** A link of the chain, moved by the sensor of `driver`: its vector in that segment's axes, metres. */
interface Link {
  readonly driver: Placed;
  readonly vector: Vec3;
}

/**
 * Speed at the end of the chain pelvis → lead shoulder → elbow → wrist → club head, m/s: Σ w × r over the links. A link without a sensor of
 * its own keeps its direction in the nearest segment that has one, from the address on: the trunk upright, the arm hanging. Without
 * a club sensor the chain ends at the wrist. Absent without a sensor on club, lead arm or chest. `noise` is that of one component.
 */
export function nominalSpeed(
  placed: PlacedSensors,
  address: number,
  sizes: { readonly height_m: number | null; readonly club: ClubPlan | null },
  clock: Clock,
  ws: Workspace,
): Avail<Track<1>> {
  const links = chainOf(placed, address, sizes);
  if (links.length === 0) {
    return absent('no-sensor', 'a sensor on the club, the lead arm or the chest, whose speed shows stillness');
  }
  const { frames, rate_Hz } = clock;
  const velocity = ws.float64(3 * frames);
  velocity.fill(0);
  let variance = 0;
  for (const { driver, vector } of links) {
    const w = segmentRates(driver, clock, ws);
    const [x, y, z] = vector;
    const R = driver.R;
    for (let f = 0; f < frames; f++) {
      const p = w[f]!;
      const q = w[frames + f]!;
      const r = w[2 * frames + f]!;
      const vx = q * z - r * y;
      const vy = r * x - p * z;
      const vz = p * y - q * x;
      for (let c = 0; c < 3; c++) {
        const at = c * frames + f;
        velocity[at] = velocity[at]! + R[9 * f + 3 * c]! * vx + R[9 * f + 3 * c + 1]! * vy + R[9 * f + 3 * c + 2]! * vz;
      }
    }
    let white = 0;
    for (let c = 0; c < 3; c++) {
      white = Math.max(white, whiteNoiseOf(w.subarray(c * frames, (c + 1) * frames), 0, frames));
    }
    variance += white * white * (x * x + y * y + z * z);
  }
  const data = ws.float64(frames);
  const state = ws.uint8(frames);
  for (let f = 0; f < frames; f++) {
    const x = velocity[f]!;
    const y = velocity[frames + f]!;
    const z = velocity[2 * frames + f]!;
    data[f] = Math.sqrt(x * x + y * y + z * z);
    state[f] = Number.isNaN(data[f]) ? MISSING : MEASURED;
  }
  const provenance = `nominal speed, ${links.length} links, ${rate_Hz} Hz`;
  return present({ dimension: 1, clock, data, state, noise: Math.sqrt(variance), provenance });
}

function chainOf(
  placed: PlacedSensors,
  address: number,
  sizes: { readonly height_m: number | null; readonly club: ClubPlan | null },
): Link[] {
  const at = (place: SensorPlace): Placed | null => {
    const found = placed.get(place);
    return found?.ok && isRotationPresent(found.value.R, 9 * address) ? found.value : null;
  };
  const height = sizes.height_m ?? HEIGHT_m;
  const club = at('club');
  const thorax = at('thorax');
  const forearm = at('lead_forearm');
  const upperArm = at('lead_upper_arm');
  const arm = forearm ?? upperArm ?? at('lead_hand') ?? thorax ?? club;
  if (arm === null) return [];
  const links: Link[] = [];
  const trunk = thorax ?? at('pelvis');
  if (trunk !== null) {
    links.push({ driver: trunk, vector: [0, SHARES.trunk * height, -SHARES.halfShoulders * height] });
  }
  const limb = (driver: Placed, bone: Placed | null, length: number): Link => {
    const direction: Vec3 = bone === null ? [0, -1, 0] : longAxisOf(bone, address);
    const [x, y, z] = inSegment(driver, address, direction);
    return { driver, vector: [length * x, length * y, length * z] };
  };
  links.push(limb(upperArm ?? arm, upperArm ?? forearm, SHARES.upperArm * height));
  links.push(limb(arm, forearm ?? upperArm, SHARES.forearm * height));
  if (club !== null) {
    const length = sizes.club?.length_m ?? CLUB_m[sizes.club?.kind ?? 'iron'];
    links.push(limb(club, club, length - GRIP_m));
  }
  return links;
}

/** −Y of a segment in the player frame. */
function longAxisOf({ R }: Placed, frame: number): Vec3 {
  return [0 - R[9 * frame + 1]!, 0 - R[9 * frame + 4]!, 0 - R[9 * frame + 7]!];
}

/** Angular velocity in the segment's axes, planar; of a sensor without gyro from its orientations. */
export function segmentRates({ sensor, mounting, R }: Placed, clock: Clock, ws: Workspace): Float64Array {
  const { frames, rate_Hz } = clock;
  const out = ws.float64(3 * frames);
  const v = new Float64Array(3);
  if (sensor.track.gyro === null) {
    angularVelocity(R, frames, rate_Hz, out);
    for (let f = 0; f < frames; f++) {
      for (let c = 0; c < 3; c++) v[c] = out[c * frames + f]!;
      applyT3(R, 9 * f, v, v);
      for (let c = 0; c < 3; c++) out[c * frames + f] = v[c]!;
    }
    return out;
  }
  const R_sensor_segment = Float64Array.from(mounting.R_sensor_segment);
  const w = sensor.w_radPerS;
  for (let f = 0; f < frames; f++) {
    for (let c = 0; c < 3; c++) v[c] = w[c * frames + f]!;
    applyT3(R_sensor_segment, 0, v, v);
    for (let c = 0; c < 3; c++) out[c * frames + f] = v[c]!;
  }
  return out;
}
