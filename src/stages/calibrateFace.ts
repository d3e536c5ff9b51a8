/** Where the face of a club is and which way it looks, from a recording in which markers stick to it. */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import { type ClubLandmark, FACE_LANDMARKS } from '../model/landmarks.ts';
import { fitPlane } from '../numeric/planeFit.ts';
import { HEAD_MARKERS } from './shared/clubBody.ts';
import { placeInFrameOfThree } from './shared/clubTracks.ts';

type Place = readonly [number, number, number];

/** In the frame of the three head markers (origin the first, x toward the second, z = x × (third − first), y = z × x), metres. */
export interface FaceCalibration {
  /** Null without CLUB_FACE. */
  readonly centre_m: Place | null;
  /** Unit vector along which the face looks. */
  readonly normal: Place;
  /** Mean distances of the head markers 1–2, 1–3, 2–3. */
  readonly sides_m: Place;
  readonly frames: number;
  /** Largest standard deviation of a face marker's coordinate: noise of all markers, and whatever moves. */
  readonly scatter_m: number;
  /** 95 % of errors of the normal's direction are below this, rad: from how the normals of ten parts of the recording scatter. */
  readonly normalWithin_rad: number;
}

export interface FaceOptions {
  /** How far the centres of the face markers stand before the face, metres. */
  readonly height_m: number;
}

const FEWEST_FRAMES = 10;
const PARTS = 10;
/** Markers on one rigid head, seen with a few millimetres of noise at worst. */
const MOST_SCATTER_m = 0.005;
/** Second over first spread of the face markers below which they are a line. */
const LEAST_BREADTH = 0.2;
/** Head markers nearer to the plane of the face than this do not tell its two sides apart. */
const LEAST_DEPTH_m = 0.004;

/**
 * Places of the face markers in the frame of the head markers, the mean over all frames in which the three and it are seen: the club need not
 * be still. The normal is that of the plane of least squares through three face markers or more and points away from the head markers; the centre
 * is CLUB_FACE put back by the markers' height. Absent: 'face-markers-missing', 'face-markers-move', 'face-markers-on-a-line', 'face-side-unknown'.
 */
export function calibrateFace(
  points: ReadonlyMap<ClubLandmark, Float64Array>,
  { height_m }: FaceOptions,
): Outcome<Avail<FaceCalibration>> {
  return { value: calibrated(points, height_m), diagnostics: [] };
}

function calibrated(points: ReadonlyMap<ClubLandmark, Float64Array>, height_m: number): Avail<FaceCalibration> {
  const head = HEAD_MARKERS.map((id) => points.get(id));
  const missing = HEAD_MARKERS.filter((_, i) => head[i] === undefined);
  if (missing.length > 0) return absent('face-markers-missing', `three markers on the head: ${missing.join(', ')}`);
  const three = head as Float64Array[];
  const found = FACE_LANDMARKS.flatMap((id) => {
    const track = points.get(id);
    const places = track === undefined ? [] : placesOf(three, track);
    return places.length < FEWEST_FRAMES ? [] : [{ id, places, ...meanOf(places) }];
  });
  if (found.length < 3) return absent('face-markers-missing', fewerThanThree(found.map(({ id }) => id)));
  const loosest = found.reduce((a, b) => (b.scatter_m > a.scatter_m ? b : a));
  if (!(loosest.scatter_m <= MOST_SCATTER_m)) {
    const by = `${loosest.id} moves by ${millimetres(loosest.scatter_m)} (SD) against the head, at most ${millimetres(MOST_SCATTER_m)} are allowed`;
    return absent('face-markers-move', `markers that keep their places on the head: ${by}`);
  }
  const plane = planeOf(found.map(({ place }) => place));
  if (plane === null || !(plane.breadth >= LEAST_BREADTH)) {
    return absent('face-markers-on-a-line', 'markers on the face that do not lie nearly on one line');
  }
  const sides_m = meanSides(three);
  const depth = depthOfHead(sides_m, plane.normal, plane.centre);
  if (!(Math.abs(depth) >= LEAST_DEPTH_m)) {
    const by = `their mean is ${millimetres(Math.abs(depth))} from the plane of the face, ${millimetres(LEAST_DEPTH_m)} are needed`;
    return absent('face-side-unknown', `head markers that lie behind the face, or face_normal in the day file: ${by}`);
  }
  const way = depth > 0 ? -1 : 1;
  const normal = [...plane.normal].map((x) => way * x) as unknown as Place;
  const centre = found.find(({ id }) => id === 'CLUB_FACE')?.place ?? null;
  return present({
    centre_m: centre === null ? null : (centre.map((x, c) => x - height_m * normal[c]!) as unknown as Place),
    normal,
    sides_m,
    frames: Math.min(...found.map(({ places }) => places.length)),
    scatter_m: loosest.scatter_m,
    normalWithin_rad: normalWithin(
      found.map(({ places }) => places),
      normal,
    ),
  });
}

