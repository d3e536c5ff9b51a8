/** Recordings of known damage for tests of the quality figure. */

import type { Fault } from '../../src/model/faults.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import type { PlayerView } from '../../src/report/views.ts';
import { type GapCase, gapCase, withGaps } from './gapAccuracy.ts';

/** Gaps beside the six of the case: at the start, short, too long for any method, of the club in the fast part and of the ball. */
const MORE: readonly (readonly [LandmarkId, number, number])[] = [
  ['trail_ASIS', 0, 12],
  ['lead_MC2', 200, 204],
  ['lead_RS', 300, 420],
  ['CLUB_HEAD_1', 390, 392],
  ['BALL', 20, 30],
];

/** One found with frames in two markers, one of the whole recording, one of a marker without frames. */
const FAULTS: readonly Fault[] = [
  {
    code: 'labels-swapped',
    markers: ['L_MC2', 'R_LM'],
    frames: [[250, 290]],
    action: 'repaired',
    detail: 'the two exchange places within one frame, 184 mm apart; the limit is 50 mm',
  },
  {
    code: 'frames-dropped',
    markers: [],
    frames: [[70, 71]],
    action: 'kept',
    detail: 'everything moves on by 3 frames',
  },
  {
    code: 'marker-moved',
    markers: ['L_ASIS'],
    frames: [],
    action: 'kept',
    detail: '14 mm from where it sits on the static trial; the limit is 8 mm',
  },
];

let damaged: SwingRecord | null = null;

/** A swing with gaps that every method fills and gaps that none does, and with faults. */
export function damagedRecord(): SwingRecord {
  if (damaged === null) {
    const { trial, plan } = gapCase(3, 40, 6);
    const hidden: GapCase['hidden'] = new Map(MORE.map(([id, from, to]) => [id, { from, to }]));
    const gaps = { ...plan.gaps, components_s: 0.3 };
    damaged = analyseTrial(withGaps(trial, hidden), { ...plan, gaps }, createWorkspace());
  }
  return { ...damaged, faults: FAULTS };
}

/** A swing of which one sample in five of every marker is missing, seeded. */
export function riddledRecord(): SwingRecord {
  const random = createRandom(5);
  const { trial, plan } = gapCase(3, 5, 1);
  let riddled = trial;
  const frames = Array.from({ length: trial.clock.frames }, (_, f) => f);
  for (const from of frames) {
    const ids = [...trial.points.keys()].filter(() => random.uniform() < 0.2);
    riddled = withGaps(riddled, new Map(ids.map((id) => [id, { from, to: from + 1 }])));
  }
  return analyseTrial(riddled, plan, createWorkspace());
}

/** The view with the record in place of its first swing, and without anything known of the others. */
export function viewWith(view: PlayerView, record: SwingRecord): PlayerView {
  const [first, ...others] = view.outcomes;
  const own = { ...record, head: { ...record.head, trial: first!.trial } };
  return { ...view, outcomes: [{ ...first!, record: own }, ...others] };
}
