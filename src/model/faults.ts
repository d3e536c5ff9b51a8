/** Faults of a recording: found, named, and what was done. One table of codes for the stages, the tables, the report and docs/faults.md. */

export const FAULTS = {
  'labels-swapped': 'two markers carry each other’s name for a stretch',
  'marker-jumps': 'a marker leaps further in a frame than it can move, and stays or comes back',
  'marker-sticks': 'a marker stands still to the last digit while its neighbours move',
  'ghost-point': 'a marker is somewhere else for a few frames, not on the body',
  'segment-breaks': 'the distances between the markers of a segment change more than skin allows',
  'marker-moved': 'a marker sits elsewhere on its segment than on the static trial',
  'sides-exchanged': 'left and right markers are exchanged for the whole trial',
  'static-of-another-player': 'the static trial shows a body of another size',
  'units-contradict': 'the unit of length does not fit the size of a body',
  'frames-dropped': 'frames were lost: everything moves on by several frames at once',
  'rate-contradicts-swing': 'the frame rate does not fit the duration of a swing',
  'club-clipped': 'the club is lost in the fast part of the downswing',
  'club-blurred': 'the markers of the club lie off their shape in the fast part of the downswing',
  'head-point-changes': 'the point of the club head sits elsewhere on the club than in the other swings of that club',
  'same-content': 'the samples are those of another trial',
} as const;

export type FaultCode = keyof typeof FAULTS;

/** 'repaired': put right; 'removed': the samples count as missing; 'kept': left as recorded; 'refused': the trial is not used. */
export type FaultAction = 'repaired' | 'removed' | 'kept' | 'refused';

export interface Fault {
  readonly code: FaultCode;
  /** Landmarks concerned under the names that files use (`L_ASIS`), sorted; empty where it is of the whole trial. */
  readonly markers: readonly string[];
  /** First and last frame, from 0, of each stretch; empty where it has no frames. */
  readonly frames: readonly (readonly [number, number])[];
  readonly action: FaultAction;
  /** What was found, with its number and the limit, in words for the person who captured it. */
  readonly detail: string;
}
