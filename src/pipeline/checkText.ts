/** A checked day as lines for the screen, and as JSON. */
import type { CheckedTrial, DayCheck, SideCount } from './checkDay.ts';

const WIDTH = 9;

/** A line a trial, what is not there yet, the usable swings of each player, and what to capture again first. */
export function checkText(check: DayCheck): string {
  const { trials, sides, needed, advised, captureAgain, waiting } = check;
  const players = [...new Set(sides.map(({ player }) => player))];
  const again = captureAgain.map((text, i) => `  ${i + 1}. ${text}`);
  const lines = [
    ...trials.map(trialLine),
    ...waiting.map((text) => `${'waiting'.padEnd(WIDTH)}${text}`),
    `usable swings (${needed} needed for a verdict, ${advised} advised):`,
    ...players.map(
      (player) =>
        `  ${player}: ${sides
          .filter((side) => side.player === player)
          .map(countText)
          .join(', ')}`,
    ),
    ...(again.length === 0 ? ['nothing has to be captured again'] : ['capture again first:', ...again]),
  ];
  return `${lines.map((line) => line.replace(/[\r\n\t]+/g, ' ')).join('\n')}\n`;
}

function trialLine({ verdict, trial, why }: CheckedTrial): string {
  return `${verdict.padEnd(WIDTH)}${trial}${why === '' ? '' : `: ${why}`}`;
}

function countText({ side, usable, doubted }: SideCount): string {
  return `${side} ${usable}${doubted.length === 0 ? '' : ` (${doubted.length} with a doubt)`}`;
}

/** One object; keys always present, names in snake case as in run.json. */
export function checkJson({ day, trials, sides, needed, advised, captureAgain, waiting }: DayCheck): string {
  const out = {
    day,
    trials: trials.map(({ whatToDo, ...rest }) => ({ ...rest, what_to_do: whatToDo })),
    usable_swings: { needed, advised, sides },
    capture_again: captureAgain,
    waiting,
  };
  return `${JSON.stringify(out, null, 2)}\n`;
}
