import { join, relative } from 'node:path';
import type { PlayerComparison } from '../model/comparison.ts';
import { headlineOf } from '../pipeline/headline.ts';
import { orderSentences } from '../pipeline/renderOrders.ts';

/** 'wren, sensors: At the top …': one line a comparison. */
export function findingLine(comparison: PlayerComparison): string {
  return `${whichOf(comparison)}: ${headlineOf(comparison)}`;
}

/** 'wren: order of axes of thorax: 4 of 30 verdicts …': one line a segment or joint whose orders were asked for. */
export function orderLines(comparisons: readonly PlayerComparison[]): readonly string[] {
  return comparisons.flatMap((one) => orderSentences(one).map((sentence) => `${whichOf(one)}: ${sentence}`));
}

function whichOf({ player, part, name }: PlayerComparison): string {
  return [player, part.label, name ?? ''].filter((text) => text !== '').join(', ');
}

/** A file below the output folder, as short as it can be said from where the user is. */
export function shownBelow(out: string, file: string): string {
  const shown = relative(process.cwd(), out);
  return join(shown === '' ? '.' : shown.startsWith('..') ? out : shown, file);
}
