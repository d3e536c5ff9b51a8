/** What a file holds and what its data say about themselves, before any day file. */
import { FormatError } from '../base/errors.ts';
import { formatFixed } from '../base/format.ts';
import { readC3d } from '../c3d/readC3d.ts';
import type { ByteSource, C3dFile } from '../c3d/types.ts';
import { type NamedBytes, readImu } from '../imu/readImu.ts';
import type { ImuRecording } from '../imu/types.ts';
import { type DetectedFacts, detectFacts, nearestAxis } from '../intake/detectFacts.ts';
import { PointSamples } from '../intake/pointSamples.ts';
import { recogniseLandmarks } from '../intake/recogniseLandmarks.ts';
import { describeSensors, type SensorDescription, type SensorsDescription } from '../intake/sensors/describeSensors.ts';
import { upOfRotations } from '../intake/sensors/rotationSensors.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import { DEFAULT_SENSOR_PLAN } from '../model/sensors.ts';
import { jsonText } from '../tables/storedRecord.ts';
import { type AnglesAsked, type AnglesBetween, anglesBetween } from './anglesBetween.ts';
import type { FailedInspection, Inspection, SensorInspection } from './inspection.ts';

/**
 * Decimals of the numbers shown: what lies below them is rounding, not information. Stamps count whole microseconds at the finest; a rate
 * of C3D is a single-precision number, up to 1000 Hz good to 0.00003 Hz; gyros count in steps of 0.01°/s and more, and gravity is the mean
 * of many steps of 0.001 m/s² and more (common practice, no source). Angles of single-precision rotations are good to 0.00001°.
 */
const DECIMALS = { rate_Hz: 4, time_s: 6, speed_degPerS: 2, gravity_mPerS2: 4, angle_deg: 4 } as const;

/** The nearest number with so many decimals at most; null where there is none. */
function roundedOrNull(value: number | null, decimals: number): number | null {
  return value === null || !Number.isFinite(value) ? null : Number(formatFixed(value, decimals));
}

/** A time that is no number stays none. */
function roundedTime(time_s: number): number {
  return roundedOrNull(time_s, DECIMALS.time_s) ?? Number.NaN;
}

/** The file with everything the data say about themselves. */
export interface Examined {
  readonly inspection: Inspection;
  readonly file: C3dFile;
  readonly found: ReadonlyMap<FileLandmark, number>;
  readonly facts: DetectedFacts | null;
  /** Its rotations as sensors, where it has no landmark; otherwise null. */
  readonly described: SensorsDescription | null;
}

/** @throws FormatError where the file cannot be read */
export function examine(source: ByteSource, name: string): Examined {
  const file = readC3d(source, { file: name });
  const landmarks = recogniseLandmarks(file, {});
  const usable = file.frames > 0 && landmarks.found.size > 0;
  const facts = usable ? detectFacts(file, new PointSamples(file, landmarks.found, false), null) : null;
  const stored = (file.units[0] ?? '').trim();
  const asSensors = (file.rotationData?.labels.length ?? 0) > 0 && landmarks.found.size === 0;
  const described = asSensors ? describe(file, name) : null;
  const inspection: Inspection = {
    file: name,
    bytes: source.size,
    processor: file.processor,
    form: file.form,
    points: file.points,
    frames: file.frames,
    firstFrame: file.firstFrame,
    rate_Hz: roundedOrNull(file.rate_Hz, DECIMALS.rate_Hz),
    units: stored !== '' ? stored : (facts?.units?.value ?? null),
    analogChannels: file.analog.channels,
    analogSamplesPerFrame: file.analog.samplesPerFrame,
    rotations: file.rotations,
    labels: [...file.labels],
    landmarks: [...landmarks.found].map(([landmark, index]) => ({ name: landmark, label: file.labels[index] ?? '' })),
    up: facts?.up?.value ?? (asSensors ? (upOfRotations(file.rotationData!)?.value ?? null) : null),
    target: facts === null ? null : targetOf(facts),
    events: file.events.map(({ label, context, time_s, frame }) => ({
      label,
      context,
      time_s: roundedTime(time_s),
      frame,
    })),
    diagnostics: [...file.diagnostics, ...landmarks.diagnostics, ...(described?.diagnostics ?? [])],
    rotationLabels: (file.rotationData?.labels ?? []).map((label) => label.trim()),
    source: asSensors ? 'sensors' : 'markers',
    sensors: (described?.sensors ?? []).map(sensorInspection),
    questions: described?.questions ?? [],
  };
  return { inspection, file, found: landmarks.found, facts, described };
}

/** One file's object of `inspect --json`; a file that cannot be read, or lacks a rotation that is asked for, gives its error. */
export function inspectFile(
  source: ByteSource,
  name: string,
  angles: AnglesAsked | null = null,
): Inspection | FailedInspection {
  return orError(name, () => {
    const { inspection, file } = examine(source, name);
    if (angles === null) return inspection;
    return { ...inspection, angles: roundedAngles(anglesBetween(file.rotationData, angles, name)) };
  });
}

