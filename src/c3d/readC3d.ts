/** Bytes to C3dFile, faithful to the file: counts, columns, labels, events, and a diagnostic for every departure from the format. */
import { ByteReader } from './byteReader.ts';
import { Notes } from './diagnosticCodes.ts';
import { readEvents } from './events.ts';
import { type AnalogScale, type C3dMemory, readExactly, readFrames } from './frames.ts';
import { readHeader, readHeaderEvents, wordAt } from './header.ts';
import { type Layout, settleLayout } from './layout.ts';
import { numberList, numberOf, offsetOf, parameter, textList } from './lookup.ts';
import { readParameters } from './parameters.ts';
import type { ByteSource, C3dFile, C3dGroup, C3dHeader, Processor } from './types.ts';

export type { C3dMemory } from './frames.ts';

export interface ReadC3dOptions {
  /** Name of the file for messages. */
  readonly file?: string;
  /** A diagnostic of severity warning or error becomes a FormatError. */
  readonly strict?: boolean;
  /** Lends the arrays of the result; fresh ones by default. */
  readonly memory?: C3dMemory;
}

type Groups = ReadonlyMap<string, C3dGroup>;

/** More than any parameter section holds (255 blocks), so that a wrong pointer costs no memory. */
const MOST_PARAMETER_BYTES = 512 * 1024;
const PROCESSORS = new Map<number, Processor>([
  [84, 'intel'],
  [85, 'dec'],
  [86, 'mips'],
]);
const FRESH: C3dMemory = {
  float64: (length) => new Float64Array(length),
  int16: (length) => new Int16Array(length),
};

/** Bytes in memory as a source. */
export function bytesSource(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read(offset, length, into) {
      const slice = bytes.subarray(offset, offset + length);
      into.set(slice);
      return slice.length;
    },
  };
}

/**
 * Reads a file in any of the six encodings. Memory grows with the bytes that exist, never with what the file declares.
 * @throws FormatError where the file cannot be read; in strict mode also for every departure that matters
 */
export function readC3d(source: ByteSource, options: ReadC3dOptions = {}): C3dFile {
  const file = options.file ?? '';
  const notes = new Notes(file, options.strict ?? false);
  const headerBytes = firstBlock(source, notes);
  const parameterOffset = findParameters(source, headerBytes[0]!, notes);
  const processor = readProcessor(source, parameterOffset, notes);
  const headerReader = new ByteReader(headerBytes, 0, processor, file, ['header']);
  const header = readHeader(headerReader);
  const groups = readGroups(source, parameterOffset, header, processor, file, notes);
  const layout = settleLayout(source.size, header, groups, notes);
  const scale = analogScale(layout, groups, notes);
  const labels = fitted(textList(groups, 'POINT', 'LABELS'), layout.points);
  tellLabels(textList(groups, 'POINT', 'LABELS').length, layout.points, groups, notes);
  const events = readEvents(groups, readHeaderEvents(headerReader, notes), layout, notes);
  const columns = readFrames(source, processor, layout, scale, options.memory ?? FRESH, file, notes);
  return {
    processor,
    form: layout.form,
    header,
    groups,
    labels,
    descriptions: fitted(textList(groups, 'POINT', 'DESCRIPTIONS'), layout.points),
    units: unitTexts(textList(groups, 'POINT', 'UNITS'), layout.points),
    points: layout.points,
    frames: layout.frames,
    firstFrame: layout.firstFrame,
    rate_Hz: layout.rate_Hz,
    xyz: columns.xyz,
    word4: columns.word4,
    residualScale: layout.scale,
    analog: {
      channels: layout.channels,
      samplesPerFrame: layout.samplesPerFrame,
      labels: fitted(textList(groups, 'ANALOG', 'LABELS'), layout.channels),
      units: unitTexts(textList(groups, 'ANALOG', 'UNITS'), layout.channels),
      data: columns.analog,
    },
    events,
    typeGroups: typeGroups(groups),
    screen: screenAxes(groups),
    rotations: layout.rotations,
    diagnostics: notes.list(),
  };
}

function firstBlock(source: ByteSource, notes: Notes): Uint8Array {
  if (source.size < 512) {
    notes.fail('file-too-short', ['header'], `the file has ${source.size} bytes`, 'a header of 512 bytes', 0);
  }
  const bytes = new Uint8Array(512);
  readExactly(source, 0, bytes, notes);
  if (bytes[1] !== 0x50) {
    const zeros = bytes[0] === 0 && bytes[1] === 0 ? ', the file begins with zeros' : '';
    notes.fail('not-c3d', ['header', 'key'], `byte 2 is ${bytes[1]}${zeros}`, '80', 1);
  }
  return bytes;
}

/** Byte 1 of the header: the block of the parameter section, counted from 1. */
function findParameters(source: ByteSource, block: number, notes: Notes): number {
  if (block === 0) notes.add('parameter-pointer-zero', 'the header gives parameter block 0; block 2 is read', 0);
  const offset = ((block === 0 ? 2 : block) - 1) * 512;
  if (block === 1 || offset + 4 > source.size) {
    const found = `parameters at block ${block}, byte ${offset}`;
    notes.fail(
      'parameter-block-outside-file',
      ['header', 'parameter block'],
      found,
      `a block inside ${source.size} bytes`,
      0,
    );
  }
  return offset;
}

