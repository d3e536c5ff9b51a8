/** The true order of motion of an invented swing beside what the program makes of it. */
import { type Axes, cross, dot, planeNormal, scale } from '../../samples/generator/geometry.ts';
import { type LimbAxes, limbAxes } from '../../samples/generator/limbs.ts';
import { limbMotion } from '../../samples/generator/makeSwing.ts';
import { swingPlaces } from '../../samples/generator/markers.ts';
import {
  type AxesAt,
  segmentPeaks,
  shaftPeaks,
  swingPlaneNormal,
  type TruePeak,
  trunkAxes,
} from '../../samples/generator/orderOfMotion.ts';
import { type Place, swingFrame } from '../../samples/generator/sensorMotion.ts';
import type { SensorTruth } from '../../samples/generator/sensorTruth.ts';
import type { Swing } from '../../samples/generator/swing.ts';
import { LINKS, type Link, ORDER_METHODS, type OrderMethod } from '../../src/model/orderOfMotion.ts';
import type { Cell } from '../../src/model/swingRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import type { SensorCase } from './sensorCases.ts';
import { type Conditions, type TruthCase, truthCase } from './truthCases.ts';

type TrueLink = Exclude<Link, 'lead_hand'>;
type TrueOrder = Readonly<Record<TrueLink, Partial<Readonly<Record<OrderMethod, TruePeak>>>>>;

export const TRUE_LINKS = LINKS.filter((link): link is TrueLink => link !== 'lead_hand');

/** Peaks between 50 ms before the top and contact, in the swing's own time; arms of a recording made with `limbs`. */
function trueOrder({ made }: TruthCase): TrueOrder {
  const { swing, truth, contact_s } = made;
  const shift = swing.setup.contact - contact_s;
  const from = truth.time_s.P4 + shift - 0.05;
  const to = swing.setup.contact;
  const normal = swingPlaneNormal(swing, truth.time_s.P6 + shift);
  const known = new Map<number, LimbAxes>();
  const limbs = (t: number): LimbAxes => {
    let axes = known.get(t);
    if (axes === undefined) {
      axes = limbAxes(swingPlaces(swing, t, false), swing.bodyPose(t), limbMotion(swing, t));
      known.set(t, axes);
    }
    return axes;
  };
  const trunk = trunkAxes(swing);
  const of = (axes: AxesAt) => segmentPeaks(axes, normal, from, to);
  return {
    pelvis: of(trunk.pelvis),
    thorax: of(trunk.thorax),
    lead_upper_arm: of((t): Axes => limbs(t).lead_upper_arm),
    lead_forearm: of((t): Axes => limbs(t).lead_forearm),
    club: shaftPeaks(swing, normal, from),
  };
}

/** One peak found against the true one. */
export interface OrderError {
  readonly seed: number;
  readonly link: TrueLink;
  readonly method: OrderMethod;
  /** Found less true; seconds before impact, rad/s as a share of the true speed. */
  readonly time_s: number;
  readonly speed: number;
  /** Share of its true peak speed that the link lacks at the time found: small also where two peaks are nearly level. */
  readonly short: number;
  readonly timeCovered: boolean;
  readonly speedCovered: boolean;
  readonly flags: readonly string[];
}

const truths = new Map<string, TrueOrder>();

/** Computed once a seed and rate. */
function knownOrder(one: TruthCase): TrueOrder {
  const key = `${one.seed} ${one.trial.clock.rate_Hz}`;
  let truth = truths.get(key);
  if (truth === undefined) {
    truth = trueOrder(one);
    truths.set(key, truth);
  }
  return truth;
}

/** True seconds before impact; null where a method leaves the link out. */
export function trueTime(one: TruthCase, link: TrueLink, method: OrderMethod): number | null {
  const peak = knownOrder(one)[link][method];
  return peak === undefined ? null : one.made.swing.setup.contact - peak.time_s;
}

/** Errors of every peak of every swing; throws where one is missing. */
export function measureOrder(seeds: readonly number[], conditions: Conditions): OrderError[] {
  const ws = createWorkspace();
  return seeds.flatMap((seed) => {
    const one = truthCase(seed, { ...conditions, options: { ...conditions.options, limbs: true } });
    ws.reset();
    const { cells } = analyseTrial(one.trial, one.plan, ws);
    const contact = one.made.swing.setup.contact;
    return errorsOf(seed, cells, knownOrder(one), contact, (what) => {
      throw new Error(`seed ${seed}: ${what}`);
    });
  });
}

/** `contact` and the true times are of the swing's own clock. */
function errorsOf(
  seed: number,
  cells: readonly Cell[],
  truth: TrueOrder,
  contact: number,
  missing: (what: string) => void,
): OrderError[] {
  return TRUE_LINKS.flatMap((link) =>
    ORDER_METHODS.flatMap((method): OrderError[] => {
      const peak = truth[link][method];
      if (peak === undefined) return [];
      const [time, speed] = ['time', 'speed'].map(
        (figure) => cells.find(({ quantity }) => quantity === `order.${link}.${method}.${figure}`)!,
      ) as [Cell, Cell];
      if (time.value === null || speed.value === null) {
        missing(`${link}.${method}: ${time.why?.needed}`);
        return [];
      }
      const error = time.value - (contact - peak.time_s);
      return [
        {
          seed,
          link,
          method,
          time_s: error,
          speed: speed.value / peak.speed_radPerS - 1,
          short: 1 - peak.sizeAt(contact - time.value) / peak.speed_radPerS,
          timeCovered: Math.abs(error) <= time.plusMinus!,
          speedCovered: Math.abs(speed.value - peak.speed_radPerS) <= speed.plusMinus!,
          flags: time.flags,
        },
      ];
    }),
  );
}

/** The same of a swing recorded with sensors: the arm's axes are those that carry the sensors, the plane that of the shaft. */
export function trueOrderOfSensors(swing: Swing, truth: SensorTruth): TrueOrder {
  const from = truth.time_s.P4 - 0.05;
  const to = swing.setup.contact;
  const shafts = Array.from({ length: 101 }, (_, i) => {
    const t = truth.time_s.P6 + ((to - truth.time_s.P6) * i) / 100;
    return swingFrame(swing, 'club', t, false).axes.x;
  });
  const first = planeNormal(shafts);
  const normal = dot(cross(shafts[0]!, shafts.at(-1)!), first) < 0 ? scale(first, -1) : first;
  const of = (place: Place) => segmentPeaks((t) => swingFrame(swing, place, t, false).axes, normal, from, to);
  return {
    pelvis: of('pelvis'),
    thorax: of('thorax'),
    lead_upper_arm: of('lead_upper_arm'),
    lead_forearm: of('lead_forearm'),
    club: shaftPeaks(swing, normal, from),
  };
}

/** Errors of every peak that the sensors give; those that they do not by `link.method: reason`. */
export function measureSensorOrder(cases: readonly SensorCase[]): { errors: OrderError[]; missing: Set<string> } {
  const ws = createWorkspace();
  const missing = new Set<string>();
  const errors = cases.flatMap((one, seed) => {
    const { swing } = one;
    const truth = trueOrderOfSensors(swing, one.truth);
    ws.reset();
    const { cells } = analyseTrial(one.trial, one.plan, ws);
    return errorsOf(seed, cells, truth, swing.setup.contact, (name) => missing.add(name));
  });
  return { errors, missing };
}
