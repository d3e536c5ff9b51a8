/** The trials that calibrate a player: the static trial of the markers and the still poses of the sensors. */
import type { TrialPlan } from '../model/dayPlan.ts';
import type { DayFile } from '../model/daySchema.ts';
import { tidyPath } from './patterns.ts';
import { type PlanContext, suggestion } from './planContext.ts';
import { isSensorPath } from './sensorFiles.ts';

type Player = DayFile['players'][number];

/** True for trials that are sensors by what is said of them or by their name; C3D files otherwise count as markers here. */
export function countsAsSensors(trial: Pick<TrialPlan, 'file' | 'source'>): boolean {
  return trial.source === 'sensors' || (trial.source === null && isSensorPath(trial.file));
}

function findTrial(trials: readonly TrialPlan[], name: string): TrialPlan | undefined {
  const wanted = tidyPath(name);
  return trials.find((trial) => trial.id === wanted) ?? trials.find((trial) => trial.file === wanted);
}

/** A named trial of the player, or undefined after saying why not. `what` as in 'the static trial'. */
function namedTrial(
  name: string,
  player: string,
  what: string,
  trials: readonly TrialPlan[],
  say: (code: string, message: string) => void,
): TrialPlan | undefined {
  const own = trials.filter((trial) => trial.player === player);
  const found = findTrial(own, name);
  if (found !== undefined) return found;
  const elsewhere = findTrial(trials, name);
  const ids = own.map((trial) => trial.id);
  const why =
    elsewhere === undefined
      ? `no trial of ${player} has the id or file ${name}${suggestion(name, ids)}`
      : `${what} ${name} belongs to the player ${elsewhere.player}`;
  say('unknown-trial', why);
  return undefined;
}

/** The player's static trial of markers: as named (by id or file), or the only one of that role. */
export function staticOf(
  player: Player,
  index: number,
  trials: readonly TrialPlan[],
  context: PlanContext,
): string | null {
  if (player.static === undefined) {
    const candidates = trials.filter(
      (trial) => trial.player === player.id && trial.role === 'static' && trial.use && !countsAsSensors(trial),
    );
    if (candidates.length > 1) {
      const names = candidates.map((trial) => trial.id).join(', ');
      const message = `${player.id} has ${candidates.length} static trials (${names}); name one under static`;
      context.problem(context.place(['players', index]), 'static-not-clear', message);
    }
    return candidates[0]?.id ?? null;
  }
  const say = (code: string, message: string) =>
    context.problem(context.place(['players', index, 'static']), code, message);
  const found = namedTrial(player.static, player.id, 'the static trial', trials, say);
  if (found !== undefined && countsAsSensors(found)) {
    say('static-not-markers', `${player.static} is a recording of sensors: name it under still; static is for markers`);
    return null;
  }
  return found?.id ?? null;
}

/**
 * The still pose of each trial, by trial id: its own setting, else the player's as named, else the only one of role static among the
 * player's recordings of sensors. Several without a name are said where a trial of sensors would need one.
 */
export function stillPoses(
  day: DayFile,
  named: readonly { readonly still: string | undefined; readonly index: number }[],
  trials: readonly TrialPlan[],
  context: PlanContext,
): { readonly ofPlayer: ReadonlyMap<string, string>; readonly ofTrial: ReadonlyMap<string, string> } {
  const ofPlayer = new Map<string, string>();
  const ofTrial = new Map<string, string>();
  trials.forEach((trial, i) => {
    const name = named[i]!.still;
    if (name === undefined) return;
    const place = context.place(['trials', named[i]!.index, 'still']);
    const found = poseNamed(name, trial.player, trials, (code, message) => context.problem(place, code, message));
    if (found !== null) ofTrial.set(trial.id, found);
  });
  day.players.forEach((player, index) => {
    if (player.still !== undefined) {
      const place = context.place(['players', index, 'still']);
      const found = poseNamed(player.still, player.id, trials, (code, message) =>
        context.problem(place, code, message),
      );
      if (found !== null) ofPlayer.set(player.id, found);
      return;
    }
    const own = trials.filter((trial) => trial.player === player.id && trial.use && countsAsSensors(trial));
    const poses = own.filter((trial) => trial.role === 'static');
    const open = own.find((trial) => trial.role !== 'static' && !ofTrial.has(trial.id));
    if (poses.length > 1 && open !== undefined) {
      const names = poses.map((trial) => trial.id).join(', ');
      const message = `${player.id} has ${poses.length} still poses of the sensors (${names}); name one under still, or each trial’s under its own still (${open.id} has none)`;
      context.problem(context.place(['players', index]), 'still-not-clear', message);
    }
    if (poses.length === 1) ofPlayer.set(player.id, poses[0]!.id);
  });
  return { ofPlayer, ofTrial };
}

function poseNamed(
  name: string,
  player: string,
  trials: readonly TrialPlan[],
  say: (code: string, message: string) => void,
): string | null {
  const found = namedTrial(name, player, 'the still pose', trials, say);
  if (found?.source === 'markers') {
    say('still-not-sensors', `${name} is a recording of markers; the still pose is one of sensors`);
    return null;
  }
  return found?.id ?? null;
}