/** The fourth byte of the section is 83 + processor, the same in every byte order. */
function readProcessor(source: ByteSource, parameterOffset: number, notes: Notes): Processor {
  const bytes = new Uint8Array(4);
  readExactly(source, parameterOffset, bytes, notes);
  const processor = PROCESSORS.get(bytes[3]!);
  if (processor) return processor;
  return notes.fail(
    'processor-unknown',
    ['parameters', 'processor'],
    `${bytes[3]}`,
    '84, 85 or 86',
    parameterOffset + 3,
  );
}

/** The section ends where the data begin, if the data come after it. */
function readGroups(
  source: ByteSource,
  offset: number,
  header: C3dHeader,
  processor: Processor,
  file: string,
  notes: Notes,
): Groups {
  const data = (header.dataBlock - 1) * 512;
  const end = Math.min(source.size, offset + MOST_PARAMETER_BYTES, data > offset ? data : Number.POSITIVE_INFINITY);
  const bytes = new Uint8Array(end - offset);
  readExactly(source, offset, bytes, notes);
  return readParameters(bytes, offset, processor, file, notes);
}

/** Exactly `length` texts: blank where the file has too few, those beyond left to the parameter itself. */
function fitted(texts: readonly string[], length: number): readonly string[] {
  if (texts.length === length) return texts;
  const out = texts.slice(0, length);
  while (out.length < length) out.push('');
  return out;
}

/** One text for each of several, or one for all. */
function unitTexts(texts: readonly string[], length: number): readonly string[] {
  if (texts.length > 1 && texts.length >= length) return texts.slice(0, length);
  return [texts[0] ?? ''];
}

function tellLabels(labels: number, points: number, groups: Groups, notes: Notes): void {
  const at = offsetOf(groups, 'POINT', 'LABELS', wordAt(2));
  if (labels < points) notes.add('labels-fewer-than-points', `${points} points have ${labels} labels`, at);
  if (labels > points) notes.add('labels-more-than-points', `${points} points have ${labels} labels`, at);
}

/** Offsets and factors of the channels; FORMAT "UNSIGNED" makes integer samples and integer offsets unsigned. */
function analogScale(layout: Layout, groups: Groups, notes: Notes): AnalogScale {
  const { channels } = layout;
  const format = textList(groups, 'ANALOG', 'FORMAT')[0] ?? '';
  const unsigned = format.toUpperCase().startsWith('UNSIGNED');
  const offsets = new Float64Array(channels);
  const factors = new Float64Array(channels);
  if (channels === 0) return { offsets, factors, unsigned };
  const storedScale = numberList(groups, 'ANALOG', 'SCALE');
  const storedOffset = numberList(groups, 'ANALOG', 'OFFSET');
  const unsignedOffset = unsigned && parameter(groups, 'ANALOG', 'OFFSET')?.type === 'int16';
  const at = offsetOf(groups, 'ANALOG', 'SCALE', wordAt(3));
  const usable = (scale: number): boolean => scale !== 0 && Number.isFinite(scale);
  const general = numberOf(groups, 'ANALOG', 'GEN_SCALE');
  if (general !== null && !usable(general)) notes.add('analog-scale-zero', 'ANALOG:GEN_SCALE is zero or no number', at);
  const gain = general !== null && usable(general) ? general : 1;
  if (storedScale.length < channels || storedOffset.length < channels || general === null) {
    const found = `${channels} channels have ${storedScale.length} scales and ${storedOffset.length} offsets`;
    notes.add('analog-scale-missing', general === null ? `${found}, no GEN_SCALE` : found, at);
  }
  const zero: number[] = [];
  for (let channel = 0; channel < channels; channel += 1) {
    const scale = storedScale[channel] ?? 1;
    if (!usable(scale)) zero.push(channel + 1);
    const offset = storedOffset[channel] ?? 0;
    const own = unsignedOffset ? offset & 0xffff : offset;
    offsets[channel] = Number.isFinite(own) ? own : 0;
    factors[channel] = (usable(scale) ? scale : 1) * gain;
  }
  if (zero.length > 0) {
    const some = zero.slice(0, 10).join(', ');
    notes.add(
      'analog-scale-zero',
      `the scale of channels ${some}${zero.length > 10 ? ' …' : ''} is zero or no number`,
      at,
    );
  }
  return { offsets, factors, unsigned };
}

const TYPE_NAMES = ['ANGLES', 'FORCES', 'MOMENTS', 'POWERS', 'SCALARS'] as const;

/** Labels by kind: the usual kinds and those that POINT:TYPE_GROUPS names (pairs of group and kind), continuations included. */
function typeGroups(groups: Groups): ReadonlyMap<string, readonly string[]> {
  const declared = textList(groups, 'POINT', 'TYPE_GROUPS').filter((_, i) => i % 2 === 0);
  const out = new Map<string, readonly string[]>();
  for (const name of new Set([...TYPE_NAMES, ...declared])) {
    const labels = textList(groups, 'POINT', name).filter((label) => label !== '');
    if (labels.length > 0) out.set(name, labels);
  }
  return out;
}

function screenAxes(groups: Groups): C3dFile['screen'] {
  const x = textList(groups, 'POINT', 'X_SCREEN')[0] ?? '';
  const y = textList(groups, 'POINT', 'Y_SCREEN')[0] ?? '';
  return x === '' && y === '' ? null : { x, y };
}
