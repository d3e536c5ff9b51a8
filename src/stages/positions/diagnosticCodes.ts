/** Codes that finding positions and reading the club at impact report. */

import { type DiagnosticTable, diagnosticMaker } from '../../base/diagnostics.ts';

export const POSITION_DIAGNOSTICS = {
  'position-missing': {
    severity: 'warning',
    meaning: 'A position of the swing was not found; its quantities are missing.',
    whatToDo:
      'See the reason; capture longer before and after the swing, or store an event and map it in the day file.',
  },
  'position-order': {
    severity: 'warning',
    meaning:
      'Two neighbouring positions come in the other order (a late or early set), or a position broke the order and was dropped.',
    whatToDo: 'Look at the swing; P2 against P3 and P5 against P6 may be reversed in a sound recording.',
  },
  'moving-address': {
    severity: 'warning',
    meaning: 'The club never stood still before the swing: the slowest 0.1 s serves as address.',
    whatToDo: 'Ask the player to stand still at the ball for half a second.',
  },
  'no-impact-evidence': {
    severity: 'warning',
    meaning: 'Nothing in the recording shows when the ball was struck.',
    whatToDo: 'Put a marker on the ball, or store an event at impact and map it to P7.',
  },
  'contact-place-assumed': {
    severity: 'warning',
    meaning: 'Impact was taken where the club head passes its address place; 30 mm of uncertainty are in the ±.',
    whatToDo: 'Put a marker on the ball.',
  },
  'impact-event-contradicted': {
    severity: 'warning',
    meaning: 'The stored event of impact lies more than 1.5 frames from where ball or club show it.',
    whatToDo: 'Check the event in the capture program, or take it out of the mapping.',
  },
  'impact-event-ignored': {
    severity: 'warning',
    meaning:
      'A stored event of impact lies more than 0.1 s from the ball leaving, from the fastest moment of the head and from any trigger or sound: it is not used.',
    whatToDo: 'Check the event in the capture program, or take it out of the mapping.',
  },
  'event-offset': {
    severity: 'info',
    meaning: 'A stored event lies more than 1.5 frames from the position that was found; the event’s own time is used.',
    whatToDo: 'Check the event in the capture program.',
  },
  'implausible-backswing': {
    severity: 'warning',
    meaning:
      'The backswing is shorter or faster than any player’s: the time base of that part of the recording is doubtful.',
    whatToDo: 'Check the frame rate and whether frames were dropped when the file was exported.',
  },
  'implausible-downswing': {
    severity: 'warning',
    meaning: 'The downswing is shorter, longer or faster than any player’s.',
    whatToDo: 'Check the frame rate, the units and which event is mapped to P7.',
  },
  'club-fit-failed': {
    severity: 'warning',
    meaning: 'The path of the club head before impact could not be fitted; head speed, attack and path are missing.',
    whatToDo: 'Fill the gaps of the head markers before impact in the capture program, or capture at a higher rate.',
  },
} as const satisfies DiagnosticTable;

export const positionDiagnostic = diagnosticMaker(POSITION_DIAGNOSTICS);
