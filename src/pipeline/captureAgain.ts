/** What to capture again while the players are still there, what hurts the comparison most first. */
import { FEWEST_SWINGS } from '../compare/methods.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { CheckedTrial, SideCount } from './checkDay.ts';

/** 8 and 8 swings settle 6° in 81 of 100 cases at a standard deviation of 2° (definitions 8, simulated). */
export const ADVISED_SWINGS = 8;

/**
 * One line each, in this order: static trials and still poses that cannot be used, since every swing of their player rests on them; sides with too few
 * swings for a verdict, the poorest first; swings in use with a doubt, those of the poorest sides first; sides with fewer swings than
 * advised. Sides nobody has swung yet, of a player who has swung the other, count as poor ones.
 */
export function captureAgain(
  players: readonly Pick<PlayerPlan, 'id' | 'static' | 'still'>[],
  trials: readonly CheckedTrial[],
  sides: readonly SideCount[],
): readonly string[] {
  const byId = new Map(trials.map((trial) => [trial.trial, trial]));
  const poorest = [...sides].sort((a, b) => a.usable - b.usable);
  const few = poorest.filter(({ usable }) => usable < FEWEST_SWINGS);
  const short = poorest.filter(({ usable }) => usable >= FEWEST_SWINGS && usable < ADVISED_SWINGS);
  return [
    ...poses(players, byId),
    ...few.map((side) => fewText(side, byId)),
    ...[...new Set(poorest.flatMap(({ doubted }) => doubted))].map((trial) => doubtText(byId.get(trial)!)),
    ...short.map(({ player, side, usable }) => `${player}, ${side}: ${usable} usable, ${advisedText(usable)}`),
  ];
}

function poses(
  players: readonly Pick<PlayerPlan, 'id' | 'static' | 'still'>[],
  byId: ReadonlyMap<string, CheckedTrial>,
): readonly string[] {
  return players.flatMap(({ id, static: standing, still }) =>
    [standing, still].flatMap((name) => {
      const trial = name === null ? undefined : byId.get(name);
      if (trial === undefined || (trial.verdict !== 'failed' && trial.verdict !== 'reject')) return [];
      return [`${trial.trial}, on which every swing of ${id} rests: ${trial.why}`];
    }),
  );
}

function fewText({ player, side, usable, lost }: SideCount, byId: ReadonlyMap<string, CheckedTrial>): string {
  const missing = FEWEST_SWINGS - usable;
  const why = lost.map((trial) => `${trial} (${byId.get(trial)!.why})`);
  const said = why.length === 0 ? '' : `; lost: ${why.join(', ')}`;
  return `${player}, ${side}: ${usable} usable, ${missing} more for a verdict, ${advisedText(usable)}${said}`;
}

function advisedText(usable: number): string {
  return `${ADVISED_SWINGS - usable} more to the ${ADVISED_SWINGS} that are advised`;
}

function doubtText({ trial, why, whatToDo }: CheckedTrial): string {
  return `${trial}: ${why}. ${whatToDo}`;
}
