import { compareCodeUnits } from '../base/text.ts';
import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import { storedCoachWords } from '../model/coachWords.ts';
import type { ComparisonBasis, StoredGate, TrialWithoutRecord } from '../model/storedRun.ts';
import type { TrialStatus } from '../model/swingRecord.ts';
import { isOfTrials, type TableFormat } from '../tables/formats.ts';
import { jsonText } from '../tables/storedRecord.ts';
import type { JudgedDay } from './analyseDay.ts';
import { aboutTrials, smoothingOf } from './dayView.ts';
import { TABLES_VERSION } from './tablesVersion.ts';

/** One input of a run, as the run record names it. */
export interface RunInput {
  /** As in the day file, or the bare name of the day file and the lab file. */
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** What is asked for of a run and shows in what it writes. */
export interface RunOptions {
  readonly curves: boolean;
  readonly strict: boolean;
  /** True: each panel of the sheets as a file of its own. */
  readonly figures?: boolean;
  readonly orders: readonly OrderRequest[];
  /** Segments and joints of which all orders are asked for. */
  readonly orderCheck?: readonly OrderedRotation[];
  /** Formats of the tables; CSV is always written. Absent: CSV alone. */
  readonly tables?: readonly TableFormat[];
  /** True: figures of the filter choice are written. */
  readonly residuals?: boolean;
  /** False: whatever the day file says, no fault of a recording is repaired. Absent: as the day file says. */
  readonly repair?: boolean;
  /** Asked when the page of the day is made: after so many seconds it loads itself anew; null: never, as where it is absent. No part of the record. */
  readonly reload_s?: () => number | null;
}

/** What the run record says of a day. */
type Facts = Omit<JudgedDay, 'shelf'>;

/** Whether what is asked for is made of the swings at every frame. */
export function needsSeries({ curves, tables }: RunOptions): boolean {
  return curves || (tables ?? []).some(isOfTrials);
}

export function countByStatus(result: Pick<JudgedDay, 'outcomes'>): Readonly<Record<TrialStatus, number>> {
  const counts = { used: 0, 'left-out': 0, rejected: 0, failed: 0 };
  for (const outcome of result.outcomes) counts[outcome.status] += 1;
  return counts;
}

/** What the comparisons of a day rest on beside the records, so that they can be made again from what is stored. */
function comparisonBasis(result: Facts): ComparisonBasis {
  const { players, clubs, compare, groups, report } = result.plan;
  return {
    players: players.map((player) => ({
      id: player.id,
      hand: player.hand,
      static: player.static,
      smoothing: smoothingOf(result, player.id),
      ...storedCoachWords(player),
    })),
    clubs: clubs.map(({ id, kind, length_m }) => ({ id, kind, length_m })),
    options: {
      margins: compare.margins,
      primary: compare.primary,
      seed: compare.seed,
      resamples: compare.resamples,
      attackBand_deg: compare.attackBand_deg,
      ...(compare.checkpoints === undefined ? {} : { checkpoints: compare.checkpoints }),
      ...(compare.reapplication === undefined ? {} : { reapplication: compare.reapplication }),
    },
    groups: groups ?? [],
    ...(report === undefined ? {} : { report }),
  };
}

function withoutRecord(result: Facts): readonly TrialWithoutRecord[] {
  const about = aboutTrials(result.plan);
  return result.outcomes
    .filter(({ record }) => record === null)
    .map((outcome) => {
      const { trial, file, player, club, kind, set, role, status, reason, quality, diagnostics } = outcome;
      const known = quality == null ? {} : { quality };
      return { trial, file, player, club, kind, set, role, status, reason, ...about(outcome), ...known, diagnostics };
    });
}

/** Which rules: the set that ships, or a file with its checksum. */
function checkpointsNote({ plan }: Facts, inputs: readonly RunInput[]) {
  const file = plan.compare.checkpoints?.file ?? null;
  const sha256 = inputs.find(({ path }) => path === file)?.sha256 ?? null;
  return { set: file === null ? 'default' : 'file', file, sha256 };
}

/** Cutoffs of the swings in which a rule was to choose them; nothing where all are set. */
function chosenCutoffs({ outcomes }: Facts): { readonly smoothing?: readonly object[] } {
  const smoothing = outcomes.flatMap(({ trial, record }) =>
    record?.smoothing === undefined ? [] : [{ trial, ...record.smoothing }],
  );
  return smoothing.length === 0 ? {} : { smoothing };
}

/** What the gates say, of every trial of which it is not plain that it is accepted, and which swings stand apart. */
function gatesNote({ outcomes }: Facts): { readonly gates?: readonly StoredGate[] } {
  const gates = outcomes.flatMap(({ trial, gate, outlying }): StoredGate[] => {
    const said = gate === undefined || (gate.verdict === 'accept' && gate.setBy === 'rules') ? {} : { gate };
    const apart = outlying === undefined ? {} : { outlying };
    return 'gate' in said || 'outlying' in apart ? [{ trial, ...said, ...apart }] : [];
  });
  return gates.length === 0 ? {} : { gates };
}

/** Formats beside CSV, which goes without saying. */
export function tablesNote(formats: readonly TableFormat[] | undefined): { readonly tables?: readonly TableFormat[] } {
  return formats === undefined || formats.every((format) => format === 'csv') ? {} : { tables: formats };
}

export function orderCheckNote(asked: readonly OrderedRotation[] = []): {
  readonly order_check?: readonly OrderedRotation[];
} {
  return asked.length === 0 ? {} : { order_check: asked };
}

/** Text of run.json: what was run on what. No clock, host or absolute path, so that equal runs have equal bytes. */
export function runRecordText(result: Facts, inputs: readonly RunInput[], options: RunOptions): string {
  const counts = countByStatus(result);
  const record = {
    program: result.program.name,
    version: result.program.version,
    tables: TABLES_VERSION,
    day: result.plan.day,
    date: result.plan.date,
    options: {
      curves: options.curves,
      strict: options.strict,
      ...(options.residuals === true ? { residuals: true } : {}),
      orders: options.orders.map(({ segment, order }) => `${segment}:${order}`),
      ...orderCheckNote(options.orderCheck),
      ...(options.repair === false ? { repair: false } : {}),
      ...(options.figures === true ? { figures: true } : {}),
      ...tablesNote(options.tables),
    },
    inputs: [...inputs].sort((a, b) => compareCodeUnits(a.path, b.path)),
    trials: { used: counts.used, left_out: counts['left-out'], rejected: counts.rejected, failed: counts.failed },
    libraries: sortedLibraries(result.libraries),
    comparison: comparisonBasis(result),
    without_record: withoutRecord(result),
    checkpoints: checkpointsNote(result, inputs),
    ...chosenCutoffs(result),
    ...gatesNote(result),
  };
  return `${jsonText(record)}\n`;
}

export function sortedLibraries(libraries: Readonly<Record<string, string>>): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(libraries).sort(([a], [b]) => compareCodeUnits(a, b)));
}
