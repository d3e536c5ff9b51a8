/** What the force platforms under the feet say: load, its share under the lead foot, the centre of pressure. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { Motion } from '../../model/motion.ts';
import type { ForceFigure } from '../../model/quantity.ts';
import type { ForcePlate } from '../../model/trial.ts';
import { interpolateValue } from '../../numeric/interpolate.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { stageDiagnostic } from '../diagnosticCodes.ts';
import { landmarkWords } from './landmarkGroups.ts';
import { type SampleTime, vectorAt, windowMean } from './motionView.ts';
import type { ReadValues } from './readSeries.ts';
import type { PositionSample, SamplePlan } from './sampling.ts';

/** Standard acceleration of free fall, m/s² (3rd CGPM 1901). */
const GRAVITY = 9.80665;
/** Under this vertical force of both feet there is neither a share nor a centre of pressure, N; a platform that never bears it is not in use. */
const LEAST_FORCE_N = 20;
/** Still weight may differ from the mass given by this share: clothes, club and scales make 5 %. A choice of this program. */
const WEIGHT_TOLERANCE = 0.15;

const FOOT = ['heel', 'ankle', 'toe'] as const;
type Side = 'lead' | 'trail';

export interface ForceValues {
  readonly values: Avail<ReadValues>;
  readonly flags: readonly string[];
}

export interface ForceReader {
  read(figure: ForceFigure): ForceValues;
  /** Doubts about the platforms. */
  readonly diagnostics: readonly Diagnostic[];
}

/** Columns of frames: what bears the lead foot, what bears both, and the moments of the load of known centre of pressure. */
interface Sums {
  readonly lead: Float64Array;
  readonly all: Float64Array;
  readonly pressed: Float64Array;
  readonly x: Float64Array;
  readonly z: Float64Array;
}

interface Standing {
  readonly lead: readonly ForcePlate[];
  readonly trail: readonly ForcePlate[];
  readonly both: readonly ForcePlate[];
  readonly flags: readonly string[];
  /** Midpoint of the ankle centres at P1. */
  readonly middle: Avail<readonly [number, number]>;
}

/** A reader of a motion's platforms at the samples of a plan. Vertical is Y of G; sums are made once. */
export function createForceReader(motion: Motion, plan: SamplePlan, ws: Workspace): ForceReader {
  const diagnostics: Diagnostic[] = [];
  const standing = standingOn(motion, plan.positions.get('P1') ?? null);
  if (!standing.ok) return { read: () => ({ values: standing, flags: [] }), diagnostics };
  const { lead, trail, both, flags, middle } = standing.value;
  const { frames } = motion.clock;
  const sums = sumsOf(lead, both, frames, ws);
  const words = sideWords(motion);
  const weight_N = motion.mass_kg == null ? null : GRAVITY * motion.mass_kg;
  const idle = both.find(({ force_N }) => !isEverLoaded(force_N, frames));
  const shared = lead.some((plate) => trail.includes(plate));
  const hasPressure = both.every(({ pressure_m }) => pressure_m.subarray(0, frames).some((x) => !Number.isNaN(x)));
  tellDoubts();

  function tellDoubts(): void {
    if (shared) {
      const names = lead.filter((plate) => trail.includes(plate)).map(({ name }) => name);
      diagnostics.push(stageDiagnostic('feet-on-one-platform', `both feet stand on ${names.join(' and ')}`));
    }
    if (idle !== undefined) {
      const bears = lead.includes(idle) ? words.lead : words.trail;
      diagnostics.push(stageDiagnostic('platform-unloaded', `${idle.name} under the ${bears} foot never bears a load`));
    }
    const p1 = plan.positions.get('P1')!;
    const load = valueAt(sums.all, frames, p1.time);
    if (weight_N === null || idle !== undefined || !(Math.abs(load / weight_N - 1) > WEIGHT_TOLERANCE)) return;
    const message = `at address the platforms bear ${formatFixed(load, 0)} N, the player weighs ${formatFixed(weight_N, 0)} N`;
    diagnostics.push(stageDiagnostic('force-weight-disagrees', message));
  }

  const series = (value: (time: SampleTime, all: number) => number): Avail<ReadValues> => {
    const values = ws.float64(plan.times.length);
    plan.times.forEach((time, i) => {
      values[i] = value(time, valueAt(sums.all, frames, time));
    });
    return present({ values, singular: null });
  };
  const overLoad = (part: Float64Array, whole: Float64Array): Avail<ReadValues> =>
    series((time, all) =>
      all >= LEAST_FORCE_N ? valueAt(part, frames, time) / valueAt(whole, frames, time) : Number.NaN,
    );
  const pressure = (part: Float64Array, axis: 0 | 1, sign: 1 | -1): Avail<ReadValues> => {
    if (!middle.ok) return middle;
    if (!hasPressure) return absent('no-centre-of-pressure', 'moments of the force platforms that can be used');
    const read = overLoad(part, sums.pressed);
    if (!read.ok) return read;
    const { values } = read.value;
    for (let i = 0; i < values.length; i++) values[i] = sign * (values[i]! - middle.value[axis]);
    return read;
  };

  const valuesOf = (figure: ForceFigure): Avail<ReadValues> => {
    if (idle !== undefined) {
      const bears = lead.includes(idle) ? words.lead : words.trail;
      return absent('platform-unloaded', `load on ${idle.name}, on which the ${bears} foot stands`);
    }
    switch (figure) {
      case 'vertical':
        return series((_, all) => all);
      case 'vertical-share':
        return weight_N === null
          ? absent('mass-unknown', 'the player’s mass: mass_kg in the day file')
          : series((_, all) => all / weight_N);
      case 'lead-share':
        return shared
          ? absent('feet-on-one-platform', 'each foot on a force platform of its own')
          : overLoad(sums.lead, sums.all);
      case 'pressure-along':
        return pressure(sums.z, 1, -1);
      case 'pressure-across':
        return pressure(sums.x, 0, 1);
    }
  };
  return { read: (figure) => ({ values: valuesOf(figure), flags }), diagnostics };
}

