/** Everything of a file but the values of its data section: counts, labels, parameters, events, and what of the data was asked for. */

import { analogScale } from './analog.ts';
import { ByteReader } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import { readEvents } from './events.ts';
import { type AnalogScale, readExactly } from './frames.ts';
import { readHeader, readHeaderEvents, wordAt } from './header.ts';
import { type Layout, settleLayout } from './layout.ts';
import { offsetOf, textList } from './lookup.ts';
import { readParameters } from './parameters.ts';
import { type C3dSelect, chosen, chosenUnits, eventsFrom, pick } from './select.ts';
import type {
  ByteSource,
  C3dFile,
  C3dGroup,
  C3dHead,
  C3dHeader,
  C3dRotationHead,
  C3dSelection,
  Processor,
} from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;

/** More than any parameter section holds (255 blocks), so that a wrong pointer costs no memory. */
const MOST_PARAMETER_BYTES = 512 * 1024;
const PROCESSORS = new Map<number, Processor>([
  [84, 'intel'],
  [85, 'dec'],
  [86, 'mips'],
]);

/** What reading and walking share: the file without its columns, and how to decode them. */
export interface Opened {
  /** Without diagnostics, which are complete only after the data were read. */
  readonly head: Omit<C3dHead, 'diagnostics'>;
  readonly processor: Processor;
  readonly layout: Layout;
  readonly scale: AnalogScale;
  readonly picked: C3dSelection;
}

/** @throws FormatError where the file cannot be read; in strict mode also for every departure that matters */
export function openC3d(source: ByteSource, select: C3dSelect | undefined, file: string, notes: Notes): Opened {
  const headerBytes = firstBlock(source, notes);
  const parameterOffset = findParameters(source, headerBytes[0]!, notes);
  const processor = readProcessor(source, parameterOffset, notes);
  const headerReader = new ByteReader(headerBytes, 0, processor, file, ['header']);
  const header = readHeader(headerReader);
  const groups = readGroups(source, parameterOffset, header, processor, file, notes);
  const layout = settleLayout(source.size, header, groups, notes);
  const scale = analogScale(layout, groups, notes);
  const stored = textList(groups, 'POINT', 'LABELS');
  const labels = fitted(stored, layout.points);
  tellLabels(stored.length, layout.points, groups, notes);
  const channelLabels = fitted(textList(groups, 'ANALOG', 'LABELS'), layout.channels);
  const events = readEvents(groups, readHeaderEvents(headerReader, notes), layout, notes);
  const turns = fitted(textList(groups, 'ROTATION', 'LABELS'), layout.rotation?.used ?? 0);
  const picked = pick(select, layout, labels, channelLabels, turns, notes);
  const { points, channels, from, to } = picked;
  const descriptions = fitted(textList(groups, 'POINT', 'DESCRIPTIONS'), layout.points);
  const head = {
    processor,
    form: layout.form,
    header,
    groups,
    labels: chosen(labels, points),
    descriptions: chosen(descriptions, points),
    units: chosenUnits(unitTexts(textList(groups, 'POINT', 'UNITS'), layout.points), points),
    points: points.length,
    frames: to - from,
    firstFrame: layout.firstFrame + from,
    rate_Hz: layout.rate_Hz,
    residualScale: layout.scale,
    analog: {
      channels: channels.length,
      samplesPerFrame: layout.samplesPerFrame,
      labels: chosen(channelLabels, channels),
      units: chosenUnits(unitTexts(textList(groups, 'ANALOG', 'UNITS'), layout.channels), channels),
    },
    events: eventsFrom(events, from, layout.rate_Hz),
    typeGroups: typeGroups(groups),
    screen: screenAxes(groups),
    rotations: layout.rotation?.used ?? 0,
    rotationData: rotationHead(layout, turns, groups, picked),
    ...(select === undefined ? {} : { selection: picked }),
  };
  return { head, processor, layout, scale, picked };
}

/** Null where the file has no matrices or none is asked for. */
function rotationHead(
  { rotation }: Layout,
  labels: readonly string[],
  groups: Groups,
  { rotations }: C3dSelection,
): C3dRotationHead | null {
  if (rotation === null || rotation.samples === 0 || rotations.length === 0) return null;
  const descriptions = fitted(textList(groups, 'ROTATION', 'DESCRIPTIONS'), rotation.used);
  return {
    labels: chosen(labels, rotations),
    descriptions: chosen(descriptions, rotations),
    rate_Hz: rotation.rate_Hz,
    samplesPerFrame: rotation.samplesPerFrame,
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
