/** Codes of doubtful data that the stages report; docs/diagnostics.md is generated from tables like this one. */

import { type DiagnosticTable, diagnosticMaker } from '../base/diagnostics.ts';

export const STAGE_DIAGNOSTICS = {
  'gap-filled': {
    severity: 'info',
    meaning:
      'Gaps of a marker were filled: short ones with a spline through the samples around them, longer ones from how its neighbours move, where gaps.components_s asks for it.',
    whatToDo: 'Nothing; values that rest on a filled sample are flagged.',
  },
  'gap-left': {
    severity: 'warning',
    meaning:
      'A marker has gaps that were not filled: longer than the limit (half of it in the downswing), at an end, or of the club while it moves fast.',
    whatToDo: 'Fill the gap in the capture program, or set gaps.longest_s in the day file.',
  },
  'short-run-unfiltered': {
    severity: 'warning',
    meaning: 'A stretch of a marker between two gaps is too short to be filtered and stayed as measured.',
    whatToDo: 'Fill the gaps around it in the capture program.',
  },
  'cutoff-too-high': {
    severity: 'warning',
    meaning: 'A filter cutoff is not below half the frame rate; the markers of that group stayed as measured.',
    whatToDo: 'Set a lower cutoff in the day file, or capture at a higher rate.',
  },
  'cutoff-not-chosen': {
    severity: 'warning',
    meaning:
      'A rule was to choose the filter cutoff of a segment group, but the recording gives it too little: the default was used.',
    whatToDo: 'Set a cutoff in Hz for that group in the day file.',
  },
  'cutoff-at-limit': {
    severity: 'info',
    meaning:
      'The rule that chooses a filter cutoff asks for one beyond 6 or 30 Hz (a fifth of the frame rate, where that is less); the limit was used.',
    whatToDo:
      'Nothing, where markers hardly move (lowest) or carry hardly any noise (highest); otherwise set a cutoff in Hz.',
  },
  'head-markers-moved': {
    severity: 'warning',
    meaning:
      'The markers on the club head lie more than 3 mm otherwise than in the calibration trial of its face: face centre and normal do not hold for this swing.',
    whatToDo: 'Record the face again after markers were put on again, as a club of its own in the day file.',
  },
  'calibrated-on-itself': {
    severity: 'info',
    meaning:
      'The player has no static trial, or it lacks the landmarks: joint centres were fixed from the swing itself.',
    whatToDo: 'Record one standing trial a day and name it in the day file under the player.',
  },
  'shoulder-sex-unknown': {
    severity: 'info',
    meaning: 'The shoulder regression differs by sex, which is not given: the mean of both was used.',
    whatToDo: 'Set sex of the player in the day file.',
  },
  'hip-centre-replaced': {
    severity: 'warning',
    meaning:
      'The regression of the hip centre named in the day file needs landmarks that are missing: another one was used.',
    whatToDo: 'Capture the landmarks in the static trial, or leave hip_centre out.',
  },
  'functional-hip-refused': {
    severity: 'warning',
    meaning: 'A functional trial gives no hip centre: the thigh moves too little, or markers are missing.',
    whatToDo:
      'Record each leg swinging forward, back and to the side by at least 40° and 20° in all, then in a circle.',
  },
  'landmark-missing': {
    severity: 'warning',
    meaning:
      'A segment or point could not be built because landmarks are missing; the quantities that need it are missing too.',
    whatToDo: 'Map the markers to landmarks in the day file, or capture them.',
  },
  'landmark-rebuilt': {
    severity: 'info',
    meaning:
      'A landmark that was hidden or absent was rebuilt from the rest of its segment as a rigid body, shaped as on the static trial or, without one, in the frames of this trial.',
    whatToDo: 'Nothing; values that rest on a rebuilt sample are flagged.',
  },
  'cluster-refused': {
    severity: 'warning',
    meaning: 'A hidden landmark was not rebuilt: what is seen of its segment is nearly a line or is off its shape.',
    whatToDo: 'Put the markers of a cluster wide apart, and look for exchanged markers.',
  },
  'body-incomplete': {
    severity: 'warning',
    meaning: 'The centre of mass is of a part of the body: segments are left out because their landmarks are missing.',
    whatToDo: 'Compare it only with a centre of the same segments, or capture the missing landmarks.',
  },
  'mass-sex-unknown': {
    severity: 'info',
    meaning: 'Segment masses differ by sex, which is not given: the mean of both tables was used.',
    whatToDo: 'Set sex of the player in the day file.',
  },
  'feet-on-one-platform': {
    severity: 'info',
    meaning: 'Both feet stand on one force platform: there is no share of the load under each foot.',
    whatToDo: 'Let the player stand with each foot on a platform of its own.',
  },
  'platform-unloaded': {
    severity: 'warning',
    meaning: 'A force platform under a foot never bears a load in this recording; nothing is read from the platforms.',
    whatToDo: 'Check that the platform is switched on, and its channels and corners in the capture program.',
  },
  'force-weight-disagrees': {
    severity: 'warning',
    meaning: 'What the force platforms bear at address differs by more than 15 % from the weight of the player.',
    whatToDo: 'Check the calibration and the zero of the platforms, and mass_kg of the player in the day file.',
  },
  substitution: {
    severity: 'info',
    meaning: 'A landmark was replaced by a neighbour, which adds a constant offset.',
    whatToDo: 'Compare only trials with the same substitution.',
  },
  'limb-missing': {
    severity: 'info',
    meaning:
      'Limb segments have no frame: the recording lacks the landmarks in brackets. Their angles are missing, all else is given.',
    whatToDo:
      'Nothing, unless these angles are wanted: then put on the markers that are named, once on the static trial at least.',
  },
  'head-not-zeroed': {
    severity: 'info',
    meaning: 'There is no static trial that zeroes the head frame: head angles are changes since P1.',
    whatToDo: 'Record one standing trial a day and name it in the day file under the player.',
  },
} as const satisfies DiagnosticTable;

export const stageDiagnostic = diagnosticMaker(STAGE_DIAGNOSTICS);
