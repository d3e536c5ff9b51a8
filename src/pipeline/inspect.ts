import type { Diagnostic } from '../base/diagnostics.ts';
import { FormatError } from '../base/errors.ts';
import { formatFixed } from '../base/format.ts';
import { readC3d } from '../c3d/readC3d.ts';
import type { ByteSource, C3dFile } from '../c3d/types.ts';
import { type DetectedFacts, detectFacts, nearestAxis } from '../intake/detectFacts.ts';
import { PointSamples } from '../intake/pointSamples.ts';
import { recogniseLandmarks } from '../intake/recogniseLandmarks.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import { jsonText } from '../tables/storedRecord.ts';

/** What `inspect --json` prints of one file: keys always present, null where unknown. */
export interface Inspection {
  readonly file: string;
  readonly bytes: number;
  readonly processor: C3dFile['processor'];
  readonly form: C3dFile['form'];
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly rate_Hz: number | null;
  readonly units: string | null;
  readonly analogChannels: number;
  readonly analogSamplesPerFrame: number;
  readonly rotations: number;
  readonly labels: readonly string[];
  readonly landmarks: readonly { readonly name: FileLandmark; readonly label: string }[];
  readonly up: string | null;
  readonly target: string | null;
  /** `time_s` from the first stored frame; `frame` from 0. */
  readonly events: readonly {
    readonly label: string;
    readonly context: string;
    readonly time_s: number;
    readonly frame: number;
  }[];
  readonly diagnostics: readonly Diagnostic[];
}

export interface FailedInspection {
  readonly file: string;
  readonly error: { readonly code: string; readonly message: string; readonly offset: number | null };
}

/** The file with everything the data say about themselves. */
export interface Examined {
  readonly inspection: Inspection;
  readonly file: C3dFile;
  readonly found: ReadonlyMap<FileLandmark, number>;
  readonly facts: DetectedFacts | null;
}

/** @throws FormatError where the file cannot be read */
export function examine(source: ByteSource, name: string): Examined {
  const file = readC3d(source, { file: name });
  const landmarks = recogniseLandmarks(file, {});
  const usable = file.frames > 0 && landmarks.found.size > 0;
  const facts = usable ? detectFacts(file, new PointSamples(file, landmarks.found, false), null) : null;
  const stored = (file.units[0] ?? '').trim();
  const inspection: Inspection = {
    file: name,
    bytes: source.size,
    processor: file.processor,
    form: file.form,
    points: file.points,
    frames: file.frames,
    firstFrame: file.firstFrame,
    rate_Hz: file.rate_Hz,
    units: stored !== '' ? stored : (facts?.units?.value ?? null),
    analogChannels: file.analog.channels,
    analogSamplesPerFrame: file.analog.samplesPerFrame,
    rotations: file.rotations,
    labels: [...file.labels],
    landmarks: [...landmarks.found].map(([landmark, index]) => ({ name: landmark, label: file.labels[index] ?? '' })),
    up: facts?.up?.value ?? null,
    target: facts === null ? null : targetOf(facts),
    events: file.events.map(({ label, context, time_s, frame }) => ({ label, context, time_s, frame })),
    diagnostics: [...file.diagnostics, ...landmarks.diagnostics],
  };
  return { inspection, file, found: landmarks.found, facts };
}

/** One file's object of `inspect --json`; a file that cannot be read gives its error. */
export function inspectFile(source: ByteSource, name: string): Inspection | FailedInspection {
  try {
    return examine(source, name).inspection;
  } catch (error) {
    if (!(error instanceof FormatError)) throw error;
    const { code, offset } = error.problem;
    return { file: name, error: { code, message: error.message, offset } };
  }
}

/** The axis nearest the line of the feet, trail to lead, where the club shows which is which; a guess, never a fact. */
function targetOf(facts: DetectedFacts): string | null {
  if (facts.feet === null || facts.hand === null) return null;
  const [x, y, z] = facts.feet.leftFromRight;
  const sign = facts.hand.value === 'right' ? 1 : -1;
  return nearestAxis([sign * x, sign * y, sign * z]).axis;
}

/** The text of `inspect --json`: always an array. */
export function inspectionsJson(all: readonly (Inspection | FailedInspection)[]): string {
  return `${jsonText(all)}\n`;
}

/** The same for people: a few lines a file. */
export function inspectionText(one: Inspection | FailedInspection): string {
  if ('error' in one) {
    const message = one.error.message.startsWith(one.file) ? one.error.message : `${one.file}: ${one.error.message}`;
    return `${message} [${one.error.code}]\n`;
  }
  const rate = one.rate_Hz === null ? 'rate unknown' : `${trimmed(one.rate_Hz)} Hz`;
  const seconds = one.rate_Hz === null ? '' : `, ${formatFixed(one.frames / one.rate_Hz, 2)} s`;
  const lines = [
    one.file,
    `  ${one.bytes} bytes, ${one.processor}, ${one.form}`,
    `  ${one.points} points × ${one.frames} frames (first ${one.firstFrame}), ${rate}${seconds}, units ${one.units ?? 'unknown'}`,
    `  ${one.analogChannels} analog channels × ${one.analogSamplesPerFrame} samples a frame, ${one.rotations} rotations`,
    `  up ${one.up ?? 'unknown'}, target ${one.target === null ? 'unknown' : `${one.target} by the feet`}`,
    `  landmarks (${one.landmarks.length}): ${one.landmarks.map(pairText).join(' ') || 'none recognised'}`,
  ];
  const known = new Set(one.landmarks.map(({ label }) => label));
  const others = one.labels.filter((label) => label !== '' && !known.has(label));
  if (others.length > 0) lines.push(`  other labels (${others.length}): ${others.join(' ')}`);
  for (const event of one.events) {
    const context = event.context === '' ? '' : ` (${event.context})`;
    lines.push(`  event ${event.label}${context} at ${formatFixed(event.time_s, 5)} s, frame ${event.frame}`);
  }
  for (const { severity, code, message, offset } of one.diagnostics) {
    lines.push(`  ${severity}: ${message}${offset === null ? '' : ` (at byte ${offset})`} [${code}]`);
  }
  return `${lines.join('\n')}\n`;
}

function pairText({ name, label }: { readonly name: string; readonly label: string }): string {
  return name === label ? name : `${name}=${label}`;
}

function trimmed(value: number): string {
  return formatFixed(value, 3).replace(/\.?0+$/, '');
}
