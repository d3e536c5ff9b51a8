// A rewritten file against the file it came from, value by value.
import { expect } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import {
  bytesOf,
  type RewriteOptions,
  type RewriteReport,
  rewriteC3d,
  rewriteSource,
} from '../../src/c3d/rewriteC3d.ts';
import type { C3dFile } from '../../src/c3d/types.ts';

export const ENCODINGS = (['intel', 'dec', 'mips'] as const).flatMap((processor) =>
  (['float', 'integer'] as const).map((form) => ({ processor, form })),
);

export interface Again {
  readonly bytes: Uint8Array;
  readonly file: C3dFile;
  readonly report: RewriteReport;
}

export function rewriteAndRead(file: C3dFile, options: RewriteOptions): Again {
  const rewritten = rewriteC3d(file, options);
  const bytes = bytesOf(rewritten);
  if (options.source !== undefined) {
    // Block by block the same file comes out.
    const streamed = rewriteSource(options.source, () => options);
    expect(Buffer.compare(bytesOf(streamed), bytes)).toBe(0);
    const order = ({ kind, index, frame }: { kind: string; index: number; frame: number }): string =>
      `${kind} ${index} ${frame}`;
    const listed = (report: RewriteReport): string[] => report.notHeld.map(order).sort();
    if (rewritten.report.notHeldCount <= 1000) expect(listed(streamed.report)).toEqual(listed(rewritten.report));
    const rest = ({ notHeld: _, diagnostics: __, ...others }: RewriteReport): object => others;
    expect(rest(streamed.report)).toEqual(rest(rewritten.report));
  }
  return { bytes, file: readC3d(bytesSource(bytes)), report: rewritten.report };
}

/** Which values DEC has: 0 and sizes from 2^−128 up to 2^127 (from memory: excess-128 exponent, 0 reserved). */
function decHas(value: number): boolean {
  const size = Math.abs(value);
  return size === 0 || (size >= 2.938735877055719e-39 && size < 1.7014118346046923e38);
}

/** Everything that the six encodings can hold must be there: bit for bit as floats, within half a step as integers. */
export function expectSame(old: C3dFile, again: Again, processor: string, form: 'float' | 'integer'): void {
  const { file, report } = again;
  expect([file.processor, file.form]).toEqual([processor, form]);
  expect([file.points, file.frames, file.firstFrame, file.rate_Hz]).toEqual([
    old.points,
    old.frames,
    old.firstFrame,
    old.rate_Hz,
  ]);
  expect([file.labels, file.descriptions, file.units, file.screen]).toEqual([
    old.labels,
    old.descriptions,
    old.units,
    old.screen,
  ]);
  expect([...file.typeGroups]).toEqual([...old.typeGroups]);
  expect(file.events).toEqual(old.events);
  expect([file.analog.channels, file.analog.samplesPerFrame]).toEqual([
    old.analog.channels,
    old.analog.samplesPerFrame,
  ]);
  expect([file.analog.labels, file.analog.units]).toEqual([old.analog.labels, old.analog.units]);
  const lost = comparePoints(old, file, report, processor, form) + compareAnalog(old, file, report, processor, form);
  const turned = compareRotations(old, file, processor);
  // Invalid rotations are NaN in memory, whatever the file holds.
  expect(report.notHeldCount).toBeGreaterThanOrEqual(lost + turned.lost);
  expect(report.notHeldCount).toBeLessThanOrEqual(lost + turned.lost + turned.invalid);
  compareParameters(old, file, report);
}

function comparePoints(
  old: C3dFile,
  file: C3dFile,
  report: RewriteReport,
  processor: string,
  form: 'float' | 'integer',
): number {
  // Half a step, and the rounding of word × step in double precision.
  const within = form === 'integer' ? report.step! * (0.5 + 1e-9) : 0;
  let lost = 0;
  let wrong = 0;
  let worst = 0;
  for (let i = 0; i < old.xyz.length; i += 1) {
    const value = old.xyz[i]!;
    const held = form === 'integer' ? Number.isFinite(value) : processor !== 'dec' || decHas(Math.fround(value));
    if (!held) {
      lost += 1;
      if (file.xyz[i] !== 0) wrong += 1;
    } else if (form === 'integer') {
      worst = Math.max(worst, Math.abs(file.xyz[i]! - value));
    } else if (!Object.is(file.xyz[i], Math.fround(value)) && !(processor === 'dec' && value === 0)) {
      wrong += 1;
    }
  }
  expect(wrong).toBe(0);
  expect(worst).toBeLessThanOrEqual(within);
  let words = 0;
  for (let i = 0; i < old.word4.length; i += 1) {
    const [was, is] = [old.word4[i]!, file.word4[i]!];
    if (was === is || (is === -1 && report.notHeldCount > 0)) continue;
    // A residual in other steps: the same cameras, the residual within a step.
    const far = Math.abs((was & 0xff) * old.residualScale - (is & 0xff) * file.residualScale);
    if (!report.residualsRescaled || was >> 8 !== is >> 8 || (far > file.residualScale && (is & 0xff) !== 255))
      words += 1;
  }
  expect(words).toBe(0);
  return lost;
}

