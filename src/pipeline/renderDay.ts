/** Results of a day as the files of the output folder. Swings are gone through one by one, then players one by one: no more is held than what is being made. */
import { compareCodeUnits } from '../base/text.ts';
import { type RepeatabilitySwing, repeatabilityOf } from '../compare/repeatability.ts';
import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import type { DayOutcome, SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { storedStillText } from '../tables/storedRecord.ts';
import { byPlayer, type JudgedDay } from './analyseDay.ts';
import { copyFiles } from './copyFiles.ts';
import { DayTables } from './dayTables.ts';
import type { Finding } from './headline.ts';
import { type PartRenderer, rendererHere } from './partRenderer.ts';
import type { PlayerPart } from './playerOutput.ts';
import { type DayIndex, type Output, type OutputFile, startIndex } from './renderReport.ts';
import { type RunInput, type RunOptions, runRecordText } from './runRecord.ts';
import { recordFrom } from './swingBrief.ts';
import { dataPackageFile, workbookOf } from './tableFiles.ts';

export type { OutputFile } from './renderReport.ts';

/** What is known of a day once its players are compared. */
export interface DayEnd {
  /** By trial id, with what stands apart. */
  readonly outcomes: readonly DayOutcome[];
  /** In the order of the players in the day file. */
  readonly findings: readonly Finding[];
}

/** Used swings and players: those that are written, and all. */
export interface Written {
  readonly done: number;
  readonly total: number;
}

export interface RenderTools {
  /** Gives the swings at every frame, one at a time; without it nothing that is made of them is written. */
  readonly seriesOf?: SeriesOf;
  /** Where swings and players are made ready; absent: in this thread. Nothing of a result depends on it. */
  readonly renderer?: PartRenderer;
  /** Told how far the writing is, first before it begins. */
  readonly onWritten?: (written: Written) => void;
  /** Told what came of the day before the last files are written. */
  readonly onEnd?: (end: DayEnd) => void;
}

/** Every file but run.json, then run.json: a folder with a run record is complete. Tables come in pieces, many files at once. */
export async function* streamDay(
  day: JudgedDay,
  inputs: readonly RunInput[],
  options: RunOptions,
  { seriesOf, renderer, onWritten = () => {}, onEnd = () => {} }: RenderTools = {},
): AsyncGenerator<Output> {
  const parts = counted(renderer ?? rendererHere(day.shelf, seriesOf ?? null), day, onWritten);
  const tables = await DayTables.start(options, seriesOf !== undefined);
  const repeated = yield* renderTrials(day, options, { parts, tables, seriesOf: seriesOf ?? (() => null) });
  const { day: name, date, players, report } = day.plan;
  const programVersion = `${day.program.name} ${day.program.version}`;
  const playerIds = players.map(({ id }) => id);
  const settings = report ?? DEFAULT_REPORT;
  const index = await startIndex({ day: name, date, outcomes: day.outcomes, programVersion, playerIds, settings });
  const end = yield* renderPlayers(day, options, { parts, tables, index });
  onEnd(end);
  yield* tables.rest({ outcomes: end.outcomes, repeatability: repeatabilityOf(repeated) });
  const formats = options.tables ?? [];
  const written = tables.written();
  yield dataPackageFile('swingbasis-day', written, formats);
  yield* workbookOf(tables.sheets(), formats);
  yield index.page(written, options.reload_s?.() ?? null);
  yield { path: 'run.json', text: [runRecordText({ ...day, outcomes: end.outcomes }, inputs, options)] };
}

/** The same parts, with how far they are told. A part counts as written when the next one is asked for. */
function counted(
  parts: PartRenderer,
  { plan, outcomes }: JudgedDay,
  onWritten: (written: Written) => void,
): PartRenderer {
  const total = outcomes.filter(({ record }) => record !== null).length + plan.players.length;
  let done = 0;
  onWritten({ done, total });
  async function* told<T>(outputs: AsyncIterable<T>): AsyncGenerator<T> {
    for await (const output of outputs) {
      yield output;
      done += 1;
      onWritten({ done, total });
    }
  }
  return {
    swings: (swings, options) => told(parts.swings(swings, options)),
    players: (players) => told(parts.players(players)),
  };
}

/** The same with every file in one piece, one after the other: for days that fit into memory. */
export async function* renderDay(
  day: JudgedDay,
  inputs: readonly RunInput[],
  options: RunOptions,
  tools: RenderTools = {},
): AsyncGenerator<OutputFile> {
  const begun = new Map<string, (string | Uint8Array)[]>();
  for await (const file of streamDay(day, inputs, options, tools)) {
    if ('text' in file) {
      yield file;
      continue;
    }
    const text = begun.get(file.path) ?? [];
    text.push(file.piece);
    begun.set(file.path, text);
    if (file.isLast === true) yield { path: file.path, text };
  }
}

/** Every swing by itself, by trial id: its rows, its record, its figures; then the static trials. What the table of repeatability takes of them. */
async function* renderTrials(
  day: JudgedDay,
  options: RunOptions,
  { parts, tables, seriesOf }: { parts: PartRenderer; tables: DayTables; seriesOf: SeriesOf },
): AsyncGenerator<Output, readonly RepeatabilitySwing[]> {
  const { plan, outcomes, program } = day;
  const { curves, tables: formats = [], orderCheck = [], residuals = false } = options;
  const repeated: RepeatabilitySwing[] = [];
  // no function: it can be sent to a thread
  const asked = { curves, tables: formats, orderCheck, residuals, ...reportOf(plan) };
  for await (const swing of parts.swings(outcomes, asked)) {
    yield* tables.add(swing.rows);
    yield* swing.files;
    repeated.push(...swing.repeated);
  }
  yield* tables.endSwings();
  yield* copyFiles(readOneByOne(day), seriesOf, formats, { day: plan.day, players: plan.players, program });
  for (const { trial, still } of outcomes) {
    if (still != null) yield { path: `trials/${trial}.json`, text: [storedStillText(still)] };
  }
  return repeated;
}

function reportOf({ report }: JudgedDay['plan']): Pick<JudgedDay['plan'], 'report'> {
  return report === undefined ? {} : { report };
}

/** The records of the used swings by trial id, read anew each time that they are gone through. */
function readOneByOne({ outcomes, shelf }: JudgedDay): Iterable<SwingRecord> {
  return {
    *[Symbol.iterator]() {
      for (const outcome of outcomes) {
        const record = recordFrom(shelf, outcome);
        if (record !== null) yield record;
      }
    },
  };
}

/** Every player by itself, in the order of the tables: comparisons, sheets and pages. */
async function* renderPlayers(
  day: JudgedDay,
  options: RunOptions,
  { parts, tables, index }: { parts: PartRenderer; tables: DayTables; index: DayIndex },
): AsyncGenerator<Output, DayEnd> {
  const players = [...day.plan.players].sort((a, b) => compareCodeUnits(a.id, b.id));
  const outcomes = new Map(day.outcomes.map((outcome) => [outcome.trial, outcome]));
  const findings = new Map<string, readonly Finding[]>();
  for await (const output of parts.players(playerParts(day, players, options, index))) {
    yield* tables.add(output.rows);
    yield* output.files;
    for (const part of output.index) index.add(part);
    for (const [trial, outlying] of output.outlying) outcomes.set(trial, { ...outcomes.get(trial)!, outlying });
    findings.set(output.player, output.findings);
  }
  return {
    outcomes: [...outcomes.values()],
    findings: day.plan.players.flatMap(({ id }) => findings.get(id) ?? []),
  };
}

/** Of the plan every player gets the trials that are the player's own. */
function* playerParts(
  { plan, outcomes, program }: JudgedDay,
  players: JudgedDay['plan']['players'],
  { curves, tables = [], figures = false, orders, orderCheck = [] }: RunOptions,
  { filter }: DayIndex,
): Generator<PlayerPart> {
  const own = byPlayer(outcomes);
  const trials = byPlayer(plan.trials);
  // no function: a part can be sent to a thread
  const options = { curves, tables, figures, orders, orderCheck };
  for (const player of players) {
    yield {
      plan: { ...plan, players: [player], trials: trials.get(player.id) ?? [] },
      program,
      player,
      own: own.get(player.id) ?? [],
      options,
      filter,
    };
  }
}
