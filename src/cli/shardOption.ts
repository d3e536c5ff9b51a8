import type { Shard } from '../batch/shards.ts';
import { UsageError } from './exit.ts';

const MOST_SHARDS = 100_000;

/**
 * The share that `--shard` names: `2/8`; `auto`, from the variables that Slurm sets for a task of an array; `auto/8`, the index from Slurm or
 * from JOB_COMPLETION_INDEX, which an indexed Job sets. @throws UsageError
 */
export function shardOf(text: string, env: Readonly<Record<string, string | undefined>>): Shard {
  const match = /^(auto|\d{1,6})(?:\/(\d{1,6}))?$/.exec(text);
  if (match === null || (match[1] !== 'auto' && match[2] === undefined)) {
    throw new UsageError(`--shard: "${text}" is no share; write 2/8 for the second of eight, or auto on a cluster`);
  }
  const index = match[1] === 'auto' ? indexIn(env) : Number(match[1]);
  const count = match[2] === undefined ? countIn(env) : Number(match[2]);
  if (match[1] === 'auto') checkArray(count, env);
  if (count < 1 || count > MOST_SHARDS || index < 1 || index > count) {
    throw new UsageError(`--shard: there is no share ${index} of ${count}; shares count from 1`);
  }
  return { index, count };
}

/** From 1. Slurm's arrays begin anywhere and may have steps, an indexed Job's begin at 0. */
function indexIn(env: Readonly<Record<string, string | undefined>>): number {
  const task = whole(env['SLURM_ARRAY_TASK_ID']);
  if (task !== null) {
    const step = whole(env['SLURM_ARRAY_TASK_STEP']) ?? 1;
    return Math.floor((task - (whole(env['SLURM_ARRAY_TASK_MIN']) ?? 0)) / Math.max(1, step)) + 1;
  }
  const completion = whole(env['JOB_COMPLETION_INDEX']);
  if (completion !== null) return completion + 1;
  throw new UsageError('--shard auto: neither SLURM_ARRAY_TASK_ID nor JOB_COMPLETION_INDEX is set; write 2/8');
}

function countIn(env: Readonly<Record<string, string | undefined>>): number {
  const count = whole(env['SLURM_ARRAY_TASK_COUNT']);
  if (count !== null) return count;
  throw new UsageError('--shard auto: SLURM_ARRAY_TASK_COUNT is not set; say of how many, such as auto/8');
}

/** A task submitted again alone is an array of one: its index among all is not to be known from Slurm. */
function checkArray(count: number, env: Readonly<Record<string, string | undefined>>): void {
  const tasks = whole(env['SLURM_ARRAY_TASK_COUNT']);
  if (tasks === null || tasks === count) return;
  const message = `--shard auto/${count}: this array has ${tasks} task${tasks === 1 ? '' : 's'}, not ${count}`;
  throw new UsageError(`${message}; write the share itself, such as 2/${count}`);
}

function whole(text: string | undefined): number | null {
  return text !== undefined && /^\d{1,9}$/.test(text) ? Number(text) : null;
}
