/** A day over several machines: each takes a share of the swings and leaves it in the store of one shared folder; gathering makes the day of them. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { FileError } from '../disk/fileSource.ts';
import { checkOutputFolder } from '../disk/outputFolder.ts';
import { type DayRequest, type PlannedRun, planRun } from '../disk/plannedDay.ts';
import type { DayEnd } from '../pipeline/renderDay.ts';
import { needsSeries, type RunOptions } from '../pipeline/runRecord.ts';
import { type BriefOutcome, briefOutcome } from '../pipeline/swingBrief.ts';
import { type BatchOptions, startWork, type TrialsWatch, workersFor } from './dayTrials.ts';
import { lockFolder } from './lock.ts';
import { poolRenderer } from './poolRenderer.ts';
import { programSum } from './programSum.ts';
import { HandleShelf } from './recordHandles.ts';
import {
  inPlace,
  readEntry,
  readResult,
  STORE_FOLDER,
  type StorePlace,
  storedSeries,
  writeEntry,
} from './resultStore.ts';
import { type DayWatch, writeDay } from './runDay.ts';
import { feed } from './taskKey.ts';
import { startThreads } from './threads.ts';

/** One share of a day: `index` of `count`, from 1. */
export interface Shard {
  readonly index: number;
  readonly count: number;
}

const MARK = 'swingbasis shard 1\n';

/** What a shard leaves when it is done. */
interface ShardRecord {
  /** Of day file, settings and program: all shards of one run have the same. */
  readonly run: string;
  readonly program: string;
  readonly day: Pick<PlannedRun, 'plan' | 'inputs'>;
  readonly options: RunOptions;
  /** By trial id: the key of its result in the store. */
  readonly keys: ReadonlyMap<string, string>;
  /** Outcomes that are in no store: trials that failed for a reason of the moment. */
  readonly failed: readonly BriefOutcome[];
}

export type ShardRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | {
      readonly ok: true;
      readonly outcomes: readonly BriefOutcome[];
      readonly recalled: number;
      readonly out: string;
      /** False where the user ended it: it then counts as not run. */
      readonly isDone: boolean;
    };

/** The share of a trial by its id alone: it stays where it is when other trials come or go, and no machine reads the files of another's share. */
export function shardOf(trial: string, count: number): number {
  return (createHash('sha256').update(trial).digest().readUIntBE(0, 6) % count) + 1;
}

/**
 * Runs one share of a day: all trials that swings rest on, and the swings of the share. Shards need no lock: each writes only to the store,
 * under names that tell what is in them. @throws FileError
 */
export async function runShard(
  request: DayRequest & BatchOptions,
  shard: Shard,
  watch: TrialsWatch,
): Promise<ShardRun> {
  const day = planRun(request, watch.onNote);
  if (!day.ok) return day;
  checkOutputFolder(day.out);
  const program = programSum(request.analysis);
  const place = { out: day.out, program };
  const isMine = ({ id }: { readonly id: string }): boolean => shardOf(id, shard.count) === shard.index;
  const settings = { ...request, series: needsSeries(request) };
  const work = await startWork(day, settings, place, watch);
  const { outcomes, recalled, keys } = await work.trials(isMine).finally(() => work.close());
  const { plan, inputs, out } = day;
  if (watch.stopped?.() === true) return { ok: true, outcomes, recalled, out, isDone: false };
  const options = runOptionsOf(request);
  const failed = outcomes.filter(({ trial }) => !keys.has(trial));
  const run = sumOf([plan, inputs, options, program]);
  const record: ShardRecord = { run, program, day: { plan, inputs }, options, keys, failed };
  const folder = join(out, STORE_FOLDER, 'shards');
  removeOtherCounts(folder, shard.count);
  writeEntry(shardPath(out, shard), MARK, serialize(record));
  return { ok: true, outcomes, recalled, out, isDone: true };
}

/** What of a request shows in the results. */
function runOptionsOf(request: DayRequest & BatchOptions): RunOptions {
  const { dayFile: _dayFile, out: _out, lab: _lab, data: _data, language: _language, ...rest } = request;
  const { workers: _workers, trialLimit_s: _limit, memory_MB: _memory, analysis: _analysis, ...options } = rest;
  return options;
}

function shardPath(out: string, { index, count }: Shard): string {
  return join(out, STORE_FOLDER, 'shards', String(count), String(index));
}

function sumOf(value: unknown): string {
  const hash = createHash('sha256');
  feed(hash, value);
  return hash.digest('hex');
}

