/** A C3D file that was read, written again: another byte order or storage form, fewer frames or points, without names. */
import type { Diagnostic } from '../base/diagnostics.ts';
import { diagnosticMaker } from '../base/diagnostics.ts';
import { ByteReader } from './byteReader.ts';
import { floatBytes } from './encode.ts';
import { countOf, parameter } from './lookup.ts';
import { groupsToBytes } from './parameterBytes.ts';
import {
  columnCount,
  type EditableGroups,
  editable,
  keepColumns,
  numbersParameter,
  put,
  setNumber,
  signed,
} from './parameterEdit.ts';
import { planAnalog } from './rewriteAnalog.ts';
import { C3D_REWRITE_DIAGNOSTICS } from './rewriteCodes.ts';
import { type DataPlan, dataChunks, findLosses, largestCoordinate, type SampleNotHeld } from './rewriteData.ts';
import { cutEvents } from './rewriteEvents.ts';
import { headerBytes } from './rewriteHeader.ts';
import { type RemovedNames, removeNames } from './rewriteNames.ts';
import type { ByteSource, C3dFile, Processor } from './types.ts';

export type { SampleNotHeld } from './rewriteData.ts';

export interface RewriteOptions {
  /** Byte order and float format; as read by default. */
  readonly processor?: Processor;
  /** Storage form; as read by default. */
  readonly form?: 'float' | 'integer';
  /** Stored frames [from, to), counted from 0. */
  readonly frames?: readonly [number, number];
  /** Labels of the points that stay; all by default. */
  readonly keep?: readonly string[];
  /** Labels of points that are left out. */
  readonly drop?: readonly string[];
  /** Removes names of people and makers from the parameters. */
  readonly removeNames?: boolean;
  /** The file read, so that its rotation matrices, which C3dFile does not hold, are copied. */
  readonly source?: ByteSource;
}

export interface RewriteReport {
  readonly from: { readonly processor: Processor; readonly form: 'float' | 'integer' };
  readonly to: { readonly processor: Processor; readonly form: 'float' | 'integer' };
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  /** Integer step of the coordinates in the file's unit; null for floats. */
  readonly step: number | null;
  /** Whether residual bytes were converted to another step. */
  readonly residualsRescaled: boolean;
  /** Channels whose floats became integer steps, each with the step in its unit. */
  readonly analogSteps: readonly { readonly channel: number; readonly step: number }[];
  readonly pointsLeftOut: readonly string[];
  readonly eventsLeftOut: readonly string[];
  /** What was removed as a name; empty lists where that was not asked for. */
  readonly names: RemovedNames;
  /** Parameters that had to say something else, as GROUP:NAME. */
  readonly changed: readonly string[];
  /** Samples that the new form lacks: the first thousand, and how many in all. */
  readonly notHeld: readonly SampleNotHeld[];
  readonly notHeldCount: number;
  readonly diagnostics: readonly Diagnostic[];
}

export interface Rewritten {
  readonly size: number;
  /** The bytes in pieces of about 256 KiB; may be called again. */
  readonly chunks: () => Iterable<Uint8Array>;
  readonly report: RewriteReport;
}

const MOST_DIAGNOSTICS = 20;
const NO_NAMES: RemovedNames = { removed: [], prefixed: [], descriptions: 0 };
const make = diagnosticMaker(C3D_REWRITE_DIAGNOSTICS);

/**
 * Plans the new file and finds what it cannot take over; no byte is made before `chunks` is called.
 * Unknown groups and parameters, ids, locks, descriptions, padding of texts and header events are kept.
 * @throws RangeError for a label that no point has, an empty frame range, or a file that was read in part
 */
