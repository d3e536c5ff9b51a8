/** What a rewritten file's parameters must say anew: points left out, counts of frames, and which of them changed. */
import { parameter } from './lookup.ts';
import {
  columnCount,
  type EditableGroups,
  keepColumns,
  numbersParameter,
  put,
  setNumber,
  signed,
} from './parameterEdit.ts';
import type { C3dHead } from './types.ts';

/** Labels, descriptions and units of the points that go, and their names in the lists of angles, forces … */
export function leaveOutPoints(groups: EditableGroups, file: C3dHead, points: readonly number[]): string[] {
  if (points.length === file.points) return [];
  const stay = new Set(points);
  const keep = (i: number): boolean => i >= file.points || stay.has(i);
  for (const name of ['LABELS', 'DESCRIPTIONS']) keepColumns(groups, 'POINT', name, keep);
  if (columnCount(groups, 'POINT', 'UNITS') >= file.points && file.points > 1)
    keepColumns(groups, 'POINT', 'UNITS', keep);
  const staying = new Set(points.map((p) => file.labels[p]!));
  const gone = file.labels.filter((_, i) => !stay.has(i));
  for (const [name, labels] of file.typeGroups) {
    const all = [...labels];
    const listed = parameter(groups, 'POINT', name)?.text ?? all;
    keepColumns(groups, 'POINT', name, (i) => {
      const label = listed[i] ?? '';
      return !gone.includes(label) || staying.has(label);
    });
  }
  return gone;
}

/** Counts that exist say the new number; those that a long file needs are added. */
export function setFrames(groups: EditableGroups, firstFrame: number, frames: number): void {
  const inWord = parameter(groups, 'POINT', 'FRAMES')?.type === 'int16';
  setNumber(groups, 'POINT', 'FRAMES', inWord ? Math.min(frames, 65535) : frames);
  const last = firstFrame + frames - 1;
  const long = frames >= 65535 || last >= 65535;
  if (
    !setNumber(groups, 'POINT', 'LONG_FRAMES', frames) &&
    frames >= 65535 &&
    !parameter(groups, 'POINT', 'LONG_FRAMES')
  ) {
    put(groups, numbersParameter('POINT', 'LONG_FRAMES', 'float', [frames], []));
  }
  if (frames === 0) return;
  const missing = !parameter(groups, 'TRIAL', 'ACTUAL_START_FIELD') || !parameter(groups, 'TRIAL', 'ACTUAL_END_FIELD');
  for (const [name, value] of [
    ['ACTUAL_START_FIELD', firstFrame],
    ['ACTUAL_END_FIELD', last],
  ] as const) {
    const words = [signed(value % 65536), signed(Math.floor(value / 65536))];
    const found = parameter(groups, 'TRIAL', name);
    if (found?.type === 'int16' && found.numbers.length >= 2) {
      put(groups, { ...found, numbers: [...words, ...found.numbers.slice(2)] });
    } else if (found && !(missing && long)) {
      setNumber(groups, 'TRIAL', name, value);
    } else if (long) {
      put(groups, numbersParameter('TRIAL', name, 'int16', words, [2]));
    }
  }
}

/** Parameters that are new or say something else than in the file. */
export function changedParameters(file: C3dHead, groups: EditableGroups): string[] {
  const out: string[] = [];
  for (const [name, group] of groups) {
    for (const [key, p] of group.parameters) {
      const old = file.groups.get(name)?.parameters.get(key);
      if (
        !old ||
        p.type !== old.type ||
        p.raw !== old.raw ||
        !same(p.numbers, old.numbers) ||
        !same(p.text, old.text)
      ) {
        out.push(`${name}:${key}`);
      }
    }
  }
  return out;
}

function same<T>(a: readonly T[], b: readonly T[]): boolean {
  return a === b || (a.length === b.length && a.every((value, i) => Object.is(value, b[i])));
}
