/** Which markers of a recording have something to show, and what in words. */

import type { Fault } from '../../model/faults.ts';
import { groupNamed, LANDMARK_GROUPS, type LandmarkGroup } from '../../model/landmarkGroups.ts';
import { FILE_LANDMARKS } from '../../model/landmarks.ts';
import { framesOf, type MarkerRun } from '../../model/markerRuns.ts';
import type { MarkerQuality } from '../../model/trial.ts';
import type { TrialQuality } from '../../model/trialQuality.ts';
import { counted, listed } from '../sentences/numbers.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

export interface QualityMarker {
  readonly marker: string;
  /** Segment group; null of a marker that is no landmark. */
  readonly group: LandmarkGroup | null;
  readonly runs: readonly MarkerRun[];
  /** Frames without a measured sample, frames filled, frames still missing. */
  readonly notMeasured: number;
  readonly filled: number;
  readonly left: number;
  /** Numbers of the faults that concern it, from 1. */
  readonly faults: readonly number[];
}

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
  return {
    marker,
    group: groupNamed(marker),
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
function framesText(words: Words, first: number, last: number): string {
  const { frame, frames } = words.quality;
  return first === last ? fill(frame, { n: first }) : fill(frames, { from: first, to: last });
}

/** 'L_ASIS: frames 120–143 filled by a spline' */
export function markerText(words: Words, { marker, runs }: QualityMarker): string {
  const { quality } = words;
  const shown = runs
    .slice(0, MOST_RUNS)
    .map(([first, last, what]) =>
      fill(quality.run, { frames: framesText(words, first, last), what: quality.kinds[what] }),
    );
  const more = runs.length > MOST_RUNS ? [fill(words.more, { n: runs.length - MOST_RUNS })] : [];
  return fill(quality.marker, {
    marker,
    runs: runs.length === 0 ? quality.markerThroughout : [...shown, ...more].join('; '),
  });
}

/** 'labels swapped (L_ASIS and L_PSIS, frames 120–143; repaired): what was found' */
export function faultText(words: Words, { code, markers, frames, action, detail }: Fault): string {
  const { quality } = words;
  const stretches = frames.slice(0, MOST_RUNS).map(([first, last]) => framesText(words, first, last));
  const more = frames.length > MOST_RUNS ? [fill(words.more, { n: frames.length - MOST_RUNS })] : [];
  const where = [listed(words, markers), [...stretches, ...more].join(', ')].filter((text) => text !== '').join(', ');
  const about = [where, quality.actions[action]].filter((text) => text !== '').join('; ');
  return fill(quality.fault, { fault: quality.faultName(code), about, detail });
}

/** 'All 39 markers were measured throughout.', 'The other 37 markers were measured throughout.' */
export function restText(words: Words, { markers }: TrialQuality, shown: number): string {
  const rest = markers.length - shown;
  if (rest === 0) return '';
  if (shown === 0) return fill(words.quality.allThroughout, { markers: counted(words, rest, 'marker') });
  return words.quality.restThroughout(rest);
}

/** One line: what there is to see. '2 of 39 markers not measured throughout; 1 fault' */
export function qualityHeadline(words: Words, quality: TrialQuality): string {
  const rows = qualityMarkers(quality).filter(({ runs }) => runs.length > 0);
  const left = rows.filter((row) => row.left > 0).length;
  const said = words.quality;
  const gaps =
    rows.length === 0
      ? ''
      : fill(said.gaps, {
          n: rows.length,
          markers: counted(words, quality.markers.length, 'marker'),
          left: left === 0 ? said.allFilled : fill(said.leftMissing, { n: left }),
        });
  const faults = quality.faults.length === 0 ? '' : counted(words, quality.faults.length, 'fault');
  return [gaps, faults].filter((text) => text !== '').join('; ');
}

/** The figure in words, for those who do not see it. */
export function qualityDescription(words: Words, quality: TrialQuality): string {
  const rows = qualityMarkers(quality);
  const shown = rows.slice(0, MOST_MARKERS).map((row) => {
    const { frames } = quality;
    return fill(words.quality.counts, {
      marker: markerText(words, row),
      n: row.notMeasured,
      frames: counted(words, frames, 'frame'),
      filled: row.filled,
      left: row.left,
    });
  });
  const more = rows.length > MOST_MARKERS ? [fill(words.quality.moreMarkers, { n: rows.length - MOST_MARKERS })] : [];
  const faults = quality.faults.map(
    (fault, i) => `${fill(words.quality.faultNumber, { n: i + 1, text: faultText(words, fault) })}.`,
  );
  return [...shown, ...more, restText(words, quality, rows.length), ...faults].filter((text) => text !== '').join(' ');
}
