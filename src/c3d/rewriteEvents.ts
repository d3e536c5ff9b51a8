/** Events of a file that is cut: those outside the frames that stay are left out. */
import { formatFixed } from '../base/format.ts';
import { countOf, numberList, textList } from './lookup.ts';
import { columnCount, type EditableGroups, keepColumns, parts, put, setNumber } from './parameterEdit.ts';
import type { C3dHead } from './types.ts';

/** Cuts the EVENT group to the frames [from, to) and makes its times count from raw frame 1. Returns the events left out. */
export function cutEvents(groups: EditableGroups, file: C3dHead, from: number, to: number): string[] {
  const rate = file.rate_Hz;
  const group = groups.get('EVENT');
  const times = numberList(groups, 'EVENT', 'TIMES');
  if (!group || rate === null || times.length === 0) return [];
  const used = countOf(groups, 'EVENT', 'USED');
  const flat = (group.parameters.get('TIMES')?.dimensions.length ?? 0) < 2;
  const perEvent = flat && times.length === used ? 1 : 2;
  const timed = Math.floor(times.length / perEvent);
  const fromFirst = file.diagnostics.some(({ code }) => code === 'event-origin-first-frame');
  const shift = fromFirst ? 0 : Math.max(file.firstFrame, 1) - 1;
  const labels = textList(groups, 'EVENT', 'LABELS');
  const contexts = textList(groups, 'EVENT', 'CONTEXTS');
  const leftOut: string[] = [];
  const stay: boolean[] = [];
  for (let i = 0; i < timed; i += 1) {
    const time_s = perEvent === 1 ? times[i]! : 60 * times[2 * i]! + times[2 * i + 1]!;
    const frame = Math.round(time_s * rate) - shift;
    stay.push(frame >= from && frame < to);
    if (!stay[i] && i < (used ?? timed)) {
      leftOut.push(`${labels[i] || contexts[i] || 'event'} at ${formatFixed(time_s - shift / rate, 3)} s`);
    }
  }
  if (fromFirst) countFromRawFrameOne(groups, perEvent, (Math.max(file.firstFrame, 1) - 1) / rate);
  if (leftOut.length === 0 && stay.every((s) => s)) return [];
  // Every list of the group with an entry an event: labels, contexts, descriptions, flags …
  const names = [...group.parameters.keys()].filter((name) => !isContinuation(name, group.parameters));
  for (const name of names) {
    const per = name === 'TIMES' ? perEvent : 1;
    if (columnCount(groups, 'EVENT', name, per) === timed) keepColumns(groups, 'EVENT', name, (i) => stay[i]!, per);
  }
  setNumber(groups, 'EVENT', 'USED', stay.slice(0, used ?? timed).filter((s) => s).length);
  return leftOut;
}

function isContinuation(name: string, all: ReadonlyMap<string, unknown>): boolean {
  const match = /^(.*?)(\d+)$/.exec(name);
  return match !== null && Number(match[2]) > 1 && all.has(match[1]!);
}

function countFromRawFrameOne(groups: EditableGroups, perEvent: 1 | 2, later_s: number): void {
  for (const part of parts(groups, 'EVENT', 'TIMES')) {
    const numbers = part.numbers.slice();
    for (let i = 0; i + perEvent <= numbers.length; i += perEvent) {
      const time_s = (perEvent === 1 ? numbers[i]! : 60 * numbers[i]! + numbers[i + 1]!) + later_s;
      if (!Number.isFinite(time_s)) continue;
      const minutes = perEvent === 1 ? 0 : Math.floor(time_s / 60);
      if (perEvent === 2) numbers[i] = minutes;
      numbers[i + perEvent - 1] = Math.fround(time_s - 60 * minutes);
    }
    put(groups, { ...part, type: 'float', numbers });
  }
}