function compareAnalog(
  old: C3dFile,
  file: C3dFile,
  report: RewriteReport,
  processor: string,
  form: 'float' | 'integer',
): number {
  const steps = new Map(report.analogSteps.map(({ channel, step }) => [channel, step]));
  const perChannel = old.frames * old.analog.samplesPerFrame;
  let lost = 0;
  let wrong = 0;
  for (let c = 0; c < old.analog.channels; c += 1) {
    const step = steps.get(c) ?? 0;
    for (let i = c * perChannel; i < (c + 1) * perChannel; i += 1) {
      const value = old.analog.data[i]!;
      if (form === 'integer' ? !Number.isFinite(value) : processor === 'dec' && !decHas(Math.fround(value))) lost += 1;
      else if (step > 0) wrong += Math.abs(file.analog.data[i]! - value) <= step * (0.5 + 1e-9) ? 0 : 1;
      else if (!Object.is(file.analog.data[i], value) && !(value === 0 && file.analog.data[i] === 0)) wrong += 1;
    }
  }
  expect(wrong).toBe(0);
  return lost;
}

/** Floats in every form: equal to the bit, but for what DEC lacks, which becomes invalid. */
function compareRotations(old: C3dFile, file: C3dFile, processor: string): { lost: number; invalid: number } {
  const [a, b] = [old.rotationData, file.rotationData];
  expect(b === null).toBe(a === null);
  if (a === null || b === null) return { lost: 0, invalid: 0 };
  const { matrices: _, translations: __, reliability: ___, ...head } = a;
  expect(b).toMatchObject(head);
  let lost = 0;
  let invalid = 0;
  let wrong = 0;
  const equal = (x: number, y: number): boolean => Object.is(x, y) || (processor === 'dec' && x === 0 && y === 0);
  for (let i = 0; i < a.reliability.length; i += 1) {
    const stored = [
      ...a.matrices.subarray(9 * i, 9 * i + 9),
      ...a.translations.subarray(3 * i, 3 * i + 3),
      a.reliability[i]!,
    ];
    const again = [
      ...b.matrices.subarray(9 * i, 9 * i + 9),
      ...b.translations.subarray(3 * i, 3 * i + 3),
      b.reliability[i]!,
    ];
    if (a.reliability[i]! < 0) invalid += processor === 'dec' ? 1 : 0;
    else if (processor === 'dec' && !stored.every(decHas)) {
      lost += 1;
      if (!(b.reliability[i]! < 0)) wrong += 1;
      continue;
    }
    if (!stored.every((value, k) => equal(value, again[k]!))) wrong += 1;
  }
  expect(wrong).toBe(0);
  return { lost, invalid };
}

/** What is not among the changed parameters is the same to the last padding byte. */
function compareParameters(old: C3dFile, file: C3dFile, report: RewriteReport): void {
  const told = new Set(report.changed);
  const lossy = new Set(
    report.diagnostics.filter((d) => d.code === 'parameter-not-held').map((d) => d.message.split(' ')[0]!),
  );
  for (const [name, group] of old.groups) {
    const again = file.groups.get(name);
    if (group.parameters.size === 0 && name.startsWith('#')) continue;
    expect([again?.id, again?.locked, again?.description]).toEqual([group.id, group.locked, group.description]);
    expect([...again!.parameters.keys()].slice(0, group.parameters.size)).toEqual([...group.parameters.keys()]);
    for (const [key, p] of group.parameters) {
      const q = again!.parameters.get(key)!;
      expect([q.locked, q.description]).toEqual([p.locked, p.description]);
      if (told.has(`${name}:${key}`) || lossy.has(`${name}:${key}`)) continue;
      expect([q.type, q.text, q.numbers.map((n) => n + 0)]).toEqual([p.type, p.text, p.numbers.map((n) => n + 0)]);
      // The rest of a text that was cut in its file is no text and not written.
      const whole = (p.raw?.length ?? 0) - ((p.raw?.length ?? 0) % (p.dimensions[0] || 1));
      expect(Buffer.from(q.raw ?? []).toString('hex')).toBe(Buffer.from(p.raw ?? []).toString('hex', 0, whole));
    }
  }
  for (const name of told) {
    expect(name).toMatch(
      /^(POINT:(USED|SCALE|FRAMES|LONG_FRAMES|DATA_START)|TRIAL:ACTUAL_(START|END)_FIELD|ANALOG:(USED|SCALE\d*|OFFSET\d*)|ROTATION:DATA_START)$/,
    );
  }
}
