import { FILE_SENSOR_PLACES, type FileSensorPlace, type SensorPlace, type SidedPlace } from '../../model/sensors.ts';
import { wordsOf } from './columns/columnNames.ts';

/** What a sensor's name says of its place. */
export interface PlaceGuess {
  /** As a day file names it; `lead_…` and `trail_…` where the name says so itself; null where it says no place, or leaves the side open. */
  readonly place: FileSensorPlace | SensorPlace | null;
  /** 'exact': a place's own name. 'word': an anatomical word. 'loose': a neighbour of the place, taken only where nothing better is there. */
  readonly strength: 'exact' | 'word' | 'loose';
  /** A place without its side: what is missing. */
  readonly missing: string;
}

type Midline = 'pelvis' | 'thorax' | 'head' | 'club';

/** Words of the anatomical terms and of the trade (common practice, no source). */
const MIDLINE_WORDS: Readonly<Record<string, readonly [Midline, 'word' | 'loose']>> = {
  pelvis: ['pelvis', 'word'],
  pelvic: ['pelvis', 'word'],
  sacrum: ['pelvis', 'word'],
  sacral: ['pelvis', 'word'],
  s1: ['pelvis', 'word'],
  s2: ['pelvis', 'word'],
  hip: ['pelvis', 'loose'],
  hips: ['pelvis', 'loose'],
  lumbar: ['pelvis', 'loose'],
  lowback: ['pelvis', 'loose'],
  lowerback: ['pelvis', 'loose'],
  waist: ['pelvis', 'loose'],
  belt: ['pelvis', 'loose'],
  l4: ['pelvis', 'loose'],
  l5: ['pelvis', 'loose'],
  thorax: ['thorax', 'word'],
  chest: ['thorax', 'word'],
  sternum: ['thorax', 'word'],
  sternal: ['thorax', 'word'],
  torso: ['thorax', 'word'],
  trunk: ['thorax', 'loose'],
  upback: ['thorax', 'word'],
  upperback: ['thorax', 'word'],
  upperspine: ['thorax', 'word'],
  t1: ['thorax', 'word'],
  t2: ['thorax', 'word'],
  t3: ['thorax', 'word'],
  t4: ['thorax', 'word'],
  t5: ['thorax', 'word'],
  t6: ['thorax', 'word'],
  t7: ['thorax', 'word'],
  t8: ['thorax', 'word'],
  c7: ['thorax', 'loose'],
  spine: ['thorax', 'loose'],
  back: ['thorax', 'loose'],
  head: ['head', 'word'],
  forehead: ['head', 'word'],
  skull: ['head', 'word'],
  helmet: ['head', 'word'],
  cap: ['head', 'loose'],
  club: ['club', 'word'],
  shaft: ['club', 'word'],
  clubhead: ['club', 'loose'],
  grip: ['club', 'word'],
  handle: ['club', 'loose'],
};

const SIDED_WORDS: Readonly<Record<string, readonly [SidedPlace, 'word' | 'loose']>> = {
  upperarm: ['upper_arm', 'word'],
  uarm: ['upper_arm', 'word'],
  humerus: ['upper_arm', 'word'],
  arm: ['upper_arm', 'loose'],
  biceps: ['upper_arm', 'word'],
  forearm: ['forearm', 'word'],
  lowerarm: ['forearm', 'word'],
  larm: ['forearm', 'loose'],
  wrist: ['forearm', 'word'],
  ulna: ['forearm', 'word'],
  radius: ['forearm', 'word'],
  hand: ['hand', 'word'],
  glove: ['hand', 'word'],
  palm: ['hand', 'word'],
  thigh: ['thigh', 'word'],
  upperleg: ['thigh', 'word'],
  femur: ['thigh', 'word'],
  shank: ['shank', 'word'],
  lowerleg: ['shank', 'word'],
  tibia: ['shank', 'word'],
  shin: ['shank', 'word'],
  calf: ['shank', 'word'],
  leg: ['shank', 'loose'],
  foot: ['foot', 'word'],
  shoe: ['foot', 'word'],
  instep: ['foot', 'word'],
};

type Side = 'left' | 'right' | 'lead' | 'trail';
const SIDE_WORDS: Readonly<Record<string, Side>> = {
  l: 'left',
  lt: 'left',
  lft: 'left',
  left: 'left',
  r: 'right',
  rt: 'right',
  rgt: 'right',
  right: 'right',
  lead: 'lead',
  trail: 'trail',
};

/** Joins neighbouring words that together name a part (upper arm), and splits sides written onto a part (lhand, leftwrist, footright). */
function partsOf(name: string): string[] {
  const words = wordsOf(name).flatMap((word) => {
    if (isPart(word) || word in SIDE_WORDS) return [word];
    for (const side of ['left', 'right', 'lead', 'trail']) {
      if (word.startsWith(side) && isPart(word.slice(side.length))) return [side, word.slice(side.length)];
      if (word.endsWith(side) && isPart(word.slice(0, -side.length))) return [word.slice(0, -side.length), side];
    }
    if (/^[lr]/.test(word) && word.slice(1) in SIDED_WORDS) return [word[0]!, word.slice(1)];
    if (/[lr]$/.test(word) && word.slice(0, -1) in SIDED_WORDS) return [word.slice(0, -1), word.at(-1)!];
    return [word];
  });
  const out: string[] = [];
  for (let i = 0; i < words.length; i += 1) {
    const joined = words[i]! + (words[i + 1] ?? '');
    if (i + 1 < words.length && isPart(joined)) {
      out.push(joined);
      i += 1;
    } else out.push(words[i]!);
  }
  return out;
}

function isPart(word: string): boolean {
  return word in MIDLINE_WORDS || word in SIDED_WORDS;
}

const EXACT: ReadonlySet<string> = new Set(FILE_SENSOR_PLACES);

/** Reads a place off a sensor's name. */
export function placeOfName(name: string): PlaceGuess {
  const plain = wordsOf(name).join('_');
  if (EXACT.has(plain)) return { place: plain as FileSensorPlace, strength: 'exact', missing: '' };
  const parts = partsOf(name);
  const sides = new Set(parts.flatMap((part) => SIDE_WORDS[part] ?? []));
  const midline = parts.flatMap((part) => (MIDLINE_WORDS[part] === undefined ? [] : [MIDLINE_WORDS[part]]));
  const sided = parts.flatMap((part) => (SIDED_WORDS[part] === undefined ? [] : [SIDED_WORDS[part]]));
  // "club head" and "club shaft" are the club; "hand grip" is not decided.
  const named = new Set([...midline, ...sided].map(([part]) => part as string));
  if (named.has('club') && named.has('head')) return { place: 'club', strength: 'word', missing: '' };
  if (named.size === 0) return { place: null, strength: 'loose', missing: '' };
  if (named.size > 1) {
    return { place: null, strength: 'loose', missing: `the name says ${[...named].join(' and ')}` };
  }
  if (midline.length > 0) {
    const [place, strength] = midline[0]!;
    if (sides.size > 0) return { place: null, strength: 'loose', missing: `${place} has no side` };
    return { place, strength, missing: '' };
  }
  const [part, strength] = sided[0]!;
  if (sides.size === 0)
    return { place: null, strength, missing: `the side of the ${part.replace('_', ' ')} is not said` };
  if (sides.size > 1) return { place: null, strength, missing: 'the name says two sides' };
  return { place: `${[...sides][0]!}_${part}` as FileSensorPlace | SensorPlace, strength, missing: '' };
}
