import type { C3dFile } from '../c3d/types.ts';
import type { Hand, SignedAxis } from '../model/dayPlan.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import type { LengthUnit } from '../model/trial.ts';
import { METRES_PER } from '../model/units.ts';
import { dot, norm } from '../numeric/vector.ts';
import type { PointSamples } from './pointSamples.ts';

/** What the data themselves say about a recording. null: they do not say. Every answer has its evidence in words. */
export interface DetectedFacts {
  readonly unitsText: LengthUnit | null;
  readonly units: { readonly value: LengthUnit; readonly evidence: string } | null;
  /** Largest extent of head, trunk and feet in file units, median over moments; null where head or feet are not seen. */
  readonly extent: number | null;
  readonly up: { readonly value: SignedAxis; readonly evidence: string } | null;
  /** Left-to-right, forward and up of the body, taken together: +1 the frame is right-handed, −1 left-handed or sides exchanged. */
  readonly chirality: { readonly sign: 1 | -1; readonly evidence: string } | null;
  /** The hand whose wrist is nearer the club head holds the club lower: the trail hand. As the markers are named. */
  readonly hand: { readonly value: Hand; readonly evidence: string } | null;
  /** Unit vector in file axes from the trail foot to the lead foot at the start, before any reflection, for each handedness. */
  readonly feet: { readonly leftFromRight: readonly [number, number, number]; readonly evidence: string } | null;
}

export type V = readonly [number, number, number];

export const sub = (a: V, b: V): V => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const cross = (a: V, b: V): V => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: V): V | null => {
  const n = norm(a);
  return n > 0 && Number.isFinite(n) ? [a[0] / n, a[1] / n, a[2] / n] : null;
};

/** Unit of length as the file writes it, or null: free text, so its first letters decide. */
export function unitFromText(text: string): LengthUnit | null {
  const plain = text.trim().toLowerCase();
  if (plain === 'mm' || plain.startsWith('milli')) return 'mm';
  if (plain === 'cm' || plain.startsWith('centi')) return 'cm';
  if (plain === 'm' || plain.startsWith('met')) return 'm';
  return null;
}

export { METRES_PER };

const AXIS_NAMES = ['X', 'Y', 'Z'] as const;

/** The signed axis along which a direction mostly lies, and the share of its length there. */
export function nearestAxis(v: V): { axis: SignedAxis; share: number } {
  const size = norm(v);
  let best = 0;
  for (let axis = 1; axis < 3; axis += 1) if (Math.abs(v[axis]!) > Math.abs(v[best]!)) best = axis;
  return { axis: `${v[best]! < 0 ? '-' : '+'}${AXIS_NAMES[best]!}`, share: size > 0 ? Math.abs(v[best]!) / size : 0 };
}

export function axisVector(axis: SignedAxis): V {
  const sign = axis[0] === '-' ? -1 : 1;
  return [axis[1] === 'X' ? sign : 0, axis[1] === 'Y' ? sign : 0, axis[1] === 'Z' ? sign : 0];
}

const UPPER: readonly FileLandmark[] = [
  'HEAD',
  'VERTEX',
  'L_EAR',
  'R_EAR',
  'L_HEAD_FRONT',
  'R_HEAD_FRONT',
  'C7',
  'IJ',
  'L_AC',
  'R_AC',
  'L_SJC',
  'R_SJC',
];
const FEET: readonly FileLandmark[] = [
  'L_HEEL',
  'R_HEEL',
  'L_LM',
  'R_LM',
  'L_MM',
  'R_MM',
  'L_TOE',
  'R_TOE',
  'L_MT5',
  'R_MT5',
  'L_AJC',
  'R_AJC',
];
const PELVIS: readonly FileLandmark[] = [
  'L_ASIS',
  'R_ASIS',
  'L_PSIS',
  'R_PSIS',
  'SACRUM',
  'L_HJC',
  'R_HJC',
  'L_GT',
  'R_GT',
];

const BODY: readonly FileLandmark[] = [...UPPER, ...FEET, ...PELVIS];

