import { formatFixed } from '../base/format.ts';
import { nearestOf } from '../base/text.ts';
import type { RewriteOptions } from '../c3d/rewriteC3d.ts';
import type { C3dHead } from '../c3d/types.ts';
import { type RewriteRun, rewriteFile } from '../disk/rewriteFile.ts';
import { EXIT, UsageError } from './exit.ts';
import type { RewriteFlags } from './main.ts';

/** Exit code 1 where the file was written but could not take over every value. */
export function rewriteCommand(input: string, out: string, flags: RewriteFlags): number {
  const processor = oneOf('--encoding', flags.encoding, ['intel', 'dec', 'mips'] as const);
  const form = oneOf('--form', flags.form, ['float', 'integer'] as const);
  let run: RewriteRun;
  try {
    run = rewriteFile(input, out, flags.replace, flags.strict, (file) => optionsFor(file, flags, processor, form));
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`${input}: ${error.message}`);
    throw error;
  }
  process.stdout.write(textOf(run, out));
  const { diagnostics } = run.report;
  for (const { severity, code, message } of run.file.diagnostics) {
    if (severity !== 'info') process.stderr.write(`${severity} ${code}: ${message}\n`);
  }
  for (const { severity, code, message } of diagnostics) process.stderr.write(`${severity} ${code}: ${message}\n`);
  return diagnostics.length > 0 ? EXIT.someBad : EXIT.used;
}

function oneOf<T extends string>(option: string, value: string | undefined, allowed: readonly T[]): T | undefined {
  if (value === undefined) return undefined;
  const found = allowed.find((one) => one === value.toLowerCase());
  if (found === undefined) throw new UsageError(`${option}: "${value}" is none of ${allowed.join(', ')}`);
  return found;
}

function optionsFor(
  file: C3dHead,
  flags: RewriteFlags,
  processor: RewriteOptions['processor'],
  form: RewriteOptions['form'],
): Omit<RewriteOptions, 'source'> {
  return {
    ...(processor ? { processor } : {}),
    ...(form ? { form } : {}),
    ...(flags.frames === undefined ? {} : { frames: frameRange(flags.frames, file.frames) }),
    ...(flags.keep === undefined ? {} : { keep: labels('--keep', flags.keep, file.labels) }),
    ...(flags.drop === undefined ? {} : { drop: labels('--drop', flags.drop, file.labels) }),
    ...(flags.dropGroups === undefined ? {} : { dropGroups: groupNames(flags.dropGroups, [...file.groups.keys()]) }),
    removeNames: flags.withoutNames,
  };
}

function frameRange(text: string, frames: number): readonly [number, number] {
  const match = /^(\d{1,9})-(\d{1,9})$/.exec(text);
  if (!match) throw new UsageError(`--frames: "${text}" is not FROM-TO, such as 100-499`);
  const [from, last] = [Number(match[1]), Number(match[2])];
  if (last < from || last >= frames) {
    throw new UsageError(`--frames: ${text} is no range of the ${frames} frames, which count from 0 to ${frames - 1}`);
  }
  return [from, last + 1];
}

function labels(option: string, text: string, known: readonly string[]): readonly string[] {
  const wanted = text
    .split(',')
    .map((label) => label.trim())
    .filter((label) => label !== '');
  for (const label of wanted) {
    if (known.includes(label)) continue;
    const near = nearestOf(label, known);
    throw new UsageError(`${option}: no point is named "${label}"${near === null ? '' : `; did you mean ${near}?`}`);
  }
  return wanted;
}

function groupNames(text: string, known: readonly string[]): readonly string[] {
  const wanted = text.split(',').map((name) => name.trim().toUpperCase());
  for (const name of wanted) {
    if (known.includes(name)) continue;
    const near = nearestOf(name, known);
    throw new UsageError(`--drop-groups: no group is named "${name}"${near === null ? '' : `; did you mean ${near}?`}`);
  }
  return wanted;
}

/** What was done, one line a thing. */
function textOf({ file, report, bytes }: RewriteRun, out: string): string {
  const { from, to, names } = report;
  const unit = file.units.length === 1 && file.units[0] !== '' ? ` ${file.units[0]}` : '';
  const lines = [
    `${out}: ${bytes} bytes`,
    `encoding: ${from.processor} ${from.form} -> ${to.processor} ${to.form}`,
    `points: ${file.points} -> ${report.points}`,
    `frames: ${file.frames} -> ${report.frames}, the first is number ${report.firstFrame}`,
  ];
  if (report.step !== null) lines.push(`integer step of the coordinates: ${formatFixed(report.step, 6)}${unit}`);
  if (report.residualsRescaled) lines.push('residuals: converted to the new step');
  for (const { channel, step } of report.analogSteps) {
    lines.push(`integer step of channel ${file.analog.labels[channel] || channel + 1}: ${formatFixed(step, 9)}`);
  }
  if (report.pointsLeftOut.length > 0) lines.push(`points left out: ${report.pointsLeftOut.join(', ')}`);
  if (report.eventsLeftOut.length > 0) lines.push(`events left out: ${report.eventsLeftOut.join(', ')}`);
  if (file.rotations > 0) lines.push(`rotations: ${file.rotations}`);
  if (report.groupsLeftOut.length > 0) lines.push(`groups left out: ${report.groupsLeftOut.join(', ')}`);
  if (names.removed.length > 0) lines.push(`names removed: ${names.removed.join(', ')}`);
  if (names.prefixed.length > 0) lines.push(`prefixes of labels removed: ${names.prefixed.join(', ')}`);
  if (names.descriptions > 0) lines.push(`descriptions of parameters emptied: ${names.descriptions}`);
  if (names.otherGroups.length > 0) {
    lines.push(`groups kept that the format does not define (see --drop-groups): ${names.otherGroups.join(', ')}`);
  }
  if (report.changed.length > 0) lines.push(`parameters adapted: ${report.changed.join(', ')}`);
  if (report.notHeldCount > 0) lines.push(`samples that the new form lacks: ${report.notHeldCount}`);
  return `${lines.join('\n')}\n`;
}
