/** Swings in which the head point sits elsewhere on the club than in the other swings of that club. */

import { formatFixed } from '../base/format.ts';
import type { Fault } from '../model/faults.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { median } from '../numeric/statistics.ts';

/** Two places alone do not tell which of them is the usual one. */
const FEWEST_SWINGS = 3;

/** What it needs of a swing. */
export type HeadPlaced = Pick<SwingRecord, 'head' | 'headPlace' | 'headPoint'>;

/** One length of one swing. */
interface Place {
  readonly trial: string;
  readonly length_m: number;
}

interface Change {
  readonly name: string;
  readonly text: string;
  readonly limit_m: number;
}

/**
 * By trial id: `head-point-changes`. Each length of `SwingRecord.headPlace` is compared among the records of a club with the same head point, in
 * the order of the day: usual is the median of those that have most others within the limit (the earliest of equals), changed is what is off
 * it by more than the limit (that of the first of these swings, by trial id). Markers are named where a distance between head markers changed; otherwise the head point, grip or shaft marker did.
 */
export function headPointFaults(
  records: readonly HeadPlaced[],
  limitOf: (trial: string) => number,
): ReadonlyMap<string, Fault> {
  const clubs = new Map<string, HeadPlaced[]>();
  for (const record of records) {
    if (record.headPlace === undefined || record.head.club === null) continue;
    const key = `${record.head.club}\n${record.headPoint?.id ?? ''}`;
    clubs.set(key, [...(clubs.get(key) ?? []), record]);
  }
  const found = new Map<string, Change[]>();
  for (const swings of clubs.values()) {
    const ordered = [...swings].sort((a, b) => a.head.order - b.head.order);
    const limit_m = limitOf(ordered[0]!.head.trial);
    for (const name of namesOf(ordered)) {
      const places = ordered.flatMap(({ head, headPlace }) => {
        const length_m = headPlace?.[name];
        return length_m === undefined ? [] : [{ trial: head.trial, length_m }];
      });
      const usual_m = usualOf(places, limit_m);
      if (usual_m === null) continue;
      for (const { trial, length_m } of places) {
        if (!(Math.abs(length_m - usual_m) > limit_m)) continue;
        const text = `${name} ${mm(length_m)} mm, in most other swings of the club ${mm(usual_m)} mm`;
        found.set(trial, [...(found.get(trial) ?? []), { name, text, limit_m }]);
      }
    }
  }
  return new Map([...found].map(([trial, changes]) => [trial, faultOf(changes)]));
}

const mm = (metres: number): string => formatFixed(1000 * metres, 1);

function namesOf(records: readonly HeadPlaced[]): readonly string[] {
  return [...new Set(records.flatMap(({ headPlace }) => Object.keys(headPlace ?? {})))].sort();
}

function usualOf(places: readonly Place[], limit_m: number): number | null {
  if (places.length < FEWEST_SWINGS) return null;
  let most: readonly number[] = [];
  for (const { length_m } of places) {
    const near = places.map((one) => one.length_m).filter((other) => Math.abs(other - length_m) <= limit_m);
    if (near.length > most.length) most = near;
  }
  return most.length < 2 ? null : median(most);
}

function faultOf(changes: readonly Change[]): Fault {
  const between = changes.filter(({ name }) => name.includes(' to '));
  const markers = [...new Set(between.flatMap(({ name }) => name.split(' to ')))].sort();
  return {
    code: 'head-point-changes',
    markers,
    frames: [],
    action: 'kept',
    detail: `${changes.map(({ text }) => text).join('; ')}; ${mm(changes[0]!.limit_m)} mm are allowed: a marker of the club was put elsewhere, or this is another club`,
  };
}