/** Pairs back → front of the body. */
const FORWARD: readonly (readonly [readonly FileLandmark[], readonly FileLandmark[]])[] = [
  [
    ['L_PSIS', 'R_PSIS'],
    ['L_ASIS', 'R_ASIS'],
  ],
  [['SACRUM'], ['L_ASIS', 'R_ASIS']],
  [['C7'], ['IJ']],
  [['T8'], ['PX']],
  [['T10'], ['PX']],
  [['L_HEEL'], ['L_TOE']],
  [['R_HEEL'], ['R_TOE']],
  [['L_HEEL'], ['L_MT5']],
  [['R_HEEL'], ['R_MT5']],
  [
    ['L_HEAD_BACK', 'R_HEAD_BACK'],
    ['L_HEAD_FRONT', 'R_HEAD_FRONT'],
  ],
];

const SIDES: readonly (readonly [FileLandmark, FileLandmark])[] = [
  ['L_ASIS', 'R_ASIS'],
  ['L_PSIS', 'R_PSIS'],
  ['L_HJC', 'R_HJC'],
  ['L_GT', 'R_GT'],
  ['L_AC', 'R_AC'],
  ['L_SJC', 'R_SJC'],
  ['L_AJC', 'R_AJC'],
  ['L_LM', 'R_LM'],
  ['L_HEEL', 'R_HEEL'],
];

/** Reads the facts off the data (definitions 7). `samples` are in file units; missing ones are skipped. */
export function detectFacts(file: C3dFile, samples: PointSamples, up: SignedAxis | null): DetectedFacts {
  const unitsText = readUnitsText(file, samples);
  const extent = samples.medianExtent(BODY);
  const units = detectUnits(samples, extent);
  const detectedUp = detectUp(samples);
  const upAxis = up ?? detectedUp?.value ?? null;
  return {
    unitsText,
    units,
    extent: isWhole(samples) && Number.isFinite(extent) ? extent : null,
    up: detectedUp,
    chirality: upAxis === null ? null : detectChirality(samples, axisVector(upAxis)),
    hand: detectHand(samples),
    feet: detectFeet(samples),
  };
}

function readUnitsText(file: C3dFile, samples: PointSamples): LengthUnit | null {
  const texts = file.units.length === 1 ? file.units : samples.indices().map((index) => file.units[index] ?? '');
  const units = new Set(texts.map(unitFromText).filter((found) => found !== null));
  return units.size === 1 ? [...units][0]! : null;
}

/** What the head-to-foot set spans at least and at most, metres. */
export const BODY_SPAN_m = [0.9, 2.6] as const;

const isWhole = (samples: PointSamples): boolean => samples.hasAny(FEET) && samples.hasAny(UPPER);

/** The largest extent of the body, which lies between 0.9 and 2.6 m for the head-to-foot set and above 0.3 m for a trunk alone. */
function detectUnits(samples: PointSamples, extent: number): DetectedFacts['units'] {
  const width = samples.medianDistance('L_ASIS', 'R_ASIS');
  const fits: { value: LengthUnit; size: number }[] = [];
  const whole = isWhole(samples);
  for (const value of ['mm', 'cm', 'm'] as const) {
    const size = extent * METRES_PER[value];
    if (size >= (whole ? BODY_SPAN_m[0] : 0.3) && size <= (whole ? BODY_SPAN_m[1] : 1.5)) fits.push({ value, size });
  }
  if (fits.length === 1) {
    const { value, size } = fits[0]!;
    return { value, evidence: `the body spans ${size.toFixed(2)} m` };
  }
  if (Number.isFinite(width)) {
    for (const value of ['mm', 'cm', 'm'] as const) {
      const metres = width * METRES_PER[value];
      if (metres > 0.14 && metres < 0.45) return { value, evidence: `the ASISs are ${metres.toFixed(2)} m apart` };
    }
  }
  return null;
}

