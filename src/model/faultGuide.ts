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
      'A step in a frame that the speed before and after leaves unexplained by over 8 mm and over four times what is usual of the marker (16 mm at 1 mm of noise per axis), and that the markers beside it, carried along as one body, do not make. Where four times the usual exceeds 30 mm, twice that.',
    done: 'The shorter part is removed and filled as a gap, within the limits of gaps. Where it is not clear which part is right, kept; so is a part longer than 0.1 s that only just stands out, unless the static trial tells the marker’s place.',
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
    limit:
      'The distance of two markers of a segment is off its median over the trial by more than twice what skin moves one of them (faults.skin_mm: head 8, pelvis 17, thorax 18, upper arm 20, forearm 15, thigh 30, shank 15, foot 20 mm), four standard deviations of white noise taken off, for 1/60 s or longer. A marker that all such distances share is named alone.',
    done: 'Kept.',
    whatToDo:
      'Fix the markers of the segment anew and capture the swing again; look for exchanged or jumping markers in the capture program.',
  },
  'marker-moved': {
    limit:
      'Laid on the segment’s shape on the static trial (median over frames), a marker is off the place to which the others carry it by more than √(1 + g²/4) times what skin moves a marker (faults.skin_mm), g the gain of noise from them to it. Of four markers and more the moved one is named, where no other choice leaves the rest in shape; a shift square to a plane of four could be of any of them, and all are named. Of two or three markers the distances are compared, with twice the skin.',
    done: 'Kept. Has no frames.',
    whatToDo:
      'Capture the static trial again after a marker was put on again; swings before and after need a static trial each.',
  },
  'sides-exchanged': {
    limit:
      'Pairs of the trunk, head and legs lie the other way round than the majority of the body faces (mean cosine beyond 0.4); pairs of the arms keep their distance from the other side’s markers three times better than from their own; or the whole body does so, and the hand nearer the club head is not that of the declared hand.',
    done: 'Exchanged back. Without repair, single pairs are kept and a body exchanged throughout is refused.',
    whatToDo: 'Exchange the labels of left and right in the capture program.',
  },
  'static-of-another-player': {
    limit:
      'Three or more lengths of the body differ from the static trial’s by more than 5 %, and no single marker explains them all.',
    done: 'Refused.',
    whatToDo:
      'Name the player’s own static trial in the day file, or capture it again: it may be the static trial that is of somebody else.',
  },
  'units-contradict': {
    limit:
      'In the unit that the file or the day file states the body from head to foot spans less than 0.9 m or more than 2.6 m.',
    done: 'Another unit that fits is used where the file alone stated it (repaired); refused where the day file states it and another one fits; kept where none fits.',
    whatToDo: 'Set units in the day file, and check the export of the capture system.',
  },
  'frames-dropped': {
    limit:
      'Between two frames the body moves on by 1.6 times the motion of a frame and more, six standard deviations out of the noise, and at most one marker in five that moves at 0.25 m/s and more tells otherwise. The club does not count. While the player stands, and of single frames in slow motion under noise, a loss cannot be seen.',
    done: 'Kept: times after it are too early by the frames that are lost.',
    whatToDo: 'Capture the swing again; look at the load of the capture computer.',
  },
  'rate-contradicts-swing': {
    limit:
      'P4 to P7 takes less than 0.12 s or more than 0.6 s (faults.downswing_s), or P1 to P4 less than 0.3 s or more than 2.5 s (faults.backswing_s); common practice, no source. Where the recording begins after the takeaway, the way of the club head from the ball to P4 counts.',
    done: 'Kept.',
    whatToDo: 'Set rate_Hz in the day file; check whether frames were left out when the file was written.',
  },
  'club-clipped': {
    limit:
      'From 60 ms before to 12 ms after impact a marker of the club is missing in two frames and more and in more than 20 % of them (faults.club_lost_percent), which is seen in 70 % of the other frames.',
    done: 'Kept: club figures at impact may be missing or less certain.',
    whatToDo: 'Put more cameras where the club passes, and larger markers on it.',
  },
  'club-blurred': {
    limit:
      'In the last 60 ms before impact the markers of the head and the lower shaft lie off their places by more than 2 mm (faults.club_blur_mm; RMS per marker, white noise and five standard deviations of its estimate taken off): by the distances between the head markers, or by the fourth differences of the vectors from marker to marker.',
    done: 'Kept: club figures at impact are less certain than their ± says.',
    whatToDo: 'Shorten the exposure of the cameras, and look at the markers of the club in the capture program.',
  },
  'head-point-changes': {
    limit:
      'The head point along or off the shaft, or a distance between head markers, is off its usual value in the other swings of that club by more than 6 mm (faults.head_point_mm), in three swings and more with the same head point. Medians over the backswing.',
    done: 'Kept: speed, attack and path are of another point than in the other swings.',
    whatToDo: 'Fix the markers of the club anew, and give the club another id from then on.',
  },
  'same-content': {
    limit: 'Not looked for by this version.',
    done: 'Kept.',
    whatToDo: 'Take the copy out of the day file.',
  },
};
