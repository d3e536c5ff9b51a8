import { type DiagnosticTable, diagnosticMaker } from '../base/diagnostics.ts';

/** Why a whole trial is not used, as far as the order of things decides it. */
export const PIPELINE_DIAGNOSTICS = {
  'no-club-named': {
    severity: 'error',
    meaning: 'The day file names no club for this swing, so it belongs to no group.',
    whatToDo: 'Name its club in the day file, or leave it out with `use: no`.',
  },
  'no-swing-found': {
    severity: 'error',
    meaning: 'Neither the top of the backswing nor impact was found: the recording holds no whole swing.',
    whatToDo: 'Check that the recording shows address to finish; leave it out with `use: no`.',
  },
  'role-not-used': {
    severity: 'info',
    meaning:
      'Calibration trials without a club, and functional ones of markers with a movement, are kept in the list but not used by this version.',
    whatToDo: 'Nothing.',
  },
  'functional-hip': {
    severity: 'info',
    meaning: 'A hip centre was found from the movement of the thigh: the residual is skin motion and noise.',
    whatToDo: 'Look at the trial where the residual is above 10 mm or the centre is far from the regression.',
  },
  'functional-hip-alone': {
    severity: 'info',
    meaning: 'One hip has a centre from movement so far; it is used as soon as the other has one too.',
    whatToDo: 'Let both legs swing, in one functional trial or in two.',
  },
  'face-calibrated': {
    severity: 'info',
    meaning: 'The face of a club was found from markers on it, in the frame of its three head markers.',
    whatToDo: 'Look at the trial where the markers scatter by more than 3 mm.',
  },
  'face-differs': {
    severity: 'warning',
    meaning:
      'The day file states a face centre more than 5 mm, or a face normal more than 2°, from what the markers on the face show.',
    whatToDo: 'Take the wrong one out: the statement from the day file, or the trial with `use: no`.',
  },
  'static-not-used': {
    severity: 'warning',
    meaning: 'The static trial of the player could not be used; joint centres are fixed from each swing itself.',
    whatToDo: 'See the reason beside the static trial; name another under `static`.',
  },
  'still-not-used': {
    severity: 'warning',
    meaning: 'The still pose of the player’s sensors could not be used; angles that rest on it are missing.',
    whatToDo: 'See the reason beside the still pose; name another under `still`.',
  },
  'movement-not-used': {
    severity: 'warning',
    meaning: 'A movement or a hanging club that shows how the sensors sit could not be used.',
    whatToDo: 'See the reason beside that trial; record it again, or give `facing` or `sensor_shaft` in the day file.',
  },
  'strict-refusal': {
    severity: 'error',
    meaning: 'With --strict, a trial with any warning is rejected.',
    whatToDo: 'See the warning; run without --strict to use the trial.',
  },
  'program-error': {
    severity: 'error',
    meaning: 'The program failed on this trial in a way it should not. The other trials are not touched by it.',
    whatToDo: 'Please report it with the file, if you may share it.',
  },
} as const satisfies DiagnosticTable;

export const pipelineDiagnostic = diagnosticMaker(PIPELINE_DIAGNOSTICS);
