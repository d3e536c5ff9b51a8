/** Results of a day as the files of the output folder. Swings are gone through one by one, then players one by one: no more is held at a time. */
import { compareCodeUnits } from '../base/text.ts';
import { type RepeatabilitySwing, repeatabilityOf, repeatabilitySwing } from '../compare/repeatability.ts';
import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import type { DayOutcome, SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { storedRecordText, storedStillText } from '../tables/storedRecord.ts';
import { byPlayer, comparedPlayer, type JudgedDay } from './analyseDay.ts';
import { copyFiles } from './copyFiles.ts';
import { DayTables } from './dayTables.ts';
import { playerViews } from './dayView.ts';
import { type Finding, findingOf } from './headline.ts';
import { renderFigures } from './renderFigures.ts';
import { renderOrders } from './renderOrders.ts';
import { type DayIndex, type Output, type OutputFile, playerFiles, startIndex } from './renderReport.ts';
import { renderResidualFigures } from './renderResiduals.ts';
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

export interface RenderTools {
  /** Gives the swings at every frame, one at a time; without it nothing that is made of them is written. */
  readonly seriesOf?: SeriesOf;
  /** Told what came of the day before the last files are written. */
  readonly onEnd?: (end: DayEnd) => void;
}

/** Every file but run.json, then run.json: a folder with a run record is complete. Tables come in pieces, many files at once. */
export async function* streamDay(
  day: JudgedDay,
  inputs: readonly RunInput[],
  options: RunOptions,
  { seriesOf, onEnd = () => {} }: RenderTools = {},
): AsyncGenerator<Output> {
  const tables = await DayTables.start(options, seriesOf ?? null);
  const repeated: RepeatabilitySwing[] = [];
  yield* renderTrials(day, options, { tables, repeated, seriesOf: seriesOf ?? (() => null) });
  const { day: name, date, players, report } = day.plan;
  const programVersion = `${day.program.name} ${day.program.version}`;
  const playerIds = players.map(({ id }) => id);
  const settings = report ?? DEFAULT_REPORT;
  const index = await startIndex({ day: name, date, outcomes: day.outcomes, programVersion, playerIds, settings });
  const end = yield* renderPlayers(day, options, tables, index);
  onEnd(end);
  yield* tables.rest({ outcomes: end.outcomes, repeatability: repeatabilityOf(repeated) });
  const formats = options.tables ?? [];
  const written = tables.written();
  yield dataPackageFile('swingbasis-day', written, formats);
  yield* workbookOf(tables.sheets(), formats);
  yield index.page(written, options.reload_s?.() ?? null);
  yield { path: 'run.json', text: [runRecordText({ ...day, outcomes: end.outcomes }, inputs, options)] };
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

/** Every swing by itself, by trial id: its rows, its record, its figures; then the static trials. */
async function* renderTrials(
  day: JudgedDay,
  options: RunOptions,
  { tables, repeated, seriesOf }: { tables: DayTables; repeated: RepeatabilitySwing[]; seriesOf: SeriesOf },
): AsyncGenerator<Output> {
  const { plan, outcomes, program } = day;
  for (const record of readOneByOne(day)) {
    yield* tables.swing(record);
    yield { path: `trials/${record.head.trial}.json`, text: [storedRecordText(record)] };
    if (options.residuals === true) yield* renderResidualFigures([record], plan.report);
    repeated.push(...repeatabilitySwing(record));
  }
  yield* tables.endSwings();
  yield* copyFiles(readOneByOne(day), seriesOf, options.tables ?? [], {
    day: plan.day,
    players: plan.players,
    program,
  });
  for (const { trial, still } of outcomes) {
    if (still != null) yield { path: `trials/${trial}.json`, text: [storedStillText(still)] };
  }
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
  tables: DayTables,
  index: DayIndex,
): AsyncGenerator<Output, DayEnd> {
  const { players } = day.plan;
  const outcomes = new Map(day.outcomes.map((outcome) => [outcome.trial, outcome]));
  const findings = new Map<string, readonly Finding[]>();
  const own = byPlayer(day.outcomes);
  for (const player of [...players].sort((a, b) => compareCodeUnits(a.id, b.id))) {
    const result = comparedPlayer(day, player, own.get(player.id) ?? [], options);
    for (const comparison of result.comparisons) yield* tables.comparison(comparison);
    const view = playerViews(day, result, options.orders);
    for (const shown of view.players) {
      yield* playerFiles(shown);
      index.add(shown);
    }
    if (options.figures === true) yield* renderFigures(view);
    if ((options.orderCheck ?? []).length > 0) yield* renderOrders(view);
    for (const { trial, outlying } of result.outcomes) {
      if (outlying !== undefined) outcomes.set(trial, { ...outcomes.get(trial)!, outlying });
    }
    findings.set(player.id, result.comparisons.map(findingOf));
  }
  return { outcomes: [...outcomes.values()], findings: players.flatMap(({ id }) => findings.get(id) ?? []) };
}
