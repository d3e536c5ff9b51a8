import { describe, expect, it } from 'vitest';
import { DEFAULT_GAPS } from '../../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../../src/model/landmarks.ts';
import { framesOf, type MarkerRun, UNMEASURED } from '../../../src/model/markerRuns.ts';
import { FILLED_COMPONENTS, FILLED_CUBIC, MISSING, REBUILT } from '../../../src/model/track.ts';
import type { MarkerQuality, MarkerTrial } from '../../../src/model/trial.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { motionFromMarkers } from '../../../src/pipeline/motionFromMarkers.ts';
import { leftGaps } from '../../../src/stages/leftGaps.ts';
import { measureMarkers } from '../../../src/stages/measureMarkers.ts';
import { gapCase } from '../../support/gapAccuracy.ts';
import { trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });

/** A trial in which a landmark has these states from these frames on. */
function withStates(id: LandmarkId, states: readonly (readonly [from: number, to: number, state: number])[]) {
  const trial = trialOf({ [id]: () => [0, 1, 0] }, { frames: 20 });
  const track = trial.points.get(id)!;
  const state = track.state.slice();
  for (const [from, to, value] of states) state.fill(value, from, to);
  return { ...trial, points: new Map([[id, { ...track, state }]]) };
}

function rowOf(trial: MarkerTrial): MarkerQuality {
  return leftGaps(trial, measureMarkers(trial, ws).quality).value[0]!;
}

describe('the stretches of a marker that are not measured', () => {
  it('are first and last frames with what they are, by time; neighbours of unlike kinds stay apart', () => {
    const runs = rowOf(
      withStates('C7', [
        [0, 1, MISSING],
        [4, 7, REBUILT],
        [7, 9, FILLED_CUBIC],
        [12, 13, FILLED_COMPONENTS],
        [18, 20, MISSING],
      ]),
    ).runs;
    expect(runs).toEqual([
      [0, 0, 'missing'],
      [4, 6, 'rigid'],
      [7, 8, 'spline'],
      [12, 12, 'components'],
      [18, 19, 'missing'],
    ]);
  });

  it('are absent of a marker that is measured throughout', () => {
    expect(rowOf(withStates('C7', []))).not.toHaveProperty('runs');
  });

  it('of a ball: what follows the last sample has flown, what lies before it is missing', () => {
    const runs = rowOf(
      withStates('BALL', [
        [3, 5, MISSING],
        [15, 20, MISSING],
      ]),
    ).runs;
    expect(runs).toEqual([
      [3, 4, 'missing'],
      [15, 19, 'flown'],
    ]);
    expect(rowOf(withStates('C7', [[15, 20, MISSING]])).runs).toEqual([[15, 19, 'missing']]);
  });

  it.each([1, 2, 3, 4, 5, 6])(
    'of a swing with %i hidden markers: together the frames that were not measured',
    (markers) => {
      const { trial, plan } = gapCase(markers, 20, markers);
      const { value } = motionFromMarkers(trial, { ...plan, gaps: { ...DEFAULT_GAPS, components_s: 1 } }, ws);
      const kinds = new Set<string>();
      for (const { marker, frames, missing, filled, fills, runs = [] } of value.quality) {
        const total = UNMEASURED.reduce((sum, what) => sum + framesOf(runs, what), 0);
        expect([marker, total]).toEqual([marker, missing]);
        expect(framesOf(runs, 'rigid') + framesOf(runs, 'spline') + framesOf(runs, 'components')).toBe(filled);
        expect(framesOf(runs, 'rigid')).toBe(fills?.rigid);
        runs.forEach(([first, last, what]: MarkerRun, i) => {
          kinds.add(what);
          expect(first).toBeGreaterThan(i === 0 ? -1 : runs[i - 1]![1]);
          expect(last).toBeGreaterThanOrEqual(first);
          expect(last).toBeLessThan(frames);
        });
      }
      expect(kinds.size).toBeGreaterThan(1);
      ws.reset();
    },
  );
});