export function rewriteC3d(file: C3dFile, options: RewriteOptions = {}): Rewritten {
  const processor = options.processor ?? file.processor;
  const form = options.form ?? file.form;
  if (file.selection !== undefined) {
    throw new RangeError('only a file that was read whole can be rewritten');
  }
  const points = chosenPoints(file, options);
  const [from, to] = chosenFrames(file, options);
  const cut = from > 0 || to < file.frames;
  const frames = to - from;
  const firstFrame = cut ? Math.max(file.firstFrame, 1) + from : file.firstFrame;
  const groups = editable(file.groups);
  const step = form === 'integer' ? integerStep(file, points, from, to) : null;
  const scale = step ?? -file.residualScale;

  const pointsLeftOut = leaveOutPoints(groups, file, points);
  const eventsLeftOut = cut ? cutEvents(groups, file, from, to) : [];
  const analog = planAnalog(file, groups, form, from, to);
  const names = options.removeNames === true ? removeNames(groups) : NO_NAMES;
  setNumber(groups, 'POINT', 'USED', points.length);
  setNumber(groups, 'POINT', 'SCALE', scale);
  setNumber(groups, 'ANALOG', 'USED', file.analog.channels);
  setFrames(groups, firstFrame, frames);
  const rotations = rotationBytes(file, groups, options.source, processor, from, to);
  if (rotations === null) setNumber(groups, 'ROTATION', 'USED', 0);

  const analogPerFrame = file.analog.channels * file.analog.samplesPerFrame;
  const dataBytes = frames * (4 * points.length + analogPerFrame) * (form === 'float' ? 4 : 2);
  const paddedData = Math.ceil(dataBytes / 512) * 512;
  const setStarts = (dataBlock: number): void => {
    setNumber(groups, 'POINT', 'DATA_START', dataBlock);
    setNumber(groups, 'ROTATION', 'DATA_START', dataBlock + paddedData / 512);
  };
  // A block's number is a parameter itself; its size does not depend on its value.
  setStarts(3);
  const dataBlock = 2 + groupsToBytes(groups, processor).bytes.length / 512;
  setStarts(dataBlock);
  const section = groupsToBytes(groups, processor);
  const plan: DataPlan = {
    file,
    processor,
    form,
    from,
    to,
    points,
    step: step ?? 1,
    residualFactor: step === null ? 1 : file.residualScale / step,
    ...analog,
  };
  const header = headerBytes(file, {
    processor,
    points: points.length,
    analogPerFrame,
    samplesPerFrame: file.analog.samplesPerFrame,
    firstFrame,
    frames,
    scale,
    dataBlock,
    from,
    to,
    clear: options.removeNames === true,
  });
  const losses = findLosses(plan);
  const tail = rotations ?? new Uint8Array(0);
  return {
    size: 512 + section.bytes.length + paddedData + tail.length,
    *chunks() {
      yield header.bytes;
      yield section.bytes;
      if (dataBytes > 0) yield* dataChunks(plan);
      if (paddedData > dataBytes) yield new Uint8Array(paddedData - dataBytes);
      if (tail.length > 0) yield tail;
    },
    report: {
      from: { processor: file.processor, form: file.form },
      to: { processor, form },
      points: points.length,
      frames,
      firstFrame,
      step,
      residualsRescaled: plan.residualFactor !== 1,
      analogSteps: analog.steps,
      pointsLeftOut,
      eventsLeftOut: [...eventsLeftOut, ...header.leftOut],
      names,
      changed: changedParameters(file, groups),
      notHeld: losses.samples,
      notHeldCount: losses.count,
      diagnostics: [
        ...sampleDiagnostics(file, losses.samples, losses.count),
        ...section.notHeld.map((name) => make('parameter-not-held', `${name} has values that DEC lacks`)),
        ...section.tooLong.map((name) => make('parameter-left-out', `${name} is too long`)),
        ...(losses.residuals > 0
          ? [make('residual-held-at-limit', `${losses.residuals} residuals are held at 255`)]
          : []),
        ...(file.diagnostics.some(({ code }) => code === 'analog-does-not-divide')
          ? [make('analog-left-out', 'the analog values are left out')]
          : []),
        ...(rotations === null ? [make('rotations-left-out', `${file.rotations} matrices a frame are left out`)] : []),
      ],
    },
  };
}

/** The pieces as one array. */
export function bytesOf(rewritten: Rewritten): Uint8Array {
  const out = new Uint8Array(rewritten.size);
  let at = 0;
  for (const piece of rewritten.chunks()) {
    out.set(piece, at);
    at += piece.length;
  }
  return out;
}

function chosenPoints(file: C3dFile, options: RewriteOptions): number[] {
  const known = new Set(file.labels);
  for (const label of [...(options.keep ?? []), ...(options.drop ?? [])]) {
    if (!known.has(label)) throw new RangeError(`no point is named "${label}"`);
  }
  const keep = options.keep ? new Set(options.keep) : known;
  const drop = new Set(options.drop);
  const out: number[] = [];
  for (let p = 0; p < file.points; p += 1) {
    const label = file.labels[p] ?? '';
    if (keep.has(label) && !drop.has(label)) out.push(p);
  }
  return out;
}

function chosenFrames(file: C3dFile, options: RewriteOptions): readonly [number, number] {
  const [from, to] = options.frames ?? [0, file.frames];
  if (options.frames === undefined) return [from, to];
  if (!Number.isInteger(from) || !Number.isInteger(to) || from < 0 || to <= from || to > file.frames) {
    throw new RangeError(
      `frames ${from} up to and without ${to} are no range of the ${file.frames} frames, counted from 0`,
    );
  }
  return [from, to];
}

/**
 * The file's own step where its words are integers already, or where no coordinate overflows and it is at most four times as
 * coarse as needed (residuals then stay as they are); otherwise largest / 32000.
 */
function integerStep(file: C3dFile, points: readonly number[], from: number, to: number): number {
  const own = file.residualScale;
  if (file.form === 'integer') return own;
  const largest = largestCoordinate(file, points, from, to);
  if (largest === 0) return own;
  if (largest <= 32767 * own && own <= (4 * largest) / 32000) return own;
  const step = Math.fround(largest / 32000);
  return step > 1e-37 ? step : 1;
}

