/** What each fault's limit is, what is done about it and what to capture again: docs/faults.md and the diagnostics are made of this table. */

import type { FaultCode } from './faults.ts';

export interface FaultGuide {
  /** When it counts as found. */
  readonly limit: string;
  /** What the program does. */
  readonly done: string;
  /** What the user can do. */
  readonly whatToDo: string;
}

export const FAULT_GUIDE: Readonly<Record<FaultCode, FaultGuide>> = {
  'labels-swapped': {
    limit:
      'Between two frames both markers leap, and each goes on where the other was. Markers nearer to each other than the least leap that counts (marker-jumps) are not told apart, nor is the end of a swap where their ways cross so near.',
    done: 'Exchanged back from the one change to the next. Where there is only one change, the static trial, else the much longer part, says which part is right, and the rest of both segments that it holds to the end; otherwise kept.',
    whatToDo: 'Look at the two labels in the capture program and exchange them there.',
  },
  'marker-jumps': {
    limit:
      'A step in a frame that the speed before and after leaves unexplained by over 8 mm and over four times what is usual of the marker (16 mm at 1 mm of noise per axis), and that the markers beside it, carried along as one body, do not make.',
    done: 'The shorter part is removed and filled as a gap, within the limits of gaps. Where it is not clear which part is right, kept.',
    whatToDo: 'Fix the marker anew and capture the swing again, or correct its track in the capture program.',
  },
  'marker-sticks': {
    limit:
      'The sample before repeated to the last digit in two frames and more, then a leap to where the motion has gone; or in eight and more where noise keeps the other markers from repeating theirs.',
    done: 'Removed and filled as a gap, within the limits of gaps.',
    whatToDo: 'Turn off the filling of gaps in the capture program that repeats the last sample.',
  },
  'ghost-point': {
    limit: 'Away from its place by more than 100 mm for at most 0.1 s, then back; found as a leap is.',
    done: 'Removed and filled as a gap, within the limits of gaps.',
    whatToDo: 'Cover what reflects in the room, and delete the samples in the capture program.',
  },
  'segment-breaks': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Fix the markers of the segment anew and capture the swing again.',
  },
  'marker-moved': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Capture the static trial again after a marker was put on again.',
  },
  'sides-exchanged': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Exchange the labels of left and right in the capture program.',
  },
  'static-of-another-player': {
    limit: 'Lengths of the body differ from the static trial’s by more than a body can.',
    done: 'Refused.',
    whatToDo: 'Name the player’s own static trial in the day file.',
  },
  'units-contradict': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Set units in the day file.',
  },
  'frames-dropped': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Capture the swing again; look at the load of the capture computer.',
  },
  'rate-contradicts-swing': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Set rate_Hz in the day file.',
  },
  'club-clipped': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Put more cameras where the club passes, and larger markers on it.',
  },
  'club-blurred': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Shorten the exposure of the cameras.',
  },
  'head-point-changes': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Fix the markers of the club anew, and give the club another id from then on.',
  },
  'same-content': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Take the copy out of the day file.',
  },
};
