/** Columns of points, analog values, rotations and events to the bytes of a C3D file: no clock, same input same bytes. */
import { type C3dParameterContent, parameterSection } from './parameterWriter.ts';
import { bytesSource } from './readC3d.ts';
import { bytesOf, rewriteSource } from './rewriteC3d.ts';
import { rotationsOf } from './rewriteInput.ts';
import type { Processor } from './types.ts';
import { type C3dContent, fixedParameters, wordParameter } from './writeContent.ts';

export type { C3dParameterContent } from './parameterWriter.ts';
export type { C3dContent } from './writeContent.ts';

const BLOCK = 512;

/** How a file is written. */
export interface C3dTarget {
  /** Byte order and float format, Intel by default. */
  readonly processor?: Processor;
  /** Storage of points and analog values, float by default. Integers get the step largest / 32000 where `residualScale` does not fit. */
  readonly form?: 'float' | 'integer';
}

/**
 * The file's bytes, a whole number of 512-byte blocks.
 * @throws RangeError where sizes disagree or a value does not fit the format or the target, such as NaN in integers or in DEC floats; to
 *   write such values nevertheless, write Intel floats and rewrite those, which tells every sample that was changed
 */
export function writeC3d(content: C3dContent, target: C3dTarget = {}): Uint8Array {
  const bytes = writeIntelFloat(content);
  const { processor = 'intel', form = 'float' } = target;
  if (processor === 'intel' && form === 'float') return bytes;
  const rewritten = rewriteSource(bytesSource(bytes), () => ({ processor, form }));
  const problem = rewritten.report.diagnostics[0];
  if (problem) throw new RangeError(`${processor} ${form}: ${problem.message}`);
  return bytesOf(rewritten);
}

function writeIntelFloat(content: C3dContent): Uint8Array {
  const points = content.labels.length;
  const { frames } = content;
  const firstFrame = content.firstFrame ?? 1;
  checkSizes(content, points, firstFrame);
  checkTracks(content);
  const scale = -residualScaleOf(content);
  const parameters = fixedParameters(content, firstFrame, scale);
  const perFrame = 4 * points + (content.analog ? content.analog.labels.length * content.analog.samplesPerFrame : 0);
  const dataBlocks = Math.ceil((frames * perFrame * 4) / BLOCK);
  const starts = (block: number): C3dParameterContent[] => {
    const own = wordParameter('POINT', 'DATA_START', block);
    return content.rotations ? [own, wordParameter('ROTATION', 'DATA_START', block + dataBlocks)] : [own];
  };
  // The blocks' numbers are parameters themselves: the size does not depend on their values, so one pass for the length is enough.
  const dataBlock = 2 + parameterSection([...parameters, ...starts(0)]).length / BLOCK;
  if (dataBlock + dataBlocks > 65535 && content.rotations) throw new RangeError('rotations begin beyond block 65535');
  const section = parameterSection([...parameters, ...starts(dataBlock)]);

  const turns = rotationBytes(content);
  const turnBlocks = Math.ceil(turns.length / BLOCK);
  const bytes = new Uint8Array((dataBlock - 1 + dataBlocks + turnBlocks) * BLOCK);
  const view = new DataView(bytes.buffer);
  writeHeader(view, content, firstFrame, scale, dataBlock);
  bytes.set(section, BLOCK);
  writeFrames(view, (dataBlock - 1) * BLOCK, content, points, perFrame);
  writeAnalog(view, (dataBlock - 1) * BLOCK + 16 * points, content, perFrame);
  bytes.set(turns, (dataBlock - 1 + dataBlocks) * BLOCK);
  return bytes;
}

function rotationBytes({ rotations, frames, rate_Hz }: C3dContent): Uint8Array {
  if (rotations === undefined) return new Uint8Array(0);
  const { labels, samplesPerFrame = 1, matrices, translations, reliability } = rotations;
  const samples = frames * samplesPerFrame;
  const whole = {
    labels,
    descriptions: [],
    rate_Hz,
    samplesPerFrame,
    frames: samples,
    matrices,
    translations,
    reliability,
  };
  return rotationsOf(whole, labels.length).read(0, samples);
}

/** Sizes of analog values and rotations. */
function checkTracks({ frames, analog, rotations }: C3dContent): void {
  const check = (what: string, length: number, expected: number): void => {
    if (length !== expected) throw new RangeError(`${what}: ${length} values, not ${expected}`);
  };
  const isRatio = (value: number): boolean => Number.isInteger(value) && value >= 1 && value <= 65535;
  if (analog) {
    const { labels, units, descriptions, samplesPerFrame, data } = analog;
    if (!isRatio(samplesPerFrame)) throw new RangeError(`analog.samplesPerFrame: ${samplesPerFrame}`);
    if (labels.length * samplesPerFrame > 65535) throw new RangeError('more than 65535 analog values a frame');
    check('analog.data', data.length, labels.length * frames * samplesPerFrame);
    if (typeof units !== 'string') check('analog.units', units.length, labels.length);
    if (descriptions) check('analog.descriptions', descriptions.length, labels.length);
  }
  if (rotations) {
    const { labels, descriptions, samplesPerFrame = 1, matrices, translations, reliability } = rotations;
    if (!isRatio(samplesPerFrame)) throw new RangeError(`rotations.samplesPerFrame: ${samplesPerFrame}`);
    if (labels.length < 1 || labels.length > 65535) throw new RangeError(`${labels.length} rotations`);
    const count = labels.length * frames * samplesPerFrame;
    check('rotations.matrices', matrices.length, 9 * count);
    check('rotations.translations', translations.length, 3 * count);
    check('rotations.reliability', reliability.length, count);
    if (descriptions) check('rotations.descriptions', descriptions.length, labels.length);
  }
}

