/** A C3D file that was read, written again: another byte order or storage form, fewer frames or points, without names. */
import type { Diagnostic } from '../base/diagnostics.ts';
import { diagnosticMaker } from '../base/diagnostics.ts';
import { Notes } from './diagnosticCodes.ts';
import { openC3d } from './head.ts';
import { groupsToBytes } from './parameterBytes.ts';
import { editable, setNumber } from './parameterEdit.ts';
import { ownScales, planAnalog } from './rewriteAnalog.ts';
import { C3D_REWRITE_DIAGNOSTICS } from './rewriteCodes.ts';
import { type DataPlan, dataChunks, rescaledResidual } from './rewriteData.ts';
import { changedParameters, leaveOutPoints, setFrames } from './rewriteEdits.ts';
import { cutEvents } from './rewriteEvents.ts';
import { headerBytes } from './rewriteHeader.ts';
import { inputOfFile, inputOfSource, type RewriteInput, storedRotations } from './rewriteInput.ts';
import { dropGroups, NO_NAMES, type RemovedNames, removeNames } from './rewriteNames.ts';
import { rotationChunks } from './rewriteRotations.ts';
import { Losses, type SampleNotHeld, type Survey, survey } from './rewriteSurvey.ts';
import type { ByteSource, C3dFile, C3dHead, Processor } from './types.ts';
import { walkC3d } from './walkC3d.ts';

export type { SampleNotHeld } from './rewriteSurvey.ts';

/** What of a file is changed when it is written again; whatever is not said stays as read. */
export interface RewriteOptions {
  /** Byte order and float format; as read by default. */
  readonly processor?: Processor;
  /** Storage form of points and analog values; as read by default. Rotation matrices are always floats. */
  readonly form?: 'float' | 'integer';
  /** Stored frames [from, to), counted from 0. */
  readonly frames?: readonly [number, number];
  /** Labels of the points that stay; all by default. */
  readonly keep?: readonly string[];
  /** Labels of points that are left out. */
  readonly drop?: readonly string[];
  /** Removes names of people and makers from the parameters. */
  readonly removeNames?: boolean;
  /** Names of whole groups that are left out; those that the data need (POINT, ANALOG, ROTATION) cannot be. */
  readonly dropGroups?: readonly string[];
  /** The file read, so that its rotation matrices are copied bit for bit; without it they are made of those that were read. */
  readonly source?: ByteSource;
}

/** What writing a file again did to it. */
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
  readonly groupsLeftOut: readonly string[];
  /** What was removed as a name; empty lists where that was not asked for. */
  readonly names: RemovedNames;
  /** Parameters that had to say something else, as GROUP:NAME. */
  readonly changed: readonly string[];
  /** Samples that the new form lacks: the first thousand, and how many in all. */
  readonly notHeld: readonly SampleNotHeld[];
  readonly notHeldCount: number;
  readonly diagnostics: readonly Diagnostic[];
}

/** A file written again: its size in bytes, the bytes, and what was done. */
export interface Rewritten {
  readonly size: number;
  /** The bytes in pieces of about 256 KiB; may be called again. */
  readonly chunks: () => Iterable<Uint8Array>;
  readonly report: RewriteReport;
}

const MOST_DIAGNOSTICS = 20;
const make = diagnosticMaker(C3D_REWRITE_DIAGNOSTICS);

/**
 * Plans the new file and finds what it cannot take over; no byte is made before `chunks` is called.
 * Unknown groups and parameters, ids, locks, descriptions, padding of texts, header events and rotation matrices are kept.
 * @throws RangeError for a label that no point has, a group that cannot be dropped, an empty frame range, or a file that was read in part
 */
export function rewriteC3d(file: C3dFile, options: RewriteOptions = {}): Rewritten {
  if (file.selection !== undefined) {
    throw new RangeError('only a file that was read whole can be rewritten');
  }
  const { source } = options;
  const notes = new Notes('', false);
  const stored = source ? storedRotations(source, openC3d(source, undefined, '', notes), notes) : null;
  return rewrite(inputOfFile(file, stored), options);
}

/**
 * The same for a file that is never whole in memory: its frames are read in blocks, once for every call of `chunks` and once before where
 * the new form is integer or DEC, and once more in strict mode.
 * @param optionsFor asked with what the file holds
 * @throws FormatError where the file cannot be read; RangeError as `rewriteC3d`
 */
export function rewriteSource(
  source: ByteSource,
  optionsFor: (head: C3dHead) => Omit<RewriteOptions, 'source'>,
  reading: { readonly file?: string; readonly strict?: boolean } = {},
): Rewritten & { readonly head: C3dHead } {
  const name = reading.file ?? '';
  if (reading.strict === true) walkC3d(source, { ...reading, onBlock: () => {} });
  const notes = new Notes(name, false);
  const opened = openC3d(source, undefined, name, notes);
  const head: C3dHead = { ...opened.head, diagnostics: notes.list() };
  return { head, ...rewrite(inputOfSource(source, opened, head, name, notes), optionsFor(head)) };
}

