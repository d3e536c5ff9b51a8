/** Which markers of a recording have something to show, and what in words. */

import type { Fault } from '../../model/faults.ts';
import { GROUP_WORDS, groupNamed, LANDMARK_GROUPS } from '../../model/landmarkGroups.ts';
import { FILE_LANDMARKS } from '../../model/landmarks.ts';
import { framesOf, type MarkerRun, type Unmeasured } from '../../model/markerRuns.ts';
import type { MarkerQuality } from '../../model/trial.ts';
import type { TrialQuality } from '../../model/trialQuality.ts';
import { counted, listed } from '../sentences/numbers.ts';

export interface QualityMarker {
  readonly marker: string;
  /** Segment group in words; '' of a marker that is no landmark. */
  readonly group: string;
  readonly runs: readonly MarkerRun[];
  /** Frames without a measured sample, frames filled, frames still missing. */
  readonly notMeasured: number;
  readonly filled: number;
  readonly left: number;
  /** Numbers of the faults that concern it, from 1. */
  readonly faults: readonly number[];
}

const KIND_WORDS: Readonly<Record<Unmeasured, string>> = {
  rigid: 'filled from the rest of the segment',
  spline: 'filled by a spline',
  components: 'filled from neighbouring markers',
  missing: 'missing',
  flown: 'not seen after the strike',
};

const ACTION_WORDS: Readonly<Record<Fault['action'], string>> = {
  repaired: 'repaired',
  removed: 'taken as missing',
  kept: 'left as recorded',
  refused: 'trial not used',
};

const MOST_RUNS = 6;
const MOST_MARKERS = 12;

/** Markers with a gap, a fill or a fault, by segment group from the head down; a ball that has flown is nothing to show. */
export function qualityMarkers({ markers, faults }: TrialQuality): readonly QualityMarker[] {
  const faultsOf = (name: string): number[] =>
    faults.flatMap((fault, i) => (fault.markers.includes(name) ? [i + 1] : []));
  return markers
    .map((one) => ({ one, faults: faultsOf(one.marker) }))
    .filter(({ one, faults: own }) => own.length > 0 || (one.runs ?? []).some(([, , what]) => what !== 'flown'))
    .map(({ one, faults: own }) => rowOf(one, own))
    .sort((a, b) => placeOf(a.marker) - placeOf(b.marker));
}

function rowOf({ marker, missing, filled, runs = [] }: MarkerQuality, faults: readonly number[]): QualityMarker {
  const group = groupNamed(marker);
  return {
    marker,
    group: group === null ? '' : GROUP_WORDS[group],
    runs,
    notMeasured: missing,
    filled,
    left: framesOf(runs, 'missing'),
    faults,
  };
}

const LANDMARK_PLACES = new Map<string, number>(FILE_LANDMARKS.map((name, i) => [name, i]));

/** By group, then as the landmarks are listed; markers that are none come last, as they stand in the file. */
function placeOf(marker: string): number {
  const group = groupNamed(marker);
  if (group === null) return LANDMARK_GROUPS.length * FILE_LANDMARKS.length;
  return LANDMARK_GROUPS.indexOf(group) * FILE_LANDMARKS.length + (LANDMARK_PLACES.get(marker) ?? 0);
}

/** 'frames 120–143', 'frame 7' */
function framesText(first: number, last: number): string {
  return first === last ? `frame ${first}` : `frames ${first}–${last}`;
}

/** 'L_ASIS: frames 120–143 filled by a spline' */
export function markerText({ marker, runs }: QualityMarker): string {
  const shown = runs.slice(0, MOST_RUNS).map(([first, last, what]) => `${framesText(first, last)} ${KIND_WORDS[what]}`);
  const more = runs.length > MOST_RUNS ? [`${runs.length - MOST_RUNS} more`] : [];
  return `${marker}: ${runs.length === 0 ? 'measured throughout' : [...shown, ...more].join('; ')}`;
}

/** 'labels swapped (L_ASIS and L_PSIS, frames 120–143; repaired): what was found' */
export function faultText({ code, markers, frames, action, detail }: Fault): string {
  const stretches = frames.slice(0, MOST_RUNS).map(([first, last]) => framesText(first, last));
  const more = frames.length > MOST_RUNS ? [`${frames.length - MOST_RUNS} more`] : [];
  const where = [listed(markers), [...stretches, ...more].join(', ')].filter((text) => text !== '').join(', ');
  const about = [where, ACTION_WORDS[action]].filter((text) => text !== '').join('; ');
  return `${code.replaceAll('-', ' ')} (${about}): ${detail}`;
}

/** 'All 39 markers were measured throughout.', 'The other 37 markers were measured throughout.' */
export function restText({ markers }: TrialQuality, shown: number): string {
  const rest = markers.length - shown;
  if (rest === 0) return '';
  if (shown === 0) return `All ${counted(rest, 'marker')} were measured throughout.`;
  return rest === 1
    ? 'The other marker was measured throughout.'
    : `The other ${rest} markers were measured throughout.`;
}

/** One line: what there is to see. '2 of 39 markers not measured throughout; 1 fault' */
export function qualityHeadline(quality: TrialQuality): string {
  const rows = qualityMarkers(quality).filter(({ runs }) => runs.length > 0);
  const left = rows.filter((row) => row.left > 0).length;
  const gaps =
    rows.length === 0
      ? ''
      : `${rows.length} of ${counted(quality.markers.length, 'marker')} with gaps, ${left === 0 ? 'all filled' : `${left} with frames left missing`}`;
  const faults = quality.faults.length === 0 ? '' : counted(quality.faults.length, 'fault');
  return [gaps, faults].filter((text) => text !== '').join('; ');
}

/** The figure in words, for those who do not see it. */
export function qualityDescription(quality: TrialQuality): string {
  const rows = qualityMarkers(quality);
  const shown = rows.slice(0, MOST_MARKERS).map((row) => {
    const { frames } = quality;
    return `${markerText(row)}. ${row.notMeasured} of ${counted(frames, 'frame')} not measured, ${row.filled} filled, ${row.left} still missing.`;
  });
  const more = rows.length > MOST_MARKERS ? [`${rows.length - MOST_MARKERS} more markers are shown.`] : [];
  const faults = quality.faults.map((fault, i) => `Fault ${i + 1}: ${faultText(fault)}.`);
  return [...shown, ...more, restText(quality, rows.length), ...faults].filter((text) => text !== '').join(' ');
}
