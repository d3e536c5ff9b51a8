/** Scales and offsets of analog channels in a rewritten file: the file's own where its raw values fit, new ones where they do not. */
import { numberList, numberOf, parameter, textList } from './lookup.ts';
import { type EditableGroups, setList, signed } from './parameterEdit.ts';
import { rawFloat } from './rewriteData.ts';
import type { C3dFile } from './types.ts';

export interface AnalogPlan {
  readonly offsets: Float64Array;
  readonly factors: Float64Array;
  readonly unsigned: boolean;
  /** Channels whose floats are stored in integer steps, with the step in the channel's unit. */
  readonly steps: readonly { readonly channel: number; readonly step: number }[];
}

/**
 * Integer storage keeps the scale of a channel whose raw values are whole numbers inside 16 bits; any other channel gets the scale
 * largest / 32000 and no offset, in `groups` too. Floats keep what the file says.
 */
export function planAnalog(
  file: C3dFile,
  groups: EditableGroups,
  form: 'float' | 'integer',
  from: number,
  to: number,
): AnalogPlan {
  const { channels } = file.analog;
  const unsigned = (textList(groups, 'ANALOG', 'FORMAT')[0] ?? '').toUpperCase().startsWith('UNSIGNED');
  const offsetType = parameter(groups, 'ANALOG', 'OFFSET')?.type;
  const wordOffsets = offsetType === undefined || offsetType === 'int16';
  const usable = (scale: number | null): scale is number => scale !== null && scale !== 0 && Number.isFinite(scale);
  const general = numberOf(groups, 'ANALOG', 'GEN_SCALE');
  const gain = usable(general) ? general : 1;
  const scales = [...numberList(groups, 'ANALOG', 'SCALE')];
  const stored = [...numberList(groups, 'ANALOG', 'OFFSET')];
  while (scales.length < channels) scales.push(1);
  while (stored.length < channels) stored.push(0);
  const offsets = new Float64Array(channels);
  const factors = new Float64Array(channels);
  const steps: { channel: number; step: number }[] = [];
  for (let c = 0; c < channels; c += 1) {
    const offset = unsigned && offsetType === 'int16' ? stored[c]! & 0xffff : stored[c]!;
    offsets[c] = Number.isFinite(offset) ? offset : 0;
    factors[c] = (usable(scales[c]!) ? scales[c]! : 1) * gain;
    if (form === 'float' || file.form === 'integer') continue;
    const { fits, largest } = rawRange(file, c, offsets[c]!, factors[c]!, unsigned, from, to);
    if (fits) continue;
    const own = Math.fround(largest / 32000 / Math.abs(gain));
    const scale = own > 0 && Number.isFinite(own) ? own : 1;
    scales[c] = scale;
    offsets[c] = unsigned ? 32768 : 0;
    stored[c] = wordOffsets ? signed(offsets[c]!) : offsets[c]!;
    factors[c] = scale * gain;
    steps.push({ channel: c, step: Math.abs(factors[c]!) });
  }
  if (steps.length > 0) {
    setList(groups, 'ANALOG', 'SCALE', 'float', scales);
    setList(groups, 'ANALOG', 'OFFSET', wordOffsets ? 'int16' : 'float', stored);
  }
  return { offsets, factors, unsigned, steps };
}

function rawRange(
  file: C3dFile,
  channel: number,
  offset: number,
  factor: number,
  unsigned: boolean,
  from: number,
  to: number,
): { fits: boolean; largest: number } {
  const { data, samplesPerFrame } = file.analog;
  const [low, high] = unsigned ? [0, 65535] : [-32768, 32767];
  const start = channel * file.frames * samplesPerFrame;
  let fits = true;
  let largest = 0;
  for (let i = start + from * samplesPerFrame; i < start + to * samplesPerFrame; i += 1) {
    const value = data[i]!;
    if (value - value !== 0) continue;
    const raw = rawFloat(value, offset, factor);
    if (!Number.isInteger(raw) || raw < low || raw > high) fits = false;
    const size = Math.abs(value);
    if (size > largest) largest = size;
  }
  return { fits, largest };
}
