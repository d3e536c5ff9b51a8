/** From the signals of a trial's sensors to orientations on one clock. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { formatFixed } from '../base/format.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { Vec3 } from '../model/calibration.ts';
import type { Clock } from '../model/clock.ts';
import type { OrientedSensor, OrientedSensors, SensorPlace, SensorPlan, SensorTrack } from '../model/sensors.ts';
import type { SensorTrial } from '../model/trial.ts';
import { norm } from '../numeric/vector.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { findAddress, type Span, type SwingMoment, swingMoment } from './orient/address.ts';
import { onCommonClock } from './orient/commonClock.ts';
import { orientDiagnostic } from './orient/diagnosticCodes.ts';
import { filtered, forceInWorld, type OwnOrientation, ofFile, strappedDown } from './orient/oneSensor.ts';
import { sampleAt } from './orient/samples.ts';
import { placeWords } from './sensors/places.ts';
import { fastestMoment, STILL, type StillSearch, stillSearch, stillStretches } from './shared/stillSensors.ts';

export interface OrientOptions {
  readonly plan: SensorPlan;
  /** Bias of each gyro in the still pose, rad/s; NaN or left out where it is not known. */
  readonly bias: ReadonlyMap<SensorPlace, Vec3>;
  /** Its standard deviation per axis; left out: 0.1°/s. */
  readonly biasSd_radPerS?: ReadonlyMap<SensorPlace, number>;
}

/** The finish is sought this long after impact. */
const AFTER_IMPACT_s = 0.5;
const RAD = Math.PI / 180;
const degrees = (angle: number, decimals = 1): string => `${formatFixed(angle / RAD, decimals)}°`;

/**
 * Each sensor strapped down, forward and backward, from the still address that all share (else from its own): gyro bias and inclination from
 * there, no correction by specific force in the swing or after it. `headings: file` or no gyro: the file's orientations. No still address: the filter of
 * the plan over the whole recording, flagged. The common clock has the highest rate, from the latest first sample to the earliest last one.
 * `trial` is the aligned one.
 */
export function orientSensors(trial: SensorTrial, options: OrientOptions, ws: Workspace): Outcome<OrientedSensors> {
  const { plan } = options;
  const diagnostics: Diagnostic[] = [];
  const sensors = new Map<SensorPlace, Avail<OrientedSensor>>();
  const searches = new Map<SensorPlace, StillSearch>();
  for (const [place, track] of trial.sensors) {
    const why = trial.unusable?.get(place);
    const usable = why === undefined ? whatIsThere(place, track, plan) : absent<true>(why.code, why.needed);
    if (usable.ok) searches.set(place, stillSearch(track, options.bias.get(place) ?? null, ws));
    sensors.set(place, usable.ok ? absent('not-oriented', '') : usable);
  }
  const moment = swingMoment(searches);
  if (moment !== null) leaveOut(searches, sensors, moment, diagnostics);
  const clock = clockOf(searches);
  if (moment === null || clock === null) {
    for (const place of searches.keys())
      sensors.set(place, absent('no-motion', 'a recording in which the sensors turn'));
    return { value: { clock: { rate_Hz: 1, frames: 0 }, start_s: 0, sensors, still_s: null }, diagnostics };
  }
  const address = findAddress(searches, moment);
  if (address.common === null && address.own.size === searches.size && searches.size > 1) {
    diagnostics.push(orientDiagnostic('still-address-not-common', 'each sensor starts from its own still moment'));
  }
  for (const [place, search] of searches) {
    const span = address.common ?? address.own.get(place) ?? null;
    const pose = { bias: options.bias.get(place) ?? null, ...sdOf(options, place) };
    const own = orientOne(search, span, pose, moment, plan, ws);
    say(place, search.track, own, span, plan, diagnostics);
    const name = `sensor ${search.track.name}, ${own.method}`;
    const { R, w_radPerS } = onCommonClock(own, clock.clock, clock.start_s, search.track.rate_Hz, name, ws);
    sensors.set(
      place,
      present({
        track: search.track,
        method: own.method,
        R,
        w_radPerS,
        bias_radPerS: own.bias?.bias ?? null,
        biasSd_radPerS: own.bias?.sd ?? null,
        driftBound_rad: own.bound_rad,
        closingTilt_rad: closingTilt(search, own, moment),
      }),
    );
  }
  const { common } = address;
  const still_s: Span | null = common === null ? null : [common[0] - clock.start_s, common[1] - clock.start_s];
  return { value: { ...clock, sensors, still_s }, diagnostics };
}

function sdOf({ biasSd_radPerS }: OrientOptions, place: SensorPlace): { readonly sd_radPerS?: number } {
  const sd = biasSd_radPerS?.get(place);
  return sd === undefined ? {} : { sd_radPerS: sd };
}

/** Gyro and accelerometer, or orientations of the file. */
function whatIsThere(place: SensorPlace, track: SensorTrack, plan: SensorPlan): Avail<true> {
  if (track.orientation.ok && plan.useQuaternions) return present(true);
  const words = placeWords(place);
  if (track.gyro === null) return absent('no-gyro', `angular velocity, or orientations in the file, of ${words}`);
  if (track.acc === null) return absent('no-acc', `specific force (accelerometer) of ${words}`);
  return present(true);
}

