/** Every code the C3D layer can give, declared once; docs/diagnostics.md is generated from it. */
import type { Diagnostic, DiagnosticTable } from '../base/diagnostics.ts';
import { diagnosticMaker } from '../base/diagnostics.ts';
import { FormatError } from '../base/errors.ts';

/** Every code that reading a C3D file may give, with its severity, its meaning and what to do. */
export const C3D_DIAGNOSTICS = {
  // The file cannot be read: thrown as FormatError.
  'file-too-short': {
    severity: 'error',
    meaning: 'The file ends before a field that every C3D file has.',
    whatToDo: 'Copy the file again from where it was recorded; it was cut off or is no C3D file.',
  },
  'not-c3d': {
    severity: 'error',
    meaning: 'The second byte of the file is not 80, the mark of a C3D file.',
    whatToDo: 'Check that this is a C3D file; export it again if bytes were put before its header.',
  },
  'parameter-block-outside-file': {
    severity: 'error',
    meaning: 'The header points to a parameter section that the file does not hold.',
    whatToDo: 'Copy or export the file again.',
  },
  'processor-unknown': {
    severity: 'error',
    meaning: 'The parameter section does not say which of the three byte orders the file uses.',
    whatToDo: 'Export the file again; the parameter section is damaged.',
  },
  'data-block-outside-file': {
    severity: 'error',
    meaning: 'Neither the header nor POINT:DATA_START points to a data section inside the file.',
    whatToDo: 'Copy or export the file again.',
  },
  'read-cut-short': {
    severity: 'error',
    meaning: 'The disk gave fewer bytes than the size of the file promised.',
    whatToDo: 'See whether the file is still being written or copied, then run again.',
  },
  // Pointers and parameters.
  'parameter-pointer-zero': {
    severity: 'warning',
    meaning: 'The header gives no parameter block; block 2, the usual one, is read.',
    whatToDo: 'Nothing, if the labels are right; otherwise export the file again.',
  },
  'no-parameters': {
    severity: 'warning',
    meaning: 'The file has no parameters: no labels and no units; counts, scale and rate come from the header.',
    whatToDo: 'Give the units, the axes and the marker names in the day file.',
  },
  'parameter-chain-broken': {
    severity: 'warning',
    meaning: 'A record of the parameter section is damaged; what comes after it is not read.',
    whatToDo: 'Check that labels, units and events are complete; export the file again if not.',
  },
  'parameter-chain-past-end': {
    severity: 'info',
    meaning: 'The last parameter record points past the parameter section instead of ending the list.',
    whatToDo: 'Nothing.',
  },
  'parameter-blocks-wrong': {
    severity: 'info',
    meaning: 'The parameters fill more blocks than the section says; all up to the data section are read.',
    whatToDo: 'Nothing.',
  },
  'parameter-cut': {
    severity: 'warning',
    meaning: 'A parameter declares more values than its record holds; the values that exist are kept.',
    whatToDo: 'Check the parameter named in the message.',
  },
  'parameter-type-unknown': {
    severity: 'warning',
    meaning: 'A parameter has a type that the format does not know; it is left out.',
    whatToDo: 'Nothing, unless the parameter named in the message is needed.',
  },
  'parameter-repeated': {
    severity: 'info',
    meaning: 'Parameters occur twice in their group; the first of each is used.',
    whatToDo: 'Nothing, unless the two differ.',
  },
  'parameter-without-group': {
    severity: 'info',
    meaning: 'Parameters name a group that the file does not have; they are kept under its number.',
    whatToDo: 'Nothing.',
  },
  'parameter-without-description': {
    severity: 'info',
    meaning: 'Parameter records end before the byte that gives the length of their description.',
    whatToDo: 'Nothing.',
  },
  'group-repeated': {
    severity: 'info',
    meaning: 'Two groups have the same name; their parameters are put together.',
    whatToDo: 'Nothing.',
  },
  'text-not-utf8': {
    severity: 'info',
    meaning: 'A text is not UTF-8 and is read as Latin-1.',
    whatToDo: 'Check accented letters in labels and descriptions.',
  },
  // Layout of the data section.
  'data-start-disagrees': {
    severity: 'warning',
    meaning: 'POINT:DATA_START is not the data block of the header; the header is followed.',
    whatToDo: 'Nothing, if the coordinates look right.',
  },
  'data-block-from-parameter': {
    severity: 'warning',
    meaning: 'The data block of the header lies outside the file; POINT:DATA_START is followed.',
    whatToDo: 'Check that the coordinates look right.',
  },
  'point-count-disagrees': {
    severity: 'warning',
    meaning:
      'The header and POINT:USED give different numbers of points; the one that fits the size of the file is used.',
    whatToDo: 'Check that the number of points is right.',
  },
  'point-scale-missing': {
    severity: 'info',
    meaning: 'There is no POINT:SCALE; the scale of the header is used.',
    whatToDo: 'Nothing.',
  },
  'point-scale-zero': {
    severity: 'error',
    meaning:
      'The scale of the coordinates is zero or no number; 1 is used and the storage form is taken from the size of the file.',
    whatToDo: 'Check the size of the body in the report; export the file again if it is wrong.',
  },
  'point-scale-disagrees': {
    severity: 'warning',
    meaning: 'The header and POINT:SCALE give different scales; POINT:SCALE is used, unless it is zero or no number.',
    whatToDo: 'Check the size of the body in the report; residuals may be wrong by the ratio.',
  },
  'storage-form-disagrees': {
    severity: 'warning',
    meaning:
      'One of header and POINT:SCALE says integer storage, the other float; the one that fits the size of the file is used.',
    whatToDo: 'Check that the coordinates look right.',
  },
  'rate-from-header': {
    severity: 'info',
    meaning: 'There is no usable POINT:RATE; the rate of the header is used.',
    whatToDo: 'Check that the rate is right.',
  },
  'rate-disagrees': {
    severity: 'warning',
    meaning: 'The header and POINT:RATE give different rates; POINT:RATE is used.',
    whatToDo: 'Set rate_Hz in the day file if POINT:RATE is wrong.',
  },
  'rate-missing': {
    severity: 'error',
    meaning: 'Neither POINT:RATE nor the header gives a frame rate.',
    whatToDo: 'Set rate_Hz in the day file.',
  },
  'first-frame-zero': {
    severity: 'info',
    meaning: 'The first frame has the number 0, though frames are numbered from 1.',
    whatToDo: 'Nothing.',
  },
  'frame-count-disagrees': {
    severity: 'warning',
    meaning:
      'TRIAL, POINT and the header give different numbers of frames; the one that fits the size of the file is used.',
    whatToDo: 'Check that the trial has the length you expect.',
  },
  'frames-missing': {
    severity: 'error',
    meaning: 'The file ends before the last frame it declares; the whole frames that exist are kept.',
    whatToDo: 'Copy the file again from where it was recorded.',
  },
  'bytes-after-data': {
    severity: 'info',
    meaning: 'There are more bytes after the last declared frame than fill its last block; they are not read.',
    whatToDo: 'Nothing, if the trial has the length you expect.',
  },
  'no-points': { severity: 'info', meaning: 'The file holds no points.', whatToDo: 'Leave it out of the day.' },
  'labels-fewer-than-points': {
    severity: 'warning',
    meaning: 'Some points have no label; it is left blank.',
    whatToDo: 'Check that no marker is among the points without a label.',
  },
  'labels-more-than-points': {
    severity: 'info',
    meaning: 'There are more labels than points; those beyond the last point are not used.',
    whatToDo: 'Nothing.',
  },
  // Rotations.
  'rotation-start-unusable': {
    severity: 'warning',
    meaning:
      'ROTATION:DATA_START points to no place in the file; the matrices are read from the block after points and analog values.',
    whatToDo: 'Check that the orientations look right.',
  },
  'rotations-missing': {
    severity: 'error',
    meaning: 'The file ends before the last rotation matrix it declares; those that exist are kept.',
    whatToDo: 'Copy the file again from where it was recorded.',
  },
  'rotation-rate-disagrees': {
    severity: 'warning',
    meaning: 'ROTATION:RATE is not the frame rate times ROTATION:RATIO; the ratio is followed.',
    whatToDo: 'Check the time of the orientations against another signal.',
  },
  'rotation-not-orthonormal': {
    severity: 'warning',
    meaning:
      'Rotation matrices have columns that are not of length 1, not at right angles, or left-handed; they are given as stored.',
    whatToDo: 'Do not use the rotations of this file before it was exported again.',
  },
  'rotation-fourth-row': {
    severity: 'warning',
    meaning:
      'The fourth row of 4 × 4 matrices is not 0, 0, 0, 1: they may have been stored row by row, the other way round than the format wants.',
    whatToDo: 'Check one orientation against the motion; transpose the matrices if they turn the wrong way.',
  },
  'fourth-word-outside-range': {
    severity: 'info',
    meaning:
      'The validity word of samples in a float file is not a 16-bit number, such as 65535; it is held at the nearest one, which does not make the sample invalid.',
    whatToDo: 'Check whether these samples are gaps; coordinates of exactly zero are treated as gaps anyway.',
  },
  // Analog.
  'analog-count-disagrees': {
    severity: 'warning',
    meaning:
      'The number of analog values in a frame is not channels × samples; the one that fits the size of the file is used.',
    whatToDo: 'Check forces and triggers, if they are used.',
  },
  'analog-does-not-divide': {
    severity: 'warning',
    meaning:
      'The analog values of a frame do not divide into channels and samples; they are set aside, points are read.',
    whatToDo: 'Export the file again, if forces or triggers are needed.',
  },
  'analog-rate-disagrees': {
    severity: 'warning',
    meaning:
      'ANALOG:RATE is not the frame rate times the analog samples of a frame; the samples of the header are used.',
    whatToDo: 'Check the time of triggers and sounds, if they are used.',
  },
  'analog-scale-zero': {
    severity: 'warning',
    meaning: 'A scale of analog channels is zero or no number; 1 is used.',
    whatToDo: 'Do not use the values of the channels named in the message.',
  },
  'analog-scale-missing': {
    severity: 'info',
    meaning: 'Some analog channels have no scale or no offset; 1 and 0 are used.',
    whatToDo: 'Nothing, if these channels are not used.',
  },
  'analog-format-unknown': {
    severity: 'info',
    meaning: 'ANALOG:FORMAT or ANALOG:BITS has a value the format does not know; signed 16-bit words are read.',
    whatToDo: 'Check forces and triggers, if they are used.',
  },
  'selection-not-found': {
    severity: 'info',
    meaning: 'A point or channel that was asked for is not in the file; it is left out.',
    whatToDo: 'Check its label against those of the file.',
  },
  // Force platforms.
  'force-plate-type-unknown': {
    severity: 'warning',
    meaning: 'A force platform has a type other than 1 to 4; it is left out.',
    whatToDo: 'Export the file with another type of platform, if its forces are needed.',
  },
  'force-plate-incomplete': {
    severity: 'warning',
    meaning: 'Corners, origin, channels or calibration of a force platform are missing or unusable; it is left out.',
    whatToDo: 'Export the file again, if its forces are needed.',
  },
  'force-plate-origin-sign': {
    severity: 'info',
    meaning:
      'ORIGIN of a force platform puts its surface beneath its sensors, so it was stored the other way round; it is reversed.',
    whatToDo: 'Nothing.',
  },
  'force-plate-zero-not-stored': {
    severity: 'info',
    meaning: 'The frames that FORCE_PLATFORM:ZERO names are not in the file; no zero offset is taken off.',
    whatToDo: 'Check that the forces are zero while nobody stands on the platform.',
  },
  'force-plate-channel-flat': {
    severity: 'warning',
    meaning:
      'Some channels of a force platform vary and others hold one value throughout, as of signals that were not recorded; forces, moments and centres of pressure that need them are wrong.',
    whatToDo: 'Use only the forces whose channels vary; export the file again with all channels.',
  },
  'force-plate-units': {
    severity: 'warning',
    meaning: 'The moments of a force platform are in another length than its corners; nothing is converted.',
    whatToDo: 'Give the factor between the two lengths when the forces are computed.',
  },
  // Events.
  'event-times-layout': {
    severity: 'info',
    meaning: 'EVENT:TIMES is not a table of minutes and seconds; its values are read in that order.',
    whatToDo: 'Check the times of the events.',
  },
  'event-count-disagrees': {
    severity: 'info',
    meaning: 'EVENT:USED, LABELS and TIMES have different lengths; the events that have a time are kept.',
    whatToDo: 'Check that the events are complete.',
  },
  'event-label-from-context': {
    severity: 'info',
    meaning: 'Events have no label and their context is no side; the context is taken for the label.',
    whatToDo: 'Nothing.',
  },
  'event-time-unreadable': {
    severity: 'warning',
    meaning: 'The time of an event is no number; the event is left out.',
    whatToDo: 'Set the event again, if it is needed.',
  },
  'event-origin-first-frame': {
    severity: 'warning',
    meaning: 'Event times counted from frame 1 fall outside the file; they are counted from the first stored frame.',
    whatToDo: 'Check one event against the motion.',
  },
  'event-outside-file': {
    severity: 'warning',
    meaning: 'An event lies before the first or after the last stored frame.',
    whatToDo: 'Nothing, if the trial was trimmed; otherwise check the event.',
  },
  'header-events-too-many': {
    severity: 'warning',
    meaning: 'The header declares more than the 18 events it can hold; 18 are read.',
    whatToDo: 'Check the events.',
  },
} satisfies DiagnosticTable;