function fewerThanThree(seen: readonly string[]): string {
  const are = seen.length === 0 ? 'none is' : `${seen.join(', ')} ${seen.length === 1 ? 'is' : 'are'}`;
  return `three markers on the face (${FACE_LANDMARKS.join(', ')}), each with the three on the head in ${FEWEST_FRAMES} frames or more; ${are}`;
}

const millimetres = (length_m: number): string => `${Math.round(10_000 * length_m) / 10} mm`;

/** Places of a marker in the frame of the three, of the frames in which all four are seen. */
function placesOf(head: readonly Float64Array[], track: Float64Array): readonly Place[] {
  const frames = track.length / 3;
  const places: Place[] = [];
  const p = new Float64Array(9);
  for (let f = 0; f < frames; f++) {
    for (let m = 0; m < 3; m++) for (let c = 0; c < 3; c++) p[3 * m + c] = head[m]![c * frames + f]!;
    const at: [number, number, number] = [0, 0, 0];
    placeInFrameOfThree(p, [track[f]!, track[frames + f]!, track[2 * frames + f]!], at);
    if (!Number.isNaN(at[0] + at[1] + at[2])) places.push(at);
  }
  return places;
}

function meanOf(places: readonly Place[]): { readonly place: Place; readonly scatter_m: number } {
  const mean = [0, 1, 2].map((c) => places.reduce((sum, place) => sum + place[c]!, 0) / places.length);
  const variances = mean.map(
    (m, c) => places.reduce((sum, place) => sum + (place[c]! - m) * (place[c]! - m), 0) / places.length,
  );
  return { place: mean as unknown as Place, scatter_m: Math.sqrt(Math.max(...variances)) };
}

const planeOf = (places: readonly Place[]) => fitPlane(Float64Array.from(places.flat()), places.length);

/** Two directions in which the normal may tilt alike: 95 % of directions lie within √(−ln 0.05) root mean squares. */
function normalWithin(markers: readonly (readonly Place[])[], normal: Place): number {
  let squares = 0;
  for (let part = 0; part < PARTS; part++) {
    const means = markers.map((places) => {
      const from = Math.floor((part * places.length) / PARTS);
      return meanOf(places.slice(from, Math.floor(((part + 1) * places.length) / PARTS))).place;
    });
    const own = planeOf(means)?.normal;
    if (own === undefined) return Number.NaN;
    const cosine = Math.abs(own[0]! * normal[0] + own[1]! * normal[1] + own[2]! * normal[2]);
    const off = Math.acos(Math.min(1, cosine));
    squares += off * off;
  }
  return Math.sqrt((-Math.log(0.05) * squares) / (PARTS * (PARTS - 1)));
}

function meanSides(head: readonly Float64Array[]): Place {
  const frames = head[0]!.length / 3;
  const pairs = [
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const;
  return pairs.map(([i, k]) => {
    let sum = 0;
    let n = 0;
    for (let f = 0; f < frames; f++) {
      const d = Math.hypot(...[0, 1, 2].map((c) => head[k]![c * frames + f]! - head[i]![c * frames + f]!));
      if (Number.isNaN(d)) continue;
      sum += d;
      n += 1;
    }
    return sum / n;
  }) as unknown as Place;
}

/** How far the middle of the head markers lies from a plane, along its normal. The third marker lies in the frame's plane z = 0. */
function depthOfHead([ab, ac, bc]: Place, normal: Float64Array, centre: Float64Array): number {
  const x = (ab * ab + ac * ac - bc * bc) / (2 * ab);
  const y = Math.sqrt(Math.max(0, ac * ac - x * x));
  const middle = [(ab + x) / 3, y / 3, 0];
  return middle.reduce((sum, value, c) => sum + normal[c]! * (value - centre[c]!), 0);
}