/** Takes sensors out that have no samples around the fastest moment. */
function leaveOut(
  searches: Map<SensorPlace, StillSearch>,
  sensors: Map<SensorPlace, Avail<OrientedSensor>>,
  { fastest_s }: SwingMoment,
  diagnostics: Diagnostic[],
): void {
  for (const [place, search] of searches) {
    const { track } = search;
    const last = track.times_s[track.times_s.length - 1]!;
    if (track.times_s[0]! < fastest_s && last > fastest_s && fastestMoment(search) !== null) continue;
    const needed = `samples of ${placeWords(place)} at the fastest moment, ${formatFixed(fastest_s, 2)} s`;
    diagnostics.push(orientDiagnostic('outside-swing', `${placeWords(place)} needs ${needed}`));
    sensors.set(place, absent('outside-swing', needed));
    searches.delete(place);
  }
}

function clockOf(
  searches: ReadonlyMap<SensorPlace, StillSearch>,
): { readonly clock: Clock; readonly start_s: number } | null {
  let rate_Hz = 0;
  let start_s = Number.NEGATIVE_INFINITY;
  let end_s = Number.POSITIVE_INFINITY;
  for (const { track } of searches.values()) {
    rate_Hz = Math.max(rate_Hz, track.rate_Hz);
    start_s = Math.max(start_s, track.times_s[0]!);
    end_s = Math.min(end_s, track.times_s[track.times_s.length - 1]!);
  }
  if (searches.size === 0 || !(end_s > start_s)) return null;
  return { clock: { rate_Hz, frames: Math.floor((end_s - start_s) * rate_Hz + 1e-6) + 1 }, start_s };
}

function orientOne(
  search: StillSearch,
  span: Span | null,
  pose: { readonly bias: Vec3 | null; readonly sd_radPerS?: number },
  moment: SwingMoment,
  plan: SensorPlan,
  ws: Workspace,
): OwnOrientation {
  const { track } = search;
  const canRead = track.orientation.ok && plan.useQuaternions;
  if (canRead && (plan.heading === 'file' || track.gyro === null || track.acc === null)) {
    return ofFile(search, span, pose, ws);
  }
  return span === null ? filtered(search, pose, moment, plan, ws) : strappedDown(search, span, pose, moment, ws);
}

/** Angle between up and the mean specific force of the first still stretch after impact (half a second of it), turned by the orientation. */
function closingTilt(search: StillSearch, own: OwnOrientation, { impact_s }: SwingMoment): number | null {
  if (search.track.acc === null) return null;
  const { times_s } = search.track;
  const { samples, gaps, R } = own;
  for (const { from, to } of stillStretches(search, STILL)) {
    const begin = Math.max(times_s[from]!, impact_s + AFTER_IMPACT_s);
    if (!(times_s[to - 1]! - begin >= STILL.least_s)) continue;
    const first = Math.max(gaps.from, sampleAt(samples.times_s, samples.count, begin));
    const last = Math.min(gaps.to, sampleAt(samples.times_s, samples.count, Math.min(times_s[to - 1]!, begin + 0.5)));
    const up = forceInWorld(search, samples, R, first, last);
    if (norm(up) > 0) return Math.atan2(Math.sqrt(up[0]! * up[0]! + up[2]! * up[2]!), up[1]!);
  }
  return null;
}

function say(
  place: SensorPlace,
  track: SensorTrack,
  own: OwnOrientation,
  span: Span | null,
  plan: SensorPlan,
  diagnostics: Diagnostic[],
): void {
  const words = placeWords(place);
  const tell = (code: Parameters<typeof orientDiagnostic>[0], text: string): void => {
    diagnostics.push(orientDiagnostic(code, `${words}: ${text}`));
  };
  const { gaps, bias, clipped, samples } = own;
  if (own.method === 'file') tell('orientation-of-file', 'the orientations of the file are used');
  else if (span === null) tell('no-still-address', `nowhere still before the swing; the ${own.method} filter is used`);
  if (plan.magnetometer && own.method !== 'inclination' && track.mag !== null) {
    tell('magnetometer-not-used', `its orientation is by ${own.method}, without the magnetometer`);
  }
  if (bias !== null && own.method === 'strap-down') {
    if (bias.from !== 'address') {
      const from = bias.from === 'both' ? 'address and still pose together' : 'the still pose';
      tell('gyro-bias', `bias of ${degrees(norm(bias.bias), 2)}/s from ${from}, ± ${degrees(1.96 * bias.sd, 2)}/s`);
    }
    if (bias.differs) tell('gyro-bias-differs', 'the bias at address is not that of the still pose');
  }
  if (gaps.after_s > 0) {
    const at = formatFixed(samples.times_s[gaps.to - 1]!, 2);
    tell(
      'sensor-gap',
      `no samples for ${formatFixed(gaps.after_s, 2)} s after ${at} s: orientation is missing from there on`,
    );
  }
  if (gaps.before_s > 0) {
    const at = formatFixed(samples.times_s[gaps.from]!, 2);
    tell(
      'sensor-gap',
      `no samples for ${formatFixed(gaps.before_s, 2)} s before ${at} s: orientation is missing up to there`,
    );
  }
  if ((gaps.to < samples.count && gaps.after_s === 0) || (gaps.from > 0 && gaps.before_s === 0)) {
    tell('far-from-address', 'orientation is missing more than 20 s away from the still address');
  }
  if (gaps.bridged > 0) {
    tell('sensor-gap-bridged', `${gaps.bridged} gaps bridged, the longest ${formatFixed(1000 * gaps.longest_s, 0)} ms`);
  }
  if (clipped.first_s !== null) {
    const at = formatFixed(clipped.first_s, 2);
    tell(
      'gyro-clipped-angle',
      `at its range limit from ${at} s; up to ${degrees(clipped.angle_rad)} may be lost from there on`,
    );
  }
}