function orError(name: string, look: () => Inspection): Inspection | FailedInspection {
  try {
    return look();
  } catch (error) {
    if (!(error instanceof FormatError)) throw error;
    const { code, offset } = error.problem;
    return { file: name, error: { code, message: error.message, offset } };
  }
}

function roundedAngles(between: AnglesBetween): AnglesBetween {
  const angles = between.angles.map(({ axis, min_deg, mean_deg, max_deg }) => ({
    axis,
    min_deg: roundedOrNull(min_deg, DECIMALS.angle_deg),
    mean_deg: roundedOrNull(mean_deg, DECIMALS.angle_deg),
    max_deg: roundedOrNull(max_deg, DECIMALS.angle_deg),
  }));
  return { ...between, angles };
}

/** The axis nearest the line of the feet, trail to lead, where the club shows which is which; a guess, never a fact. */
function targetOf(facts: DetectedFacts): string | null {
  if (facts.feet === null || facts.hand === null) return null;
  const [x, y, z] = facts.feet.leftFromRight;
  const sign = facts.hand.value === 'right' ? 1 : -1;
  return nearestAxis([sign * x, sign * y, sign * z]).axis;
}

function describe(recording: ImuRecording | C3dFile, name: string): SensorsDescription {
  return describeSensors(recording, { file: name, sensors: DEFAULT_SENSOR_PLAN, insist: [], rate_Hz: null });
}

/** A recording of sensors with what its data say about themselves. */
export interface ExaminedSensors {
  readonly inspection: Inspection;
  readonly recording: ImuRecording;
  readonly described: SensorsDescription;
}

/** @throws FormatError where the files cannot be read, or hold no sensor */
export function examineSensors(files: readonly NamedBytes[], name: string): ExaminedSensors {
  const recording = readImu(files);
  const described = describe(recording, name);
  if (described.sensors.length === 0) {
    const found = `no recording of sensors; needed ${described.questions.join('; ')}`;
    throw new FormatError({ file: name, code: 'not-sensors', offset: null, path: [], found, expected: '', wayOut: '' });
  }
  const sensors = described.sensors.map(sensorInspection);
  const rates = new Set(sensors.map((one) => (one.rate_Hz === null ? null : Math.round(one.rate_Hz * 10) / 10)));
  const samples = new Set(sensors.map((one) => one.samples));
  const rate_Hz = rates.size === 1 ? described.sensors[0]!.rate_Hz.value : null;
  const inspection: Inspection = {
    file: name,
    bytes: files.reduce((sum, { bytes }) => sum + bytes.length, 0),
    processor: null,
    form: null,
    points: 0,
    frames: samples.size === 1 ? sensors[0]!.samples : null,
    firstFrame: null,
    rate_Hz: roundedOrNull(rate_Hz, DECIMALS.rate_Hz),
    units: null,
    analogChannels: 0,
    analogSamplesPerFrame: 0,
    rotations: 0,
    labels: [],
    landmarks: [],
    up: null,
    target: null,
    events: (recording.bids?.events ?? []).map(({ label, onset_s }) => ({
      label,
      context: '',
      time_s: roundedTime(onset_s),
      frame: Math.round(onset_s * (rate_Hz ?? recording.bids!.samplingFrequency_Hz)),
    })),
    diagnostics: [...recording.diagnostics, ...described.diagnostics],
    rotationLabels: [],
    source: 'sensors',
    sensors,
    questions: described.questions,
  };
  return { inspection, recording, described };
}

/** One recording's object of `inspect --json`: a table, a folder of tables or Motion-BIDS. */
export function inspectSensors(files: readonly NamedBytes[], name: string): Inspection | FailedInspection {
  return orError(name, () => examineSensors(files, name).inspection);
}

function sensorInspection(one: SensorDescription): SensorInspection {
  const rate_Hz = one.rate_Hz.value;
  const span_s = rate_Hz === null || one.samples === 0 ? null : (one.samples + one.samplesDropped - 1) / rate_Hz;
  const fastest = one.fastest_radPerS;
  return {
    name: one.name,
    file: one.file,
    place: one.place.value,
    rate_Hz: roundedOrNull(rate_Hz, DECIMALS.rate_Hz),
    samples: one.samples,
    span_s: roundedOrNull(span_s, DECIMALS.time_s),
    columns: one.columns,
    timeUnit: one.timeUnit.value,
    gyroUnit: one.gyroUnit.value,
    accUnit: one.accUnit.value,
    fastest_degPerS: roundedOrNull(fastest === null ? null : (fastest * 180) / Math.PI, DECIMALS.speed_degPerS),
    gravity_mPerS2: roundedOrNull(one.gravity_mPerS2, DECIMALS.gravity_mPerS2),
    stampsDropped: one.stampsDropped,
    samplesDropped: one.samplesDropped,
    longestStep_s: roundedTime(one.longestStep_s),
    clippedGyro: one.clipped.gyro,
    clippedAcc: one.clipped.acc,
    quaternions: one.quaternions === '' ? null : one.quaternions,
    problems: one.problems,
  };
}

/** The text of `inspect --json`: always an array. */
export function inspectionsJson(all: readonly (Inspection | FailedInspection)[]): string {
  return `${jsonText(all)}\n`;
}
