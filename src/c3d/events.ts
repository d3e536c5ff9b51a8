/** Events of the EVENT group and of the header, as times from the first stored frame. */
import { formatFixed } from '../base/format.ts';
import type { Notes } from './diagnosticCodes.ts';
import type { HeaderEvent } from './header.ts';
import { countOf, numberList, offsetOf, parameter, textList } from './lookup.ts';
import type { C3dEvent, C3dGroup } from './types.ts';

type Groups = ReadonlyMap<string, C3dGroup>;

interface Timing {
  readonly rate_Hz: number | null;
  readonly firstFrame: number;
  readonly frames: number;
}

const SIDES = new Set(['', 'left', 'right', 'general']);

/**
 * All events, by time. EVENT:TIMES counts from raw frame 1: frame = round(t · rate) − (firstFrame − 1); where that lies outside the
 * file for some event and counting from the first stored frame puts all inside, the latter holds. Header events always count
 * from the first stored frame. Without a rate, frame is −1.
 */
export function readEvents(
  groups: Groups,
  inHeader: readonly HeaderEvent[],
  timing: Timing,
  notes: Notes,
): readonly C3dEvent[] {
  const offset = offsetOf(groups, 'EVENT', 'TIMES', 0);
  const stored = groupEvents(groups, notes);
  const shift = originShift(stored, timing, offset, notes);
  const out: C3dEvent[] = [];
  const put = (
    label: string,
    context: string,
    time_s: number,
    shiftFrames: number,
    store: C3dEvent['store'],
    at: number,
  ) => {
    const { rate_Hz, frames } = timing;
    const frame = rate_Hz === null ? -1 : Math.round(time_s * rate_Hz) - shiftFrames;
    const fromStart_s = rate_Hz === null ? time_s : time_s - shiftFrames / rate_Hz;
    if (rate_Hz !== null && (frame < 0 || frame >= frames)) {
      const when = `${formatFixed(fromStart_s, 3)} s, frame ${frame} of ${frames} counted from 0`;
      notes.add('event-outside-file', `the event "${label}" lies at ${when}`, at);
    }
    out.push({ label, context, time_s: fromStart_s, frame, store });
  };
  for (const { label, context, time_s } of stored) put(label, context, time_s, shift, 'group', offset);
  for (const { label, time_s, offset: at } of inHeader) {
    if (Number.isFinite(time_s)) put(label, '', time_s, 0, 'header', at);
    else notes.add('event-time-unreadable', `the time of the header event "${label}" is no number`, at);
  }
  return out.sort((a, b) => a.time_s - b.time_s);
}

interface Stored {
  readonly label: string;
  readonly context: string;
  readonly time_s: number;
}

function groupEvents(groups: Groups, notes: Notes): readonly Stored[] {
  const offset = offsetOf(groups, 'EVENT', 'TIMES', 0);
  const labels = textList(groups, 'EVENT', 'LABELS');
  const contexts = textList(groups, 'EVENT', 'CONTEXTS');
  const { times, perEvent } = eventTimes(groups, notes);
  const timed = Math.floor(times.length / perEvent);
  const used = countOf(groups, 'EVENT', 'USED') ?? timed;
  const count = Math.min(used, timed);
  if (used !== timed || (labels.length !== used && used > 0)) {
    const found = `EVENT:USED is ${used}, there are ${labels.length} labels and ${timed} times`;
    notes.add('event-count-disagrees', found, offsetOf(groups, 'EVENT', 'USED', offset));
  }
  const out: Stored[] = [];
  let moved = 0;
  for (let i = 0; i < count; i += 1) {
    let label = labels[i] ?? '';
    let context = contexts[i] ?? '';
    const time_s = perEvent === 1 ? times[i]! : 60 * times[2 * i]! + times[2 * i + 1]!;
    if (!Number.isFinite(time_s)) {
      notes.add('event-time-unreadable', `the time of the event "${label}" is no number`, offset);
      continue;
    }
    if (label === '' && !SIDES.has(context.toLowerCase())) {
      label = context;
      context = '';
      moved += 1;
    }
    out.push({ label, context, time_s });
  }
  if (moved > 0) {
    const at = offsetOf(groups, 'EVENT', 'CONTEXTS', offset);
    notes.add('event-label-from-context', `${moved} events take their label from CONTEXTS`, at);
  }
  return out;
}

/** TIMES as pairs of whole minutes and seconds, or plain seconds where there is one value an event. */
function eventTimes(groups: Groups, notes: Notes): { times: readonly number[]; perEvent: 1 | 2 } {
  const times = numberList(groups, 'EVENT', 'TIMES');
  const field = parameter(groups, 'EVENT', 'TIMES');
  const table = field?.dimensions.length === 2 && field.dimensions[0] === 2;
  if (field === undefined || table || times.length === 0) return { times, perEvent: 2 };
  const used = countOf(groups, 'EVENT', 'USED') ?? 0;
  const perEvent = times.length === used ? 1 : 2;
  const read = perEvent === 1 ? 'seconds' : 'minutes and seconds in turn';
  notes.add(
    'event-times-layout',
    `EVENT:TIMES has dimensions [${field.dimensions.join(', ')}], read as ${read}`,
    field.offset,
  );
  return { times, perEvent };
}

/** Frames to take off: firstFrame − 1, or 0 where only that puts every event inside the file. */
function originShift(events: readonly Stored[], timing: Timing, offset: number, notes: Notes): number {
  const { rate_Hz, frames } = timing;
  const shift = Math.max(timing.firstFrame, 1) - 1;
  if (rate_Hz === null || shift === 0 || events.length === 0) return shift;
  const inside = (by: number): boolean =>
    events.every(({ time_s }) => {
      const frame = Math.round(time_s * rate_Hz) - by;
      return frame >= 0 && frame < frames;
    });
  if (inside(shift) || !inside(0)) return shift;
  notes.add(
    'event-origin-first-frame',
    'event times fit the file only when counted from its first stored frame',
    offset,
  );
  return 0;
}
