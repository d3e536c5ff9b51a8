/** A club held nearly still with markers on its face: what shows the face in the frame of the head markers. */
import { writeC3d } from '../../src/c3d/writeC3d.ts';
import { type ClubSpec, makeClub } from './club.ts';
import { add, cross, perpendicular, RAD, scale, turnOut, type Vec, vec } from './geometry.ts';
import { type Recording, record, type SwingOptions } from './makeSwing.ts';
import { Random } from './random.ts';

export interface FaceOptions extends SwingOptions {
  readonly hand: 'left' | 'right';
  /** How far the centres of the face markers stand before the face, mm. */
  readonly height_mm?: number;
  /** Default half a second. */
  readonly seconds?: number;
}

/** The hand that holds the club sways by some millimetres and turns it by 2°. */
export function makeFaceTrial(seed: number, spec: ClubSpec, options: FaceOptions): Recording {
  const club = makeClub(spec);
  const lie = spec.lie_deg * RAD;
  const raised = add(club.face, scale(club.normal, (options.height_mm ?? 0) / 1000));
  const along = perpendicular(vec(0, 1, 0), club.normal);
  const across = cross(club.normal, along);
  const on = (a: number, b: number): Vec => add(add(raised, scale(along, a)), scale(across, b));
  const places: readonly (readonly [string, Vec])[] = [
    ['CLUB_GRIP', club.grip],
    ['CLUB_SHAFT', club.shaft],
    ...club.head.map((place, i) => [`CLUB_HEAD_${i + 1}`, place] as const),
    ['CLUB_FACE', on(0, 0)],
    ['CLUB_FACE_1', on(0.016, 0.002)],
    ['CLUB_FACE_2', on(-0.009, 0.013)],
  ];
  const frames = Math.ceil((options.seconds ?? 0.5) * options.rate_Hz);
  const content = record(frames, options.hand, options, new Random(seed + 77_001), (frame) => {
    const sway = Math.sin((2 * Math.PI * frame) / frames);
    const turn = 2 * RAD * sway;
    // Down the shaft: away from the player and down; out of the back of the face: away from the target.
    const x = vec(Math.cos(lie) * Math.cos(turn), -Math.sin(lie), Math.cos(lie) * Math.sin(turn));
    const z = vec(-Math.sin(turn), 0, Math.cos(turn));
    const axes = { x, y: cross(z, x), z };
    const butt = vec(-0.15 + 0.004 * sway, 0.98, 0.003 * sway);
    return new Map(places.map(([name, place]) => [name, add(butt, turnOut(axes, place))]));
  });
  return { content, bytes: () => writeC3d(content) };
}