function checkSizes(content: C3dContent, points: number, firstFrame: number): void {
  const { frames, rate_Hz, xyz, word4 } = content;
  if (!Number.isInteger(frames) || frames < 0) throw new RangeError(`frames: ${frames}`);
  if (!Number.isInteger(firstFrame) || firstFrame < 1) throw new RangeError(`firstFrame: ${firstFrame}, from 1`);
  if (firstFrame + frames - 1 > 0xffff_ffff) throw new RangeError(`last frame: ${firstFrame + frames - 1}`);
  if (!(rate_Hz > 0) || !Number.isFinite(rate_Hz)) throw new RangeError(`rate_Hz: ${rate_Hz}`);
  if (points > 65535) throw new RangeError(`${points} points; a C3D file holds 65535`);
  if (xyz.length !== 3 * points * frames) throw new RangeError(`xyz: ${xyz.length} values, not ${3 * points * frames}`);
  if (word4 !== null && word4.length !== points * frames) {
    throw new RangeError(`word4: ${word4.length} values, not ${points * frames}`);
  }
  for (const key of ['pointUnits', 'descriptions'] as const) {
    const list = content[key];
    if (list !== undefined && list.length !== points) throw new RangeError(`${key}: ${list.length}, not ${points}`);
  }
}

function residualScaleOf(content: C3dContent): number {
  const given = content.residualScale;
  if (given !== undefined) {
    if (!(given > 0) || !(Math.fround(given) > 0) || !Number.isFinite(Math.fround(given))) {
      throw new RangeError(`residualScale: ${given}`);
    }
    return given;
  }
  let largest = 0;
  for (const value of content.xyz) {
    const size = Math.abs(value);
    if (size > largest && size < Number.POSITIVE_INFINITY) largest = size;
  }
  const scale = largest / 32000;
  return Math.fround(scale) > 0 ? scale : 1;
}

function writeHeader(view: DataView, content: C3dContent, firstFrame: number, scale: number, dataBlock: number): void {
  const word = (n: number, value: number): void => view.setUint16(2 * (n - 1), value, true);
  view.setUint8(0, 2);
  view.setUint8(1, 0x50);
  word(2, content.labels.length);
  if (content.analog) {
    word(3, content.analog.labels.length * content.analog.samplesPerFrame);
    word(10, content.analog.samplesPerFrame);
  }
  word(4, Math.min(firstFrame, 65535));
  word(5, Math.min(Math.max(firstFrame + content.frames - 1, 0), 65535));
  view.setFloat32(12, scale, true);
  word(9, dataBlock);
  view.setFloat32(20, content.rate_Hz, true);
  word(150, 12345);
}

function writeFrames(view: DataView, start: number, content: C3dContent, points: number, perFrame: number): void {
  const { frames, xyz, word4 } = content;
  for (let p = 0; p < points; p += 1) {
    for (let f = 0; f < frames; f += 1) {
      const at = start + 4 * perFrame * f + 16 * p;
      const x = xyz[3 * p * frames + f]!;
      const y = xyz[(3 * p + 1) * frames + f]!;
      const z = xyz[(3 * p + 2) * frames + f]!;
      const word = word4 ? word4[p * frames + f]! : Number.isFinite(x + y + z) ? 0 : -1;
      setCoordinate(view, at, x, word);
      setCoordinate(view, at + 4, y, word);
      setCoordinate(view, at + 8, z, word);
      view.setFloat32(at + 12, word, true);
    }
  }
}

/** Sample-major within a frame. */
function writeAnalog(view: DataView, start: number, { analog, frames }: C3dContent, perFrame: number): void {
  if (analog === undefined) return;
  const { labels, samplesPerFrame, data } = analog;
  for (let c = 0; c < labels.length; c += 1) {
    for (let f = 0; f < frames; f += 1) {
      for (let s = 0; s < samplesPerFrame; s += 1) {
        const value = data[(c * frames + f) * samplesPerFrame + s]!;
        setCoordinate(view, start + 4 * (perFrame * f + s * labels.length + c), value, 0);
      }
    }
  }
}

function setCoordinate(view: DataView, at: number, value: number, word: number): void {
  if (value - value === 0) {
    if (!Number.isFinite(Math.fround(value))) throw new RangeError(`${value} does not fit a 32-bit float`);
    view.setFloat32(at, value, true);
  } else if (word >= 0) {
    // One bit pattern for "not a number", whatever the machine's own is.
    if (Number.isNaN(value)) view.setUint32(at, 0x7fc0_0000, true);
    else view.setFloat32(at, value, true);
  }
}
