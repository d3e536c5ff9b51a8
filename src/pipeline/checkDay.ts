/** The quality part of a day alone, for use while the players are still there: which swings are usable, and what to capture again first. */
import { compareCodeUnits } from '../base/text.ts';
import { GATE_QUANTITIES } from '../compare/gateReadings.ts';
import { FEWEST_SWINGS } from '../compare/methods.ts';
import { DRIVER, IRONS, isSelected } from '../compare/swings.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import type { DayPlan } from '../model/dayPlan.ts';
import { gateRule } from '../model/gateRules.ts';
import type { GateReason } from '../model/gates.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import { MAIN } from '../model/swingSelector.ts';
import { outlyingText } from '../report/sentences/doubts.ts';
import { EN } from '../report/words/en.ts';
import { analyseTrials, byPlayer, type DayProgress, type JudgedDay, judgedResult, runnerFor } from './analyseDay.ts';
import { analyseTrial } from './analyseTrial.ts';
import { ADVISED_SWINGS, captureAgain } from './captureAgain.ts';
import { aboutTrials } from './dayView.ts';
import type { DayIo } from './io.ts';
import { pointOut } from './judgeDay.ts';
import { recordFrom } from './swingBrief.ts';

/** One trial: whether it can be used, why not or with what doubt, and what to do. */
export interface CheckedTrial {
  readonly trial: string;
  readonly player: string;
  readonly club: string | null;
  readonly set: string;
  readonly verdict: 'ok' | 'review' | 'reject' | 'failed' | 'left-out';
  /** '' where there is nothing to say. */
  readonly why: string;
  readonly whatToDo: string;
}

/** Usable swings of one side of a player's comparison. */
export interface SideCount {
  readonly player: string;
  /** 'driver', 'irons'; with its source where the player has recordings of both. */
  readonly side: string;
  readonly usable: number;
  /** Swings of the side that are rejected or failed, by trial id. */
  readonly lost: readonly string[];
  /** Swings of the side that are used with a doubt. */
  readonly doubted: readonly string[];
}

export interface DayCheck {
  readonly day: string;
  /** By trial id. */
  readonly trials: readonly CheckedTrial[];
  readonly sides: readonly SideCount[];
  /** Fewest swings of a side for a verdict, and how many are advised (definitions 8). */
  readonly needed: number;
  readonly advised: number;
  /** What to capture again, what hurts the comparison most first; empty where nothing is needed. */
  readonly captureAgain: readonly string[];
  /** What the day file names and is not there yet. */
  readonly waiting: readonly string[];
}

/** Checks the trials that there are. Never throws for what a file holds; an error of `pause` passes through. */
export async function checkDay(
  plan: DayPlan,
  io: DayIo,
  waiting: readonly string[],
  onProgress: (progress: DayProgress) => void = () => {},
): Promise<DayCheck> {
  const primary = plan.compare.primary.map((key) => key.slice(0, key.indexOf('@')));
  const needed = new Set([...GATE_QUANTITIES, ...primary]);
  const catalogue = CATALOGUE.filter(({ id }) => needed.has(id));
  const options = {
    orders: [],
    strict: false,
    analyse: (...[trial, own, ws]: Parameters<typeof analyseTrial>) => analyseTrial(trial, own, ws, catalogue),
  };
  const runner = runnerFor(io, options);
  const found = await analyseTrials(plan, io, { ...options, runner }, () => true, onProgress);
  const day = judgedResult(plan, io, found, runner.shelf);
  const own = byPlayer(day.outcomes);
  const outcomes = [...own.values()]
    .flatMap((player) => outlyingOf(day, player))
    .sort((a, b) => compareCodeUnits(a.trial, b.trial));
  const sides = sidesOf(plan, outcomes);
  const trials = outcomes.map(checked);
  return {
    day: plan.day,
    trials,
    sides,
    needed: FEWEST_SWINGS,
    advised: ADVISED_SWINGS,
    captureAgain: captureAgain(plan.players, trials, sides),
    waiting,
  };
}

/** The outcomes of one player with what stands apart among them. */
function outlyingOf({ plan, shelf }: JudgedDay, own: readonly DayOutcome[]): readonly DayOutcome[] {
  const records = own.flatMap((outcome) => recordFrom(shelf, outcome) ?? []);
  return pointOut(own, records, plan.compare);
}

function checked({ trial, player, club, set, status, reason, gate, outlying }: DayOutcome): CheckedTrial {
  const of = { trial, player, club, set };
  if (status === 'left-out') return { ...of, verdict: 'left-out', why: reason, whatToDo: '' };
  if (status === 'failed') return { ...of, verdict: 'failed', why: reason, whatToDo: '' };
  const reasons = gate?.reasons ?? [];
  if (status === 'rejected') {
    const decisive = gate?.setBy === 'rules' ? reasons.filter(({ level }) => level === 'reject') : [];
    return {
      ...of,
      verdict: 'reject',
      why: decisive.length > 0 ? textOf(decisive) : reason,
      whatToDo: wayOutOf(decisive),
    };
  }
  const apart = outlying === undefined ? [] : [outlyingText(EN, outlying)];
  if (gate?.verdict === 'review') {
    return { ...of, verdict: 'review', why: [textOf(reasons), ...apart].join('; '), whatToDo: wayOutOf(reasons) };
  }
  const byHand = gate?.setBy === 'day file' ? [`accepted by hand${gate.note === '' ? '' : `: ${gate.note}`}`] : [];
  return { ...of, verdict: 'ok', why: [...byHand, ...apart].join('; '), whatToDo: '' };
}

function textOf(reasons: readonly GateReason[]): string {
  return reasons.map(({ text }) => text).join('; ');
}

function wayOutOf(reasons: readonly GateReason[]): string {
  return [...new Set(reasons.map(({ rule }) => gateRule(rule).whatToDo))].join(' ');
}

/** Both sides of each player's first comparison and of the further ones, each once; markers and sensors apart. */
function sidesOf(plan: DayPlan, outcomes: readonly DayOutcome[]): readonly SideCount[] {
  const main = plan.groups?.find(({ name }) => name === MAIN);
  const further = (plan.groups ?? []).filter(({ name }) => name !== MAIN);
  const first = main === undefined ? [DRIVER, IRONS] : [main.of, main.against];
  const selectors = [...first, ...further.flatMap(({ of, against }) => [of, against])];
  const once = selectors.filter((one, i) => selectors.findIndex(({ label }) => label === one.label) === i);
  const about = aboutTrials(plan);
  const swings = outcomes.filter(({ role, status }) => role === 'swing' && status !== 'left-out');
  return plan.players.flatMap((player) => {
    const own = swings.filter((outcome) => outcome.player === player.id);
    const sources = [...new Set(own.map((outcome) => about(outcome).source))].sort();
    return (sources.length === 0 ? ['markers'] : sources).flatMap((source) =>
      once.map((selector) => {
        const label = sources.length > 1 ? `${selector.label} (${source})` : selector.label;
        const side = own.filter((one) => about(one).source === source && isSelected(one, plan.clubs, selector));
        return sideCount(player.id, label, side);
      }),
    );
  });
}

function sideCount(player: string, side: string, swings: readonly DayOutcome[]): SideCount {
  const of = (wanted: (outcome: DayOutcome) => boolean): string[] => swings.filter(wanted).map(({ trial }) => trial);
  return {
    player,
    side,
    usable: of(({ status }) => status === 'used').length,
    lost: of(({ status }) => status !== 'used'),
    doubted: of(({ status, gate }) => status === 'used' && gate?.verdict === 'review'),
  };
}
