/** The key of a task's result: everything that the analysis of its trial can see, as one checksum. */
import { createHash, type Hash } from 'node:crypto';
import { compareCodeUnits } from '../base/text.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { FileSum } from '../pipeline/recordings.ts';
import type { TrialTask } from '../pipeline/trialTask.ts';

/**
 * SHA-256 of the program, the sums of the trial's files and the task. The trial's place in the day is no part of it: a recording that
 * is added before it changes nothing. Nor is it whether the swing is wanted at every frame: that lies beside the result.
 */
export function taskKey(program: string, { series: _series, ...task }: TrialTask, files: readonly FileSum[]): string {
  const { sensors } = task.basis;
  const hash = createHash('sha256');
  feed(hash, {
    program,
    files,
    ...task,
    trial: withoutPlace(task.trial),
    plan: { ...task.plan, trials: task.plan.trials.map(withoutPlace) },
    basis: {
      ...task.basis,
      sensors: {
        ...sensors,
        kept: sensors.kept.map(({ plan, trial }) => ({
          plan: withoutPlace(plan),
          trial: { ...trial, head: { ...trial.head, order: 0 } },
        })),
        lost: sensors.lost.map(({ plan, reason }) => ({ plan: withoutPlace(plan), reason })),
      },
    },
  });
  return hash.digest('hex');
}

function withoutPlace(plan: TrialPlan): TrialPlan {
  return { ...plan, order: 0 };
}

/**
 * Adds a value of plain data to a checksum: every part under a mark of its kind and with its length, keys of objects by code unit, so that
 * equal values have equal sums and unlike ones do not. @throws TypeError for what is no plain data
 */
export function feed(hash: Hash, value: unknown): void {
  if (value === null || value === undefined || typeof value === 'boolean') hash.update(`${String(value)};`);
  else if (typeof value === 'number') hash.update('n').update(new Float64Array([value]));
  else if (typeof value === 'string') hash.update(`s${Buffer.byteLength(value)}:`).update(value);
  else if (Array.isArray(value)) feedList(hash, 'a', value);
  else if (ArrayBuffer.isView(value)) feedBytes(hash, value);
  else if (value instanceof Map) feedList(hash, 'm', [...value].flat());
  else if (value instanceof Set) feedList(hash, 'u', [...value]);
  else if (typeof value === 'object') {
    const entries = Object.entries(value).filter(([, one]) => one !== undefined);
    feedList(hash, 'o', entries.sort(([a], [b]) => compareCodeUnits(a, b)).flat());
  } else throw new TypeError(`no checksum of a ${typeof value}`);
}

function feedBytes(hash: Hash, view: ArrayBufferView): void {
  hash.update(`${view.constructor.name}${view.byteLength}:`);
  hash.update(new Uint8Array(view.buffer, view.byteOffset, view.byteLength));
}

function feedList(hash: Hash, mark: string, parts: readonly unknown[]): void {
  hash.update(`${mark}${parts.length}:`);
  for (const part of parts) feed(hash, part);
}
