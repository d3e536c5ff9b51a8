import { nearestOf } from '../base/text.ts';
import type { DayFileTrial } from '../model/daySchema.ts';
import type { Place } from './nodes.ts';

/** What the steps from day file to plan share: where things stand, and where problems go. */
export interface PlanContext {
  readonly listing: readonly string[];
  readonly place: (path: readonly PropertyKey[], ofKey?: boolean) => Place;
  readonly problem: (place: Place, code: string, message: string) => void;
  /** True of a day that is not captured to its end: groups of swings may name sets that nobody has yet. */
  readonly unfinished: boolean;
}

/** One trial of the day with the entry that named it. */
export interface Named {
  /** Of a folder with `/` at its end. */
  readonly file: string;
  readonly files: readonly string[];
  readonly entry: DayFileTrial;
  readonly index: number;
}

/** '; did you mean x?' or ''. */
export function suggestion(word: string, list: Iterable<string>): string {
  const near = nearestOf(word, list);
  return near === null ? '' : `; did you mean ${near}?`;
}

/** `yes` and `no` are plain words in YAML 1.2. */
export function isYes(value: boolean | 'yes' | 'no' | undefined, otherwise: boolean): boolean {
  return value === undefined ? otherwise : value === true || value === 'yes';
}