/** Labels, descriptions and units of the points that go, and their names in the lists of angles, forces … */
function leaveOutPoints(groups: EditableGroups, file: C3dFile, points: readonly number[]): string[] {
  if (points.length === file.points) return [];
  const stay = new Set(points);
  const keep = (i: number): boolean => i >= file.points || stay.has(i);
  for (const name of ['LABELS', 'DESCRIPTIONS']) keepColumns(groups, 'POINT', name, keep);
  if (columnCount(groups, 'POINT', 'UNITS') >= file.points && file.points > 1)
    keepColumns(groups, 'POINT', 'UNITS', keep);
  const staying = new Set(points.map((p) => file.labels[p]!));
  const gone = file.labels.filter((_, i) => !stay.has(i));
  for (const [name, labels] of file.typeGroups) {
    const all = [...labels];
    const listed = parameter(groups, 'POINT', name)?.text ?? all;
    keepColumns(groups, 'POINT', name, (i) => {
      const label = listed[i] ?? '';
      return !gone.includes(label) || staying.has(label);
    });
  }
  return gone;
}

/** Counts that exist say the new number; those that a long file needs are added. */
function setFrames(groups: EditableGroups, firstFrame: number, frames: number): void {
  const inWord = parameter(groups, 'POINT', 'FRAMES')?.type === 'int16';
  setNumber(groups, 'POINT', 'FRAMES', inWord ? Math.min(frames, 65535) : frames);
  const last = firstFrame + frames - 1;
  const long = frames >= 65535 || last >= 65535;
  if (
    !setNumber(groups, 'POINT', 'LONG_FRAMES', frames) &&
    frames >= 65535 &&
    !parameter(groups, 'POINT', 'LONG_FRAMES')
  ) {
    put(groups, numbersParameter('POINT', 'LONG_FRAMES', 'float', [frames], []));
  }
  if (frames === 0) return;
  const missing = !parameter(groups, 'TRIAL', 'ACTUAL_START_FIELD') || !parameter(groups, 'TRIAL', 'ACTUAL_END_FIELD');
  for (const [name, value] of [
    ['ACTUAL_START_FIELD', firstFrame],
    ['ACTUAL_END_FIELD', last],
  ] as const) {
    const words = [signed(value % 65536), signed(Math.floor(value / 65536))];
    const found = parameter(groups, 'TRIAL', name);
    if (found?.type === 'int16' && found.numbers.length >= 2) {
      put(groups, { ...found, numbers: [...words, ...found.numbers.slice(2)] });
    } else if (found && !(missing && long)) {
      setNumber(groups, 'TRIAL', name, value);
    } else if (long) {
      put(groups, numbersParameter('TRIAL', name, 'int16', words, [2]));
    }
  }
}

/** The rotation section of the frames that stay, padded to blocks; null where the file has one that cannot be copied. */
function rotationBytes(
  file: C3dFile,
  groups: EditableGroups,
  source: ByteSource | undefined,
  processor: Processor,
  from: number,
  to: number,
): Uint8Array | null {
  if (file.rotations === 0) return new Uint8Array(0);
  const block = countOf(groups, 'ROTATION', 'DATA_START') ?? 0;
  if (!source || block < 2) return null;
  const perFrame = 17 * file.rotations * Math.max(1, countOf(groups, 'ROTATION', 'RATIO') ?? 1);
  const at = 512 * (block - 1) + 4 * perFrame * from;
  const length = 4 * perFrame * (to - from);
  if (at + length > source.size) return null;
  const stored = new Uint8Array(length);
  if (source.read(at, length, stored) !== length) return null;
  const out = new Uint8Array(Math.ceil(length / 512) * 512);
  if (processor === file.processor) {
    out.set(stored);
    return out;
  }
  const reader = new ByteReader(stored, at, file.processor, '', ['rotations']);
  const values: number[] = [];
  for (let i = 0; i < length / 4; i += 1) values.push(reader.f32());
  // DEC has no NaN: the matrix of an invalid rotation becomes zeros; its reliability of −1 still says that it is invalid.
  out.set(floatBytes(values, processor));
  return out;
}

/** Parameters that are new or say something else than in the file. */
function changedParameters(file: C3dFile, groups: EditableGroups): string[] {
  const out: string[] = [];
  for (const [name, group] of groups) {
    for (const [key, p] of group.parameters) {
      const old = file.groups.get(name)?.parameters.get(key);
      if (
        !old ||
        p.type !== old.type ||
        p.raw !== old.raw ||
        !same(p.numbers, old.numbers) ||
        !same(p.text, old.text)
      ) {
        out.push(`${name}:${key}`);
      }
    }
  }
  return out;
}

function same<T>(a: readonly T[], b: readonly T[]): boolean {
  return a === b || (a.length === b.length && a.every((value, i) => Object.is(value, b[i])));
}

function sampleDiagnostics(file: C3dFile, samples: readonly SampleNotHeld[], count: number): Diagnostic[] {
  const out = samples.slice(0, MOST_DIAGNOSTICS).map(({ kind, index, frame, value }) => {
    const labels = kind === 'point' ? file.labels : file.analog.labels;
    return make(
      'sample-not-held',
      `${kind} ${index + 1} "${labels[index] ?? ''}", frame ${frame} counted from 0: ${value}`,
    );
  });
  if (count > out.length) out.push(make('sample-not-held', `… and ${count - out.length} more of these`));
  return out;
}