function countsIn(folder: string): readonly number[] {
  return existsSync(folder)
    ? readdirSync(folder)
        .map(Number)
        .filter((count) => Number.isInteger(count) && count > 0)
    : [];
}

function removeOtherCounts(folder: string, count: number): void {
  for (const other of countsIn(folder)) {
    if (other !== count) rmSync(join(folder, String(other)), { recursive: true, force: true });
  }
}

export interface Gathered {
  readonly result: DayEnd;
  readonly out: string;
  readonly shards: number;
}

/** Makes one day of all shards in a folder, as one run would have. @throws FileError that names every missing shard and trial */
export async function gather(folder: string, watch: DayWatch): Promise<Gathered> {
  const out = resolve(folder);
  const [count, ...more] = countsIn(join(out, STORE_FOLDER, 'shards'));
  if (count === undefined || more.length > 0) {
    throw new FileError(`${folder} holds no shards of one run; process DAYFILE --out ${folder} --shard 1/3 makes one`);
  }
  const place = { out, program: programSum() };
  const records = readShards(folder, place, count);
  const { day, options } = records[0]!;
  const trials = trialsOf(folder, place, records);
  checkOutputFolder(out);
  const unlock = await lockFolder(out, watch.onNote);
  try {
    const keys = new Map(records.flatMap((record) => [...record.keys]));
    const seriesOf = storedSeries(place, keys, watch.onNote);
    const workers = workersFor(day.plan.trials.length, undefined);
    // no trial is run: the captures need not be there
    const threads = workers === 1 ? null : startThreads({ data: '', store: place, analysis: null }, { workers });
    const tools = { shelf: trials.shelf, seriesOf, onNote: watch.onNote };
    const renderer = threads === null ? null : poolRenderer(threads, tools);
    const writing = writeDay({ ...day, out }, trials, options, watch, { seriesOf, renderer });
    const result = await writing.finally(() => threads?.close());
    return { result, out, shards: count };
  } finally {
    unlock();
  }
}

/** The records of all shards. @throws FileError where one is missing, damaged, or of another day or program than the first */
function readShards(folder: string, { out, program }: StorePlace, count: number): readonly ShardRecord[] {
  const records: ShardRecord[] = [];
  const problems: string[] = [];
  for (let index = 1; index <= count; index += 1) {
    const record = readShard(shardPath(out, { index, count }));
    const name = `shard ${index}/${count}`;
    if (typeof record === 'string') problems.push(`${name} ${record}; run it again`);
    else if (record.program !== program) problems.push(`${name} is of another version of the program; run it again`);
    else if (record.run !== (records[0]?.run ?? record.run))
      problems.push(`${name} is of another day file or other settings than the shards before it; run it again`);
    else records.push(record);
  }
  if (problems.length > 0) throw new FileError(`${folder} is not complete:\n${problems.join('\n')}`);
  return records;
}

function readShard(path: string): ShardRecord | string {
  try {
    const body = readEntry(path, MARK);
    return body === null ? 'is damaged' : (deserialize(body) as ShardRecord);
  } catch (error) {
    return (error as { code?: string }).code === 'ENOENT'
      ? 'is missing: it was not run or did not end'
      : 'cannot be read';
  }
}

/** Every outcome of the day, by trial id, and where the records are. @throws FileError that names the trials without one */
function trialsOf(
  folder: string,
  place: StorePlace,
  records: readonly ShardRecord[],
): { readonly outcomes: readonly BriefOutcome[]; readonly shelf: HandleShelf } {
  const problems: string[] = [];
  const outcomes: BriefOutcome[] = [];
  const shelf = new HandleShelf(place);
  const count = records.length;
  for (const { id, order, role } of records[0]!.day.plan.trials) {
    const owners = role === 'swing' ? [records[shardOf(id, count) - 1]!] : records;
    const failed = owners.flatMap((one) => one.failed.filter(({ trial }) => trial === id));
    const key = owners.map(({ keys }) => keys.get(id)).find((one) => one !== undefined);
    const found = key === undefined ? null : readResult(place, key, (note) => problems.push(note));
    if (found !== null) {
      shelf.add({ id, order }, key!);
      outcomes.push(briefOutcome(inPlace(found, order).outcome));
    } else if (failed[0]?.record === null) outcomes.push(failed[0]);
    else problems.push(`${id} has no result: run shard ${shardOf(id, count)}/${count} again`);
  }
  if (problems.length > 0) throw new FileError(`${folder} is not complete:\n${problems.join('\n')}`);
  return { outcomes: outcomes.sort((a, b) => (a.trial < b.trial ? -1 : 1)), shelf };
}
