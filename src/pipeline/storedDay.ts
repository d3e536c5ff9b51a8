/** A processed day from its stored results: what its comparisons were made of, so that they can be made again or anew. */
import { compareCodeUnits } from '../base/text.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import { DEFAULT_COMPARE } from '../model/dayPlan.ts';
import type { StillRecord } from '../model/stillRecord.ts';
import { type Reread, reread, rereadRecord, rereadStill } from '../model/storedRecord.ts';
import { type ComparisonBasis, runHeadSchema, type StoredRun, storedRunSchema } from '../model/storedRun.ts';
import type { DayOutcome, SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { parseOrders } from './orders.ts';
import { TABLES_VERSION } from './tablesVersion.ts';
import type { TrialAbout } from './trialParts.ts';

/** The files of one output folder. */
export interface StoredFiles {
  /** As messages name the folder. */
  readonly name: string;
  /** Files below `trials`, as `trials/wren/1.json`. */
  readonly records: readonly string[];
  /** The text of a file below the folder. Throws an Error whose message a user understands. */
  readonly read: (path: string) => string;
}

export interface StoredDay extends ComparisonBasis {
  readonly name: string;
  readonly day: string;
  readonly date: string | null;
  /** Of the program that processed it. */
  readonly version: string;
  readonly orders: readonly OrderRequest[];
  /** By trial id. */
  readonly records: readonly SwingRecord[];
  /** Of the players' static trials; days of earlier versions hold none. */
  readonly stills: readonly StillRecord[];
  /** By trial id. */
  readonly outcomes: readonly TrialOutcome[];
  readonly about: (outcome: DayOutcome) => TrialAbout;
}

export interface StoredDayReading {
  /** Null where the folder as a whole cannot be used. */
  readonly day: StoredDay | null;
  /** One line each, with the file. */
  readonly problems: readonly string[];
}

/** Reads a day back. A record that cannot be used costs a line, not the day; never throws for what the files hold. */
export function readStoredDay(files: StoredFiles): StoredDayReading {
  const run = readRun(files);
  if (typeof run === 'string') return { day: null, problems: [run] };
  const problems: string[] = [];
  const records: SwingRecord[] = [];
  const stills: StillRecord[] = [];
  const statics = new Set((run.comparison?.players ?? []).map((player) => `trials/${player.static}.json`));
  const swings = files.records.filter((path) => !statics.has(path));
  for (const path of files.records.filter((one) => statics.has(one)).sort(compareCodeUnits)) {
    const found = readRecord(files, path, rereadStill);
    if (typeof found === 'string') problems.push(`${files.name}/${path}: ${found}; nothing is zeroed on it`);
    else stills.push(found);
  }
  for (const path of swings.sort(compareCodeUnits)) {
    const found = readRecord(files, path, rereadRecord);
    if (typeof found === 'string') problems.push(`${files.name}/${path}: ${found}; left out`);
    else records.push(found);
  }
  const without = run.without_record ?? [];
  const expected = run.trials.used - without.filter(({ status }) => status === 'used').length;
  const lost = expected - swings.length;
  if (run.without_record !== undefined && lost > 0) {
    problems.push(`${files.name}: ${lost} of ${expected} stored records are not there any more`);
  }
  if (records.length === 0) {
    return { day: null, problems: [...problems, `${files.name} holds no stored record of a swing that can be used`] };
  }
  records.sort((a, b) => compareCodeUnits(a.head.trial, b.head.trial));
  const abouts = new Map<string, TrialAbout>(without.map(({ trial, source, still }) => [trial, { source, still }]));
  const outcomes = [
    ...records.map(outcomeOf),
    ...without.map(
      ({ source: _source, still: _still, ...rest }): TrialOutcome => ({ ...rest, sha256: '', record: null }),
    ),
  ]
    .map((outcome): TrialOutcome => ({ ...outcome, ...gateOf(outcome.trial, run) }))
    .sort((a, b) => compareCodeUnits(a.trial, b.trial));
  const day: StoredDay = {
    name: files.name,
    day: run.day,
    date: run.date,
    version: run.version,
    orders: ordersOf(run.options.orders),
    records,
    stills,
    outcomes,
    about: ({ trial, record }) => ({
      source: record?.head.source ?? abouts.get(trial)?.source ?? 'markers',
      still: abouts.get(trial)?.still ?? null,
    }),
    ...(run.comparison ?? basisFrom(records)),
  };
  return { day, problems };
}

function readRun(files: StoredFiles): StoredRun | string {
  const shown = `${files.name}/run.json`;
  let text: string;
  try {
    text = files.read('run.json');
  } catch (error) {
    return `${files.name} is no results of a processed day: ${(error as Error).message}`;
  }
  const head = reread(text, runHeadSchema);
  if (!head.ok || head.value.program !== 'swingbasis') return `${shown}: this is no run record of this program`;
  const { tables, command, version } = head.value;
  if (command !== undefined) {
    return `${files.name} holds a comparison, not a processed day; name the folder that process wrote`;
  }
  if (tables !== TABLES_VERSION) {
    const made = `it was written by version ${version} with tables ${tables}, and this program reads tables ${TABLES_VERSION}`;
    return `${shown}: ${made}; process the day again`;
  }
  const run = reread(text, storedRunSchema);
  return run.ok ? run.value : `${shown}: ${run.problem}`;
}

function readRecord<T extends Pick<SwingRecord, 'head'>>(
  files: StoredFiles,
  path: string,
  by: (text: string) => Reread<T>,
): T | string {
  let text: string;
  try {
    text = files.read(path);
  } catch (error) {
    return (error as Error).message;
  }
  const record = by(text);
  if (!record.ok) return record.problem;
  const { trial } = record.value.head;
  return path === `trials/${trial}.json` ? record.value : `it is the record of ${trial} under another name`;
}

function outcomeOf(record: SwingRecord): TrialOutcome {
  const { trial, file, player, club, kind, set, role } = record.head;
  const { sha256, diagnostics } = record;
  return { trial, file, sha256, player, club, kind, set, role, status: 'used', reason: '', record, diagnostics };
}

/** What the gates said of a trial when the day was processed, where they said more than that it is accepted, and whether it stands apart. */
function gateOf(trial: string, { gates }: StoredRun): Pick<TrialOutcome, 'gate' | 'outlying'> {
  const found = gates?.find((one) => one.trial === trial);
  return {
    ...(found?.gate === undefined ? {} : { gate: found.gate }),
    ...(found?.outlying === undefined ? {} : { outlying: found.outlying }),
  };
}

function ordersOf(texts: readonly string[]): readonly OrderRequest[] {
  try {
    return parseOrders(texts.join(','));
  } catch {
    return []; // of a later version; they only stand in the settings
  }
}

/** Of a day whose run record does not say what its comparisons rest on: defaults, and what the records show. */
function basisFrom(records: readonly SwingRecord[]): ComparisonBasis {
  const players = [...new Set(records.map(({ head }) => head.player))].sort(compareCodeUnits);
  const clubs = new Map(
    records.flatMap(({ head }) => (head.club === null || head.kind === null ? [] : [[head.club, head.kind] as const])),
  );
  return {
    players: players.map((id) => ({ id, hand: null, static: null, smoothing: '' })),
    clubs: [...clubs].map(([id, kind]) => ({ id, kind, length_m: null })),
    options: DEFAULT_COMPARE,
    groups: [],
  };
}