/** Which platforms each foot stands on at P1: those that any of its heel, ankle and toe lies over. */
function standingOn(motion: Motion, p1: PositionSample | null): Avail<Standing> {
  const { forces } = motion;
  if (forces === undefined) return absent('no-force-platforms', 'force platforms in the recording');
  if (p1 === null) return absent('position-missing', 'P1, at which the feet are placed on the platforms');
  const flags = new Set<string>();
  const words = sideWords(motion);
  const at = new Float64Array(3);
  const placeOf = (id: `${Side}_${(typeof FOOT)[number]}`): readonly [number, number] | null => {
    const track = motion.points.get(id);
    if (track?.ok !== true) return null;
    vectorAt(track.value.data, motion.clock.frames, p1.time, at);
    return Number.isNaN(at[0]) ? null : [at[0]!, at[2]!];
  };
  const platesOf = (side: Side): Avail<readonly ForcePlate[]> => {
    const places = FOOT.map((part) => placeOf(`${side}_${part}`)).filter((place) => place !== null);
    if (places.length === 0) {
      return absent('landmark-missing', `heel, ankle or toe of the ${words[side]} foot at P1, to find its platform`);
    }
    const over = places.map((place) => forces.plates.filter(({ corners_m }) => isOver(corners_m, place)));
    const plates = forces.plates.filter((plate) => over.some((some) => some.includes(plate)));
    if (plates.length === 0) {
      return absent('foot-off-platform', `the ${words[side]} foot on a force platform at P1`);
    }
    if (over.some((some) => some.length === 0)) flags.add('foot-partly-off-platform');
    return present(plates);
  };
  const lead = platesOf('lead');
  const trail = platesOf('trail');
  if (!lead.ok) return lead;
  if (!trail.ok) return trail;
  const ankles = [placeOf('lead_ankle'), placeOf('trail_ankle')] as const;
  const middle: Standing['middle'] =
    ankles[0] !== null && ankles[1] !== null
      ? present([(ankles[0][0] + ankles[1][0]) / 2, (ankles[0][1] + ankles[1][1]) / 2])
      : absent('landmark-missing', 'both ankle centres at P1, for the middle of the stance');
  const both = forces.plates.filter((plate) => lead.value.includes(plate) || trail.value.includes(plate));
  return present({ lead: lead.value, trail: trail.value, both, flags: [...flags], middle });
}

/** Whether a place [x, z] lies in a convex quadrilateral seen from above. */
function isOver(corners: ForcePlate['corners_m'], [x, z]: readonly [number, number]): boolean {
  let left = 0;
  let right = 0;
  corners.forEach(([ax, , az], i) => {
    const [bx, , bz] = corners[(i + 1) % corners.length]!;
    const turn = (bx - ax) * (z - az) - (bz - az) * (x - ax);
    if (turn > 0) left += 1;
    if (turn < 0) right += 1;
  });
  return left === 0 || right === 0;
}

function sumsOf(lead: readonly ForcePlate[], both: readonly ForcePlate[], frames: number, ws: Workspace): Sums {
  const column = (): Float64Array => {
    const data = ws.float64(frames);
    data.fill(0);
    return data;
  };
  const sums = { lead: column(), all: column(), pressed: column(), x: column(), z: column() };
  for (const plate of both) {
    const isLead = lead.includes(plate);
    for (let f = 0; f < frames; f++) {
      const load = plate.force_N[frames + f]!;
      sums.all[f] = sums.all[f]! + load;
      if (isLead) sums.lead[f] = sums.lead[f]! + load;
      const x = plate.pressure_m[f]!;
      if (Number.isNaN(x)) continue;
      sums.pressed[f] = sums.pressed[f]! + load;
      sums.x[f] = sums.x[f]! + load * x;
      sums.z[f] = sums.z[f]! + load * plate.pressure_m[2 * frames + f]!;
    }
  }
  return sums;
}

const one = new Float64Array(1);

function valueAt(column: Float64Array, frames: number, time: SampleTime): number {
  if (time.window === null) return interpolateValue(column, 0, frames, time.t_frames);
  windowMean(column, frames, 1, time.window, one);
  return one[0]!;
}

function isEverLoaded(force_N: Float64Array, frames: number): boolean {
  for (let f = 0; f < frames; f++) if (force_N[frames + f]! >= LEAST_FORCE_N) return true;
  return false;
}

function sideWords(motion: Motion): Readonly<Record<Side, string>> {
  const hand = motion.head.facts.hand.value;
  const word = (side: Side): string => landmarkWords(`${side}_HEEL`, hand).split(' ')[0]!;
  return { lead: word('lead'), trail: word('trail') };
}
