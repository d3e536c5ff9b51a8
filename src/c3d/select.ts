/** What of a file is asked for, as indices into it. */
import type { Notes } from './diagnosticCodes.ts';
import type { Layout } from './layout.ts';
import type { C3dEvent, C3dSelection } from './types.ts';

/**
 * Points and channels by label or by index from 0, in the order wanted; of several with one label the first. What the file does not
 * have is left out and told ("selection-not-found"). Frames [from, to) count from the first stored one; what lies behind the last is
 * cut off. What is absent is not restricted: `{ points: ['C7'] }` still reads the analog values. Rotations alone are read from a
 * selection only where they are asked for.
 */
export interface C3dSelect {
  readonly points?: readonly (string | number)[];
  readonly frames?: readonly [from: number, to: number];
  readonly analog?: boolean | readonly (string | number)[];
  readonly rotations?: boolean | readonly (string | number)[];
}

/** @throws RangeError for an index or a frame that is no whole number from 0, or an end before its start */
export function pick(
  select: C3dSelect | undefined,
  layout: Layout,
  labels: readonly string[],
  channelLabels: readonly string[],
  rotationLabels: readonly string[],
  notes: Notes,
): C3dSelection {
  const [from, to] = select?.frames ?? [0, layout.frames];
  if (!isCount(from) || !isCount(to) || to < from) throw new RangeError(`no frame range: [${from}, ${to})`);
  return {
    points: indices(select?.points, labels, 'point', notes),
    channels: indices(wanted(select?.analog ?? true), channelLabels, 'channel', notes),
    rotations: indices(wanted(select?.rotations ?? select === undefined), rotationLabels, 'rotation', notes),
    from: Math.min(from, layout.frames),
    to: Math.min(to, layout.frames),
  };
}

/** All (undefined), none, or those listed. */
function wanted(asked: boolean | readonly (string | number)[]): readonly (string | number)[] | undefined {
  return typeof asked === 'boolean' ? (asked ? undefined : []) : asked;
}

function isCount(value: number): boolean {
  return Number.isInteger(value) && value >= 0;
}

function indices(
  wanted: readonly (string | number)[] | undefined,
  labels: readonly string[],
  what: 'point' | 'channel' | 'rotation',
  notes: Notes,
): readonly number[] {
  if (wanted === undefined) return labels.map((_, i) => i);
  const byLabel = new Map<string, number>();
  labels.forEach((label, i) => {
    if (!byLabel.has(label)) byLabel.set(label, i);
  });
  const out: number[] = [];
  for (const one of new Set(wanted)) {
    if (typeof one === 'number' && !isCount(one)) throw new RangeError(`no index of a ${what}: ${one}`);
    const index = typeof one === 'number' ? one : (byLabel.get(one) ?? labels.length);
    if (index < labels.length) out.push(index);
    else notes.add('selection-not-found', `there is no ${what} ${typeof one === 'number' ? one : `"${one}"`}`, null);
  }
  return [...new Set(out)];
}

/** The texts of those that are picked. */
export function chosen(texts: readonly string[], picked: readonly number[]): readonly string[] {
  return picked.map((index) => texts[index]!);
}

/** Likewise where one text may stand for all. */
export function chosenUnits(texts: readonly string[], picked: readonly number[]): readonly string[] {
  return texts.length > 1 ? chosen(texts, picked) : texts;
}

/** Events counted from a later frame. */
export function eventsFrom(events: readonly C3dEvent[], from: number, rate_Hz: number | null): readonly C3dEvent[] {
  if (from === 0 || rate_Hz === null) return events;
  return events.map((event) => ({ ...event, time_s: event.time_s - from / rate_Hz, frame: event.frame - from }));
}
