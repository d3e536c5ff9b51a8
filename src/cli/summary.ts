import { join, relative } from 'node:path';
import type { Finding } from '../pipeline/headline.ts';

/** 'wren, sensors: At the top …': one line a comparison. */
export function findingLine(finding: Finding): string {
  return `${whichOf(finding)}: ${finding.headline}`;
}

/** 'wren: order of axes of thorax: 4 of 30 verdicts …': one line a segment or joint whose orders were asked for. */
export function orderLines(findings: readonly Finding[]): readonly string[] {
  return findings.flatMap((one) => one.orders.map((sentence) => `${whichOf(one)}: ${sentence}`));
}

function whichOf({ player, label, name }: Finding): string {
  return [player, label, name ?? ''].filter((text) => text !== '').join(', ');
}

/** A file below the output folder, as short as it can be said from where the user is. */
export function shownBelow(out: string, file: string): string {
  const shown = relative(process.cwd(), out);
  return join(shown === '' ? '.' : shown.startsWith('..') ? out : shown, file);
}
