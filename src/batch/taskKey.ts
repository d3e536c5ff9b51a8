/** The key of a task's result: everything that the analysis of its trial can see, as one checksum. */
import { createHash, type Hash } from 'node:crypto';
import { compareCodeUnits } from '../base/text.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { FileSum } from '../pipeline/recordings.ts';
import type { TrialTask } from '../pipeline/trialTask.ts';
import { Bytes } from './bytes.ts';

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
  const bytes = new Bytes();
  write(bytes, value);
  hash.update(bytes.all());
}

function write(bytes: Bytes, value: unknown): void {
  if (value === null || value === undefined || typeof value === 'boolean') bytes.text(`${String(value)};`);
  else if (typeof value === 'number') bytes.number(value);
  else if (typeof value === 'string') writeText(bytes, value);
  else if (Array.isArray(value)) writeList(bytes, 'a', value);
  else if (ArrayBuffer.isView(value)) writeView(bytes, value);
  else if (value instanceof Map) writeList(bytes, 'm', [...value].flat());
  else if (value instanceof Set) writeList(bytes, 'u', [...value]);
  else if (typeof value === 'object') writeObject(bytes, value as Readonly<Record<string, unknown>>);
  else throw new TypeError(`no checksum of a ${typeof value}`);
}

function writeText(bytes: Bytes, text: string): void {
  bytes.text(`s${Buffer.byteLength(text)}:`);
  bytes.text(text);
}

function writeView(bytes: Bytes, view: ArrayBufferView): void {
  bytes.text(`${view.constructor.name}${view.byteLength}:`);
  bytes.copy(new Uint8Array(view.buffer, view.byteOffset, view.byteLength));
}

function writeList(bytes: Bytes, mark: string, parts: readonly unknown[]): void {
  bytes.text(`${mark}${parts.length}:`);
  for (const part of parts) write(bytes, part);
}

/** As a list of keys and values one after the other, without what is undefined. */
function writeObject(bytes: Bytes, value: Readonly<Record<string, unknown>>): void {
  const keys = Object.keys(value).filter((key) => value[key] !== undefined);
  bytes.text(`o${2 * keys.length}:`);
  for (const key of keys.sort(compareCodeUnits)) {
    writeText(bytes, key);
    write(bytes, value[key]);
  }
}