function rewrite(input: RewriteInput, options: RewriteOptions): Rewritten {
  const file = input.head;
  const processor = options.processor ?? file.processor;
  const form = options.form ?? file.form;
  const points = chosenPoints(file, options);
  const [from, to] = chosenFrames(file, options);
  const cut = from > 0 || to < file.frames;
  const frames = to - from;
  const firstFrame = cut ? Math.max(file.firstFrame, 1) + from : file.firstFrame;
  const groups = editable(file.groups);
  const { channels, samplesPerFrame } = file.analog;

  const own = ownScales(file, groups);
  const losses = new Losses();
  const found = survey(input, { processor, form, points, from, to, ...own }, losses);
  const step = form === 'integer' ? integerStep(file, found) : null;
  const scale = step ?? -file.residualScale;
  const residualFactor = step === null ? 1 : file.residualScale / step;

  const pointsLeftOut = leaveOutPoints(groups, file, points);
  const eventsLeftOut = cut ? cutEvents(groups, file, from, to) : [];
  const analog = planAnalog(file, groups, form, own, found.channels);
  const groupsLeftOut = dropGroups(groups, options.dropGroups ?? []);
  const names = options.removeNames === true ? removeNames(groups) : NO_NAMES;
  setNumber(groups, 'POINT', 'USED', points.length);
  setNumber(groups, 'POINT', 'SCALE', scale);
  setNumber(groups, 'ANALOG', 'USED', channels);
  setFrames(groups, firstFrame, frames);

  const turns = input.rotations;
  const [firstTurn, lastTurn] = [from, to].map((f) =>
    Math.min(f * (turns?.samplesPerFrame ?? 0), turns?.samples ?? 0),
  ) as [number, number];
  const turnBytes = turns === null ? 0 : (lastTurn - firstTurn) * turns.used * 68;
  // Zeros up to the end of a block would pass for samples that the file read has not.
  const endsEarly = turns !== null && lastTurn < to * turns.samplesPerFrame;
  const paddedTurns = endsEarly ? turnBytes : Math.ceil(turnBytes / 512) * 512;
  if (turns !== null && processor === 'dec') {
    for (const _ of rotationChunks(turns, processor, firstTurn, lastTurn, (rotation, sample, value) =>
      losses.add('rotation', rotation, Math.floor(sample / turns.samplesPerFrame), value),
    ));
  }

  const analogPerFrame = channels * samplesPerFrame;
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
    processor,
    form,
    from,
    to,
    points,
    channels,
    samplesPerFrame,
    step: step ?? 1,
    residualFactor,
    ...analog,
  };
  const header = headerBytes(file, {
    processor,
    points: points.length,
    analogPerFrame,
    samplesPerFrame,
    firstFrame,
    frames,
    scale,
    dataBlock,
    from,
    to,
    clear: options.removeNames === true,
  });
  const residuals = residualsAtLimit(found, residualFactor);
  return {
    size: 512 + section.bytes.length + paddedData + paddedTurns,
    *chunks() {
      yield header.bytes;
      yield section.bytes;
      if (dataBytes > 0) yield* dataChunks(input, plan);
      if (paddedData > dataBytes) yield new Uint8Array(paddedData - dataBytes);
      if (turns !== null) yield* rotationChunks(turns, processor, firstTurn, lastTurn, () => {});
      if (paddedTurns > turnBytes) yield new Uint8Array(paddedTurns - turnBytes);
    },
    report: {
      from: { processor: file.processor, form: file.form },
      to: { processor, form },
      points: points.length,
      frames,
      firstFrame,
      step,
      residualsRescaled: residualFactor !== 1,
      analogSteps: analog.steps,
      pointsLeftOut,
      eventsLeftOut: [...eventsLeftOut, ...header.leftOut],
      groupsLeftOut,
      names,
      changed: changedParameters(file, groups),
      notHeld: losses.samples,
      notHeldCount: losses.count,
      diagnostics: [
        ...sampleDiagnostics(file, losses),
        ...section.notHeld.map((name) => make('parameter-not-held', `${name} has values that DEC lacks`)),
        ...section.tooLong.map((name) => make('parameter-left-out', `${name} is too long`)),
        ...(residuals > 0 ? [make('residual-held-at-limit', `${residuals} residuals are held at 255`)] : []),
        ...(file.diagnostics.some(({ code }) => code === 'analog-does-not-divide')
          ? [make('analog-left-out', 'the analog values are left out')]
          : []),
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

function chosenPoints(file: C3dHead, options: RewriteOptions): number[] {
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

function chosenFrames(file: C3dHead, options: RewriteOptions): readonly [number, number] {
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
function integerStep(file: C3dHead, { largest }: Survey): number {
  const own = file.residualScale;
  if (file.form === 'integer') return own;
  if (largest === 0) return own;
  if (largest <= 32767 * own && own <= (4 * largest) / 32000) return own;
  const step = Math.fround(largest / 32000);
  return step > 1e-37 ? step : 1;
}

/** How many residuals are larger than 255 of the new steps. */
function residualsAtLimit({ residuals }: Survey, factor: number): number {
  let count = 0;
  residuals.forEach((often, residual) => {
    if (Math.round(residual * factor) > rescaledResidual(residual, factor)) count += often;
  });
  return count;
}

function sampleDiagnostics(file: C3dHead, { samples, count }: Losses): Diagnostic[] {
  const labels = { point: file.labels, channel: file.analog.labels, rotation: file.rotationData?.labels ?? [] };
  const out = samples.slice(0, MOST_DIAGNOSTICS).map(({ kind, index, frame, value }) => {
    const label = labels[kind][index] ?? '';
    return make('sample-not-held', `${kind} ${index + 1} "${label}", frame ${frame} counted from 0: ${value}`);
  });
  if (count > out.length) out.push(make('sample-not-held', `… and ${count - out.length} more of these`));
  return out;
}
