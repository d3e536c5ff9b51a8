/** Scales and offsets of analog channels in a rewritten file: the file's own where its raw values fit, new ones where they do not. */
import { numberList, numberOf, parameter, textList } from './lookup.ts';
import { type EditableGroups, setList, signed } from './parameterEdit.ts';
import type { ChannelRange } from './rewriteSurvey.ts';
import type { C3dHead } from './types.ts';

/** Per channel, value = (raw − offset) × factor. */
export interface AnalogScales {
  readonly offsets: Float64Array;
  readonly factors: Float64Array;
  readonly unsigned: boolean;
}

export interface AnalogPlan extends AnalogScales {
  /** Channels whose floats are stored in integer steps, with the step in the channel's unit. */
  readonly steps: readonly { readonly channel: number; readonly step: number }[];
}

const usable = (scale: number | null | undefined): scale is number =>
  scale !== null && scale !== undefined && scale !== 0 && Number.isFinite(scale);

function gainOf(groups: EditableGroups): number {
  const general = numberOf(groups, 'ANALOG', 'GEN_SCALE');
  return usable(general) ? general : 1;
}

/** As the file read says. */
export function ownScales(head: C3dHead, groups: EditableGroups): AnalogScales {
  const { channels } = head.analog;
  const unsigned = (textList(groups, 'ANALOG', 'FORMAT')[0] ?? '').toUpperCase().startsWith('UNSIGNED');
  const words = parameter(groups, 'ANALOG', 'OFFSET')?.type === 'int16';
  const gain = gainOf(groups);
  const scales = numberList(groups, 'ANALOG', 'SCALE');
  const stored = numberList(groups, 'ANALOG', 'OFFSET');
  const offsets = new Float64Array(channels);
  const factors = new Float64Array(channels);
  for (let c = 0; c < channels; c += 1) {
    const offset = stored[c] ?? 0;
    const own = unsigned && words ? offset & 0xffff : offset;
    offsets[c] = Number.isFinite(own) ? own : 0;
    factors[c] = (usable(scales[c]) ? scales[c]! : 1) * gain;
  }
  return { offsets, factors, unsigned };
}

/**
 * Integer storage keeps the scale of a channel whose raw values are whole numbers inside 16 bits; any other channel gets the scale
 * largest / 32000 and no offset, in `groups` too. Floats keep what the file says.
 */
export function planAnalog(
  head: C3dHead,
  groups: EditableGroups,
  form: 'float' | 'integer',
  own: AnalogScales,
  ranges: readonly ChannelRange[],
): AnalogPlan {
  const steps: { channel: number; step: number }[] = [];
  if (form === 'float' || head.form === 'integer' || ranges.every(({ fits }) => fits)) return { ...own, steps };
  const { channels } = head.analog;
  const offsetType = parameter(groups, 'ANALOG', 'OFFSET')?.type;
  const wordOffsets = offsetType === undefined || offsetType === 'int16';
  const gain = gainOf(groups);
  const scales = [...numberList(groups, 'ANALOG', 'SCALE')];
  const stored = [...numberList(groups, 'ANALOG', 'OFFSET')];
  while (scales.length < channels) scales.push(1);
  while (stored.length < channels) stored.push(0);
  const offsets = own.offsets.slice();
  const factors = own.factors.slice();
  ranges.forEach(({ fits, largest }, c) => {
    if (fits) return;
    const fine = Math.fround(largest / 32000 / Math.abs(gain));
    const scale = fine > 0 && Number.isFinite(fine) ? fine : 1;
    scales[c] = scale;
    offsets[c] = own.unsigned ? 32768 : 0;
    stored[c] = wordOffsets ? signed(offsets[c]!) : offsets[c]!;
    factors[c] = scale * gain;
    steps.push({ channel: c, step: Math.abs(factors[c]!) });
  });
  setList(groups, 'ANALOG', 'SCALE', 'float', scales);
  setList(groups, 'ANALOG', 'OFFSET', wordOffsets ? 'int16' : 'float', stored);
  return { offsets, factors, unsigned: own.unsigned, steps };
}
