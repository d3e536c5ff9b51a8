/** What a new C3D file is made of, and the parameters that say so. */
import type { C3dParameterContent } from './parameterWriter.ts';
import type { C3dRotations } from './types.ts';

/** What a file is written from. */
export interface C3dContent {
  /** One label per point; more than 255 are continued in POINT:LABELS2 … */
  readonly labels: readonly string[];
  /** Unit of all points, such as 'mm'. */
  readonly units: string;
  /** One unit per point, where points of several kinds are stored (positions and angles, say); instead of `units`. */
  readonly pointUnits?: readonly string[];
  /** One description per point. */
  readonly descriptions?: readonly string[];
  readonly rate_Hz: number;
  readonly frames: number;
  /** Number of the first stored frame, from 1 (default 1). */
  readonly firstFrame?: number;
  /** Coordinates as columns, `xyz[(3·point + axis)·frames + frame]`, in `units`. */
  readonly xyz: Float64Array;
  /**
   * Fourth word of every point, `word4[point·frames + frame]`, negative = invalid. Null: 0 for finite points, −1 for the others.
   * Where the word is negative, coordinates that are no numbers are stored as 0.
   */
  readonly word4: Int16Array | null;
  /** What one step of a residual (low byte of the fourth word) means, in `units`. Default: largest coordinate / 32000. */
  readonly residualScale?: number;
  /** Times in seconds from the first stored frame; stored as the format wants them, counted from raw frame 1. */
  readonly events?: readonly { readonly label: string; readonly context: string; readonly time_s: number }[];
  /** Analog channels, stored as floats with SCALE 1 and OFFSET 0. */
  readonly analog?: AnalogContent;
  /** Poses of bodies in the ROTATION group. */
  readonly rotations?: RotationContent;
  /** POINT:X_SCREEN and Y_SCREEN, such as '+X' and '+Z'. */
  readonly screen?: { readonly x: string; readonly y: string };
  /** Further parameters, such as POINT:ANGLES; those of a group that exists are added to it. FORCE_PLATFORM:USED is 0 where it is not among them. */
  readonly parameters?: readonly C3dParameterContent[];
}

/** Analog signals to write. */
export interface AnalogContent {
  readonly labels: readonly string[];
  /** One for all, or one per channel. */
  readonly units: string | readonly string[];
  readonly descriptions?: readonly string[];
  readonly samplesPerFrame: number;
  /** `data[channel·(frames·samplesPerFrame) + sample]`, in `units`. */
  readonly data: Float64Array;
}

/** As C3dRotations; `matrices`, `translations` and `reliability` hold frames × samplesPerFrame samples of every label. */
export interface RotationContent extends Pick<C3dRotations, 'labels' | 'matrices' | 'translations' | 'reliability'> {
  readonly descriptions?: readonly string[];
  /** 1 by default. */
  readonly samplesPerFrame?: number;
}

export function wordParameter(group: string, name: string, value: number): C3dParameterContent {
  return { group, name, type: 'int16', numbers: [value], dimensions: [] };
}

export function fixedParameters(content: C3dContent, firstFrame: number, scale: number): C3dParameterContent[] {
  const { labels, frames, rate_Hz, pointUnits, screen } = content;
  const float = (group: string, name: string, value: number): C3dParameterContent => {
    return { group, name, type: 'float', numbers: [value], dimensions: [] };
  };
  const text = (group: string, name: string, value: string): C3dParameterContent => {
    return { group, name, type: 'char', text: [value], single: true };
  };
  const list = (group: string, name: string, texts: readonly string[]): C3dParameterContent => {
    return { group, name, type: 'char', text: texts };
  };
  const out: C3dParameterContent[] = [
    wordParameter('POINT', 'USED', labels.length),
    float('POINT', 'SCALE', scale),
    float('POINT', 'RATE', rate_Hz),
    wordParameter('POINT', 'FRAMES', Math.min(frames, 65535)),
  ];
  if (frames >= 65535) out.push(float('POINT', 'LONG_FRAMES', frames));
  out.push(list('POINT', 'LABELS', labels));
  out.push(list('POINT', 'DESCRIPTIONS', content.descriptions ?? labels.map(() => '')));
  out.push(pointUnits ? list('POINT', 'UNITS', pointUnits) : text('POINT', 'UNITS', content.units));
  if (screen) out.push(text('POINT', 'X_SCREEN', screen.x), text('POINT', 'Y_SCREEN', screen.y));
  out.push(...analogParameters(content));
  const hasPlatforms = content.parameters?.some(({ group, name }) => group === 'FORCE_PLATFORM' && name === 'USED');
  if (!hasPlatforms) out.push(wordParameter('FORCE_PLATFORM', 'USED', 0));
  const field = (name: string, value: number): C3dParameterContent => {
    return {
      group: 'TRIAL',
      name,
      type: 'int16',
      numbers: [value % 65536, Math.floor(value / 65536)],
      dimensions: [2],
    };
  };
  if (frames > 0) {
    out.push(field('ACTUAL_START_FIELD', firstFrame), field('ACTUAL_END_FIELD', firstFrame + frames - 1));
  }
  out.push(...eventParameters(content, firstFrame));
  out.push(...rotationParameters(content));
  const taken = new Set(out.map((p) => `${p.group}:${p.name}`)).add('POINT:DATA_START').add('ROTATION:DATA_START');
  for (const extra of content.parameters ?? []) {
    const key = `${extra.group}:${extra.name}`;
    if (taken.has(key)) throw new RangeError(`${key} is written already`);
    taken.add(key);
    out.push(extra);
  }
  return out;
}