/** A code of C3D_DIAGNOSTICS. */
export type C3dCode = keyof typeof C3D_DIAGNOSTICS;

/** A diagnostic outside of reading. */
export const diagnose = diagnosticMaker(C3D_DIAGNOSTICS);

/** The same code is told this often at most; the rest are counted. */
const MOST_PER_CODE = 20;

/** Gathers the diagnostics of one file. In strict mode a warning or an error becomes a FormatError at once. */
export class Notes {
  readonly #file: string;
  readonly #strict: boolean;
  readonly #list: Diagnostic[] = [];
  readonly #counts = new Map<C3dCode, number>();

  constructor(file: string, strict: boolean) {
    this.#file = file;
    this.#strict = strict;
  }

  add(code: C3dCode, message: string, offset: number | null): void {
    const { severity, whatToDo } = C3D_DIAGNOSTICS[code];
    if (this.#strict && severity !== 'info') {
      const wayOut = `${whatToDo} Without --strict the file is read`;
      throw new FormatError({ file: this.#file, code, offset, path: [], found: message, expected: '', wayOut });
    }
    const count = (this.#counts.get(code) ?? 0) + 1;
    this.#counts.set(code, count);
    if (count <= MOST_PER_CODE) this.#list.push(diagnose(code, message, offset));
  }

  /** Throws the FormatError of a file that cannot be read. */
  fail(code: C3dCode, path: readonly string[], found: string, expected: string, offset: number | null): never {
    const wayOut = C3D_DIAGNOSTICS[code].whatToDo;
    throw new FormatError({ file: this.#file, code, offset, path, found, expected, wayOut });
  }

  /** All diagnostics in the order they were found, with a closing count for codes told too often. */
  list(): readonly Diagnostic[] {
    const out = [...this.#list];
    for (const [code, count] of this.#counts) {
      if (count > MOST_PER_CODE) out.push(diagnose(code, `… and ${count - MOST_PER_CODE} more of these`, null));
    }
    return out;
  }
}
