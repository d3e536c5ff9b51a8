import { join, relative } from 'node:path';
import type { PlayerComparison } from '../model/comparison.ts';
import { headlineOf } from '../pipeline/headline.ts';

/** 'wren, sensors: At the top …': one line a comparison. */
export function findingLine(comparison: PlayerComparison): string {
  const { player, part, name } = comparison;
  const which = [player, part.label, name ?? ''].filter((text) => text !== '').join(', ');
  return `${which}: ${headlineOf(comparison)}`;
}

/** A file below the output folder, as short as it can be said from where the user is. */
export function shownBelow(out: string, file: string): string {
  const shown = relative(process.cwd(), out);
  return join(shown === '' ? '.' : shown.startsWith('..') ? out : shown, file);
}