/** EVENT:TIMES holds whole minutes and seconds, counted from raw frame 1. */
function eventParameters(content: C3dContent, firstFrame: number): C3dParameterContent[] {
  const events = content.events ?? [];
  const out: C3dParameterContent[] = [
    { group: 'EVENT', name: 'USED', type: 'int16', numbers: [events.length], dimensions: [] },
  ];
  if (events.length === 0) return out;
  const start_s = (firstFrame - 1) / content.rate_Hz;
  const times: number[] = [];
  for (const event of events) {
    const time_s = event.time_s + start_s;
    if (!Number.isFinite(time_s)) throw new RangeError(`time of event "${event.label}": ${event.time_s}`);
    const minutes = time_s < 0 ? 0 : Math.floor(time_s / 60);
    times.push(minutes, time_s - 60 * minutes);
  }
  out.push({ group: 'EVENT', name: 'CONTEXTS', type: 'char', text: events.map((e) => e.context) });
  out.push({ group: 'EVENT', name: 'LABELS', type: 'char', text: events.map((e) => e.label) });
  for (let from = 0, part = 1; from < events.length; from += 255, part += 1) {
    const numbers = times.slice(2 * from, 2 * (from + 255));
    const name = part === 1 ? 'TIMES' : `TIMES${part}`;
    out.push({ group: 'EVENT', name, type: 'float', numbers, dimensions: [2, numbers.length / 2] });
  }
  return out;
}

/** Channels of one file hold one scale each; the values themselves are stored, so it is 1. */
function analogParameters(content: C3dContent): C3dParameterContent[] {
  const { labels, samplesPerFrame, units, descriptions } = content.analog ?? NO_ANALOG;
  const lists = (name: string, type: 'float' | 'int16', value: number): C3dParameterContent[] => {
    const parts: C3dParameterContent[] = [];
    for (let from = 0; from < labels.length || from === 0; from += 255) {
      const count = Math.min(255, labels.length - from);
      const numbers = Array<number>(count).fill(value);
      parts.push({
        group: 'ANALOG',
        name: from === 0 ? name : `${name}${from / 255 + 1}`,
        type,
        numbers,
        dimensions: [count],
      });
    }
    return parts;
  };
  const float = (name: string, value: number): C3dParameterContent => {
    return { group: 'ANALOG', name, type: 'float', numbers: [value], dimensions: [] };
  };
  return [
    { group: 'ANALOG', name: 'USED', type: 'int16', numbers: [labels.length], dimensions: [] },
    float('GEN_SCALE', 1),
    float('RATE', content.rate_Hz * samplesPerFrame),
    ...lists('SCALE', 'float', 1),
    ...lists('OFFSET', 'int16', 0),
    { group: 'ANALOG', name: 'LABELS', type: 'char', text: labels },
    { group: 'ANALOG', name: 'DESCRIPTIONS', type: 'char', text: descriptions ?? labels.map(() => '') },
    typeof units === 'string'
      ? { group: 'ANALOG', name: 'UNITS', type: 'char', text: [units], single: true }
      : { group: 'ANALOG', name: 'UNITS', type: 'char', text: units },
  ];
}

const NO_ANALOG: AnalogContent = { labels: [], units: [], samplesPerFrame: 1, data: new Float64Array(0) };

function rotationParameters(content: C3dContent): C3dParameterContent[] {
  if (content.rotations === undefined) return [];
  const { labels, descriptions, samplesPerFrame = 1 } = content.rotations;
  const number = (name: string, type: 'float' | 'int16', value: number): C3dParameterContent => {
    return { group: 'ROTATION', name, type, numbers: [value], dimensions: [] };
  };
  return [
    number('USED', 'int16', labels.length),
    number('RATE', 'float', content.rate_Hz * samplesPerFrame),
    number('RATIO', 'int16', samplesPerFrame),
    { group: 'ROTATION', name: 'LABELS', type: 'char', text: labels },
    { group: 'ROTATION', name: 'DESCRIPTIONS', type: 'char', text: descriptions ?? labels.map(() => '') },
  ];
}
