/** How the stored analog numbers become values: OFFSET, SCALE, GEN_SCALE, FORMAT and BITS. */
import type { Notes } from './diagnosticCodes.ts';
import type { AnalogScale } from './frames.ts';
import { wordAt } from './header.ts';
import type { Layout } from './layout.ts';
import { countOf, numberList, numberOf, offsetOf, parameter, textList } from './lookup.ts';
import type { C3dGroup } from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;

/**
 * Offsets and factors of the channels; FORMAT "UNSIGNED" makes integer samples and integer offsets unsigned. Samples of 12, 14 and 16
 * bits lie in whole 16-bit words alike, so ANALOG:BITS changes no value. Source: C3D user guide, ANALOG:FORMAT and ANALOG:BITS, from memory.
 */
export function analogScale(layout: Layout, groups: Groups, notes: Notes): AnalogScale {
  const { channels } = layout;
  const format = textList(groups, 'ANALOG', 'FORMAT')[0] ?? '';
  const unsigned = format.toUpperCase().startsWith('UNSIGNED');
  const offsets = new Float64Array(channels);
  const factors = new Float64Array(channels);
  if (channels === 0) return { offsets, factors, unsigned };
  tellFormat(format, groups, notes);
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

function tellFormat(format: string, groups: Groups, notes: Notes): void {
  if (format !== '' && !/^(UN)?SIGNED/i.test(format)) {
    notes.add(
      'analog-format-unknown',
      'ANALOG:FORMAT is neither SIGNED nor UNSIGNED',
      offsetOf(groups, 'ANALOG', 'FORMAT', 0),
    );
  }
  const bits = countOf(groups, 'ANALOG', 'BITS');
  if (bits !== null && bits !== 12 && bits !== 14 && bits !== 16) {
    notes.add('analog-format-unknown', `ANALOG:BITS is ${bits}`, offsetOf(groups, 'ANALOG', 'BITS', 0));
  }
}
