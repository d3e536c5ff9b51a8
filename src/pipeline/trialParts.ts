import type { PlayerComparison } from '../model/comparison.ts';
import type { DayOutcome } from '../model/swingRecord.ts';

/** What is known of a trial beside its outcome. */
export interface TrialAbout {
  readonly source: 'markers' | 'sensors';
  /** Trial id of the sensors' still pose that counts for it, or null. */
  readonly still: string | null;
}

/**
 * The part of its player that each trial stands in: that of its source and, of sensors, of its still pose; a trial whose still pose has
 * no used swing stands in the player's first part of its source, or in the first there is. A part is given by the player's first
 * comparison of it.
 */
export function partsOfTrials(
  outcomes: readonly DayOutcome[],
  comparisons: readonly PlayerComparison[],
  about: (outcome: DayOutcome) => TrialAbout,
): ReadonlyMap<string, PlayerComparison> {
  const out = new Map<string, PlayerComparison>();
  for (const outcome of outcomes) {
    const own = comparisons.filter(({ player, name }) => player === outcome.player && (name ?? '') === '');
    const { record } = outcome;
    const { source, still } = about(outcome);
    const ofSource = own.filter(({ part }) => part.source === source);
    const part =
      source === 'markers'
        ? undefined
        : (ofSource.find((one) => record !== null && one.part.datum?.id === record.datum.id) ??
          ofSource.find((one) => still !== null && one.part.calibration?.still === still));
    const chosen = part ?? ofSource[0] ?? own[0];
    if (chosen !== undefined) out.set(outcome.trial, chosen);
  }
  return out;
}

/** The player's first comparison of the same part: itself, where it has no name. */
export function firstOfPart(comparison: PlayerComparison, all: readonly PlayerComparison[]): PlayerComparison {
  if ((comparison.name ?? '') === '') return comparison;
  const own = all.filter(({ player, name }) => player === comparison.player && (name ?? '') === '');
  return own.find(({ part }) => part.label === comparison.part.label) ?? own[0] ?? comparison;
}