function detectUp(samples: PointSamples): DetectedFacts['up'] {
  const upper = samples.centre(UPPER);
  const feet = samples.centre(FEET);
  const pelvis = samples.centre(PELVIS);
  const lower = feet ?? pelvis;
  if (upper === null || lower === null) return null;
  const rise = sub(upper, lower);
  const { axis, share } = nearestAxis(rise);
  if (share < 0.75) return null;
  return {
    value: axis,
    evidence: `the ${feet === null ? 'pelvis lies below the shoulders and head' : 'feet lie below the shoulders and head'} along ${axis}`,
  };
}

/** Sign of (forward × up) · right: + in a right-handed frame with sides named truly (ISB: Z = X × Y points right). */
function detectChirality(samples: PointSamples, up: V): DetectedFacts['chirality'] {
  const sums = new Float64Array(SIDES.length * FORWARD.length);
  const seen = new Uint8Array(sums.length);
  samples.forEachMoment((at) => {
    const toRight = SIDES.map(([leftName, rightName]) => between(at.point(leftName), at.point(rightName)));
    const ahead = FORWARD.map(([back, front]) => between(at.centre(back), at.centre(front)));
    ahead.forEach((forward, f) => {
      if (forward === null) return;
      const expected = cross(forward, up);
      toRight.forEach((right, s) => {
        if (right === null) return;
        sums[s * FORWARD.length + f]! += dot(expected, right);
        seen[s * FORWARD.length + f] = 1;
      });
    });
  });
  let sum = 0;
  let pairs = 0;
  for (let pair = 0; pair < sums.length; pair += 1) {
    if (seen[pair] === 0) continue;
    sum += Math.sign(sums[pair]!);
    pairs += 1;
  }
  if (pairs === 0 || Math.abs(sum) < 0.6 * pairs) return null;
  const agreeing = (pairs + Math.abs(sum)) / 2;
  return {
    sign: sum > 0 ? 1 : -1,
    evidence: `forward × up points to the ${sum > 0 ? 'right' : 'left'} in ${agreeing} of ${pairs} pairs of landmarks`,
  };
}

/** Unit vector from a to b, or null. */
function between(a: V | null, b: V | null): V | null {
  return a === null || b === null ? null : unit(sub(b, a));
}

function detectHand(samples: PointSamples): DetectedFacts['hand'] {
  const head: readonly FileLandmark[] = ['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3', 'CLUB_SHAFT'];
  const present = head.filter((name) => samples.has(name));
  if (present.length === 0) return null;
  for (const wrist of [['RS', 'US'], ['WJC'], ['HAND'], ['MC2', 'MC5']] as const) {
    const left = wrist.map((name) => `L_${name}` as FileLandmark);
    const right = wrist.map((name) => `R_${name}` as FileLandmark);
    const nearer = samples.meanOver((at) => {
      const l = at.centre(left);
      const r = at.centre(right);
      const h = at.centre(present);
      return l === null || r === null || h === null ? null : norm(sub(l, h)) - norm(sub(r, h));
    });
    if (nearer === null || nearer === 0) continue;
    const value: Hand = nearer > 0 ? 'right' : 'left';
    return { value, evidence: `the ${value} hand is nearer the club head` };
  }
  return null;
}

/** Direction from the right foot to the left foot, mean over the first quarter second that shows both. */
function detectFeet(samples: PointSamples): DetectedFacts['feet'] {
  const rows: readonly (readonly [readonly FileLandmark[], readonly FileLandmark[]])[] = [
    [
      ['L_HEEL', 'L_TOE'],
      ['R_HEEL', 'R_TOE'],
    ],
    [
      ['L_LM', 'L_MM'],
      ['R_LM', 'R_MM'],
    ],
    [['L_AJC'], ['R_AJC']],
    [['L_HEEL'], ['R_HEEL']],
  ];
  for (const [left, right] of rows) {
    const l = samples.startCentre(left);
    const r = samples.startCentre(right);
    if (l === null || r === null) continue;
    const direction = unit(sub(l, r));
    if (direction !== null) return { leftFromRight: direction, evidence: 'the line of the feet at the start' };
  }
  return null;
}
