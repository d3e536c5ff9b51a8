/** What `inspect` finds, for people: a few lines a file. */
import { formatFixed } from '../base/format.ts';
import type { AnglesBetween } from './anglesBetween.ts';
import type { FailedInspection, Inspection, SensorInspection } from './inspection.ts';

export function inspectionText(one: Inspection | FailedInspection): string {
  if ('error' in one) {
    const message = one.error.message.startsWith(one.file) ? one.error.message : `${one.file}: ${one.error.message}`;
    return `${message} [${one.error.code}]\n`;
  }
  const lines = [one.file, ...(one.processor === null ? tableLines(one) : c3dLines(one))];
  for (const sensor of one.sensors) lines.push(...sensorLines(sensor));
  for (const event of one.events) {
    const context = event.context === '' ? '' : ` (${event.context})`;
    lines.push(`  event ${event.label}${context} at ${formatFixed(event.time_s, 5)} s, frame ${event.frame}`);
  }
  if (one.angles !== undefined) lines.push(...angleLines(one.angles));
  for (const question of one.questions) lines.push(`  a day would ask for ${question}`);
  for (const { severity, code, message, offset } of one.diagnostics) {
    lines.push(`  ${severity}: ${message}${offset === null ? '' : ` (at byte ${offset})`} [${code}]`);
  }
  return `${lines.join('\n')}\n`;
}

function c3dLines(one: Inspection): readonly string[] {
  const rate = one.rate_Hz === null ? 'rate unknown' : `${trimmed(one.rate_Hz)} Hz`;
  const frames = one.frames ?? 0;
  const seconds = one.rate_Hz === null ? '' : `, ${formatFixed(frames / one.rate_Hz, 2)} s`;
  const known = new Set(one.landmarks.map(({ label }) => label));
  const others = one.labels.filter((label) => label !== '' && !known.has(label));
  return [
    `  ${one.bytes} bytes, ${one.processor}, ${one.form}`,
    `  ${one.points} points × ${frames} frames (first ${one.firstFrame}), ${rate}${seconds}, units ${one.units ?? 'unknown'}`,
    `  ${one.analogChannels} analog channels × ${one.analogSamplesPerFrame} samples a frame, ${one.rotations} rotations`,
    `  up ${one.up ?? 'unknown'}, target ${one.target === null ? 'unknown' : `${one.target} by the feet`}`,
    `  landmarks (${one.landmarks.length}): ${one.landmarks.map(pairText).join(' ') || 'none recognised'}`,
    ...(one.rotationLabels.length > 0 ? [`  rotation labels: ${one.rotationLabels.join(' ')}`] : []),
    ...(others.length > 0 ? [`  other labels (${others.length}): ${others.join(' ')}`] : []),
  ];
}

function tableLines(one: Inspection): readonly string[] {
  const tables = new Set(one.sensors.map(({ file }) => file)).size;
  const sensors = count(one.sensors.length, 'sensor');
  return [`  ${one.bytes} bytes, ${sensors} in ${count(tables, 'table')}`];
}

function sensorLines(one: SensorInspection): readonly string[] {
  const rate = one.rate_Hz === null ? 'rate unknown' : `${trimmed(one.rate_Hz)} Hz`;
  const span = one.span_s === null ? '' : `, ${formatFixed(one.span_s, 2)} s`;
  const lines = [
    `  sensor ${one.name}: place ${one.place ?? 'unknown'}, ${count(one.samples, 'sample')}, ${rate}${span}`,
  ];
  const { columns } = one;
  const parts: string[] = [];
  if (columns.time !== null) parts.push(`time ${columns.time} in ${one.timeUnit ?? 'an unknown unit'}`);
  if (columns.gyro !== null) parts.push(`gyro ${columns.gyro.join(' ')} in ${one.gyroUnit ?? 'an unknown unit'}`);
  if (columns.acc !== null) {
    parts.push(`accelerometer ${columns.acc.join(' ')} in ${one.accUnit ?? 'an unknown unit'}`);
  }
  if (columns.mag !== null) parts.push(`magnetometer ${columns.mag.join(' ')}`);
  if (columns.quaternion !== null) parts.push(`quaternion ${columns.quaternion.join(' ')}`);
  if (columns.trigger !== null) parts.push(`trigger ${columns.trigger}`);
  if (parts.length > 0) lines.push(`    ${parts.join(', ')}`);
  const facts: string[] = [];
  if (one.fastest_degPerS !== null) facts.push(`fastest ${formatFixed(one.fastest_degPerS, 0)}°/s`);
  if (one.gravity_mPerS2 !== null) facts.push(`gravity at rest ${formatFixed(one.gravity_mPerS2, 3)} m/s²`);
  else if (columns.acc !== null) facts.push('no rest found to see gravity');
  if (one.samplesDropped > 0) {
    facts.push(`${one.samplesDropped} samples dropped (longest step ${formatFixed(one.longestStep_s, 4)} s)`);
  }
  if (one.stampsDropped > 0) facts.push(`${one.stampsDropped} rows without a usable time`);
  if (one.clippedGyro > 0) facts.push(`gyro at its limit in ${count(one.clippedGyro, 'sample')}`);
  if (one.clippedAcc > 0) facts.push(`accelerometer at its limit in ${count(one.clippedAcc, 'sample')}`);
  if (facts.length > 0) lines.push(`    ${facts.join(', ')}`);
  if (one.quaternions !== null && columns.quaternion !== null) lines.push(`    quaternions ${one.quaternions}`);
  for (const problem of one.problems) lines.push(`    a day would ask for ${problem}`);
  return lines;
}

function angleLines(one: AnglesBetween): readonly string[] {
  const { parent, child, order, frames, missing, nearSingular } = one;
  const near = nearSingular === 0 ? '' : `, ${nearSingular} within 10° of where ${order} is singular`;
  const degrees = (value: number | null): string => (value === null ? 'missing' : `${formatFixed(value, 2)}°`);
  return [
    `  angles of ${child} in ${parent}, order ${order}: ${frames} frames, ${missing} missing${near}`,
    ...one.angles.map(
      ({ axis, min_deg, mean_deg, max_deg }) =>
        `    about ${axis}: min ${degrees(min_deg)}, mean ${degrees(mean_deg)}, max ${degrees(max_deg)}`,
    ),
  ];
}

function pairText({ name, label }: { readonly name: string; readonly label: string }): string {
  return name === label ? name : `${name}=${label}`;
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}

function trimmed(value: number): string {
  return formatFixed(value, 3).replace(/\.?0+$/, '');
}
