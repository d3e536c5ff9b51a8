import { type DiagnosticTable, diagnosticMaker } from '../base/diagnostics.ts';

/** What the intake of a recording can doubt. */
export const INTAKE_DIAGNOSTICS = {
  'force-turned-round': {
    severity: 'info',
    meaning: 'The stored forces of the platforms are those on the platform; those on the player point the other way.',
    whatToDo: 'Nothing.',
  },
  'force-moment-unit': {
    severity: 'info',
    meaning:
      'The moments of the force platforms are in another unit of length than the corners; the one that fits was used.',
    whatToDo: 'Nothing; correct the units in the capture program.',
  },
  'force-pressure-outside': {
    severity: 'warning',
    meaning:
      'The centre of pressure of a force platform lies off the platform: its moments or its corners are wrong. Forces are used, the centre of pressure is not.',
    whatToDo: 'Check corners, origin and channels of the platform in the capture program.',
  },
  'units-from-body': {
    severity: 'info',
    meaning: 'The file states no usable unit of length; it was read off the size of the body.',
    whatToDo: 'Nothing, or set `units` in the day file.',
  },
  'units-contradict-body': {
    severity: 'warning',
    meaning: 'The unit written in the file would make a body of impossible size; the unit that fits the body was used.',
    whatToDo: 'Check the export of the capture system; set `units` in the day file.',
  },
  'screen-contradicts-body': {
    severity: 'info',
    meaning: 'The screen axes stored in the file disagree with the body about which way is up. The body was followed.',
    whatToDo: 'Nothing; set `up` in the day file to be sure.',
  },
  'target-assumed': {
    severity: 'warning',
    meaning: 'The target line is neither set nor marked; it was taken from the feet at the start of the recording.',
    whatToDo: 'Set `lab: target:` in the day file. Until then turn and side bend carry a flag and path is absent.',
  },
  'mirrored-file-frame': {
    severity: 'warning',
    meaning: 'The axes of the file form a left-handed frame; it was reflected once, which exchanges no names.',
    whatToDo: 'Nothing; correct the axes in the capture system.',
  },
  'sides-exchanged': {
    severity: 'warning',
    meaning: 'Left and right are exchanged in the names of the markers; they were put right.',
    whatToDo: 'Check the labelling of the trial.',
  },
  'hand-assumed': {
    severity: 'info',
    meaning: 'Handedness is neither set nor visible (no club or no hands in the recording); right was assumed.',
    whatToDo: 'Set `hand` of the player in the day file.',
  },
  'insisted-against-data': {
    severity: 'warning',
    meaning: 'A value of the day file holds against what the data show, because it is listed under `insist`.',
    whatToDo: 'Check that the value is meant.',
  },
  'unlabelled-points-dropped': {
    severity: 'info',
    meaning: 'Points without a name were dropped.',
    whatToDo: 'Nothing, unless a landmark is missing: then label it, or name it by its number in the day file (`#7`).',
  },
  'model-outputs-set-aside': {
    severity: 'info',
    meaning: 'Angles, forces or other computed values stored among the points were not taken for markers.',
    whatToDo: 'Nothing.',
  },
  'duplicate-landmark': {
    severity: 'warning',
    meaning: 'Two points have a name of the same landmark; the first one was used.',
    whatToDo: 'Name the right one in the day file under `markers`, by label, description or number.',
  },
  'named-marker-missing': {
    severity: 'warning',
    meaning: 'A marker named in the day file is not in this recording.',
    whatToDo: 'Correct the name, or leave it: only the quantities that need it are missing.',
  },
  'zeros-taken-as-missing': {
    severity: 'info',
    meaning: 'Samples that are exactly 0, 0, 0 were taken as missing.',
    whatToDo: 'Nothing; such samples are gaps written without a mark.',
  },
  'coordinates-trusted': {
    severity: 'warning',
    meaning:
      'Every sample is marked invalid in the file; coordinates were used because the day file says `trust_coordinates`.',
    whatToDo: 'Look at the report with care; export the trial again with valid residuals.',
  },
  'landmark-substituted': {
    severity: 'info',
    meaning: 'A landmark stands in for the one the definition names.',
    whatToDo: 'Compare only trials with the same substitution.',
  },
  'points-computed': {
    severity: 'info',
    meaning:
      'Lengths between joints stay constant as no skin marker’s do: the points were computed by a model of rigid segments, such as that of a suit of sensors. They were taken as markers.',
    whatToDo: 'Know that places come from the model’s lengths, and compare only recordings of the same system.',
  },
  'no-club-in-recording': {
    severity: 'warning',
    meaning: 'The day file names a club, but no club marker was found in the recording.',
    whatToDo: 'Name the club’s markers in the day file, or capture them. Positions that need the shaft are missing.',
  },
} as const satisfies DiagnosticTable;

export const intakeDiagnostic = diagnosticMaker(INTAKE_DIAGNOSTICS);
