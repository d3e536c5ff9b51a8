/** Every code the layer of sensor tables can give, declared once; docs/diagnostics.md is generated from it. */
import type { Diagnostic, DiagnosticTable } from '../base/diagnostics.ts';
import { diagnosticMaker } from '../base/diagnostics.ts';
import { FormatError } from '../base/errors.ts';

export const IMU_DIAGNOSTICS = {
  // The files cannot be read: thrown as FormatError.
  'table-not-text': {
    severity: 'error',
    meaning: 'The file holds bytes that are no text, or a line of more than a million characters.',
    whatToDo:
      'Export the recording as delimited text: one line per sample, cells parted by commas, semicolons or tabs.',
  },
  'table-without-numbers': {
    severity: 'error',
    meaning: 'The file has no rows of numbers.',
    whatToDo: 'Check that this is a recording; leave other tables out of the day.',
  },
  'table-cells-unreadable': {
    severity: 'error',
    meaning: 'More than a tenth of the cells of a column of numbers are no numbers.',
    whatToDo: 'Export the file again; check the decimal mark and the delimiter.',
  },
  'table-rows-unreadable': {
    severity: 'error',
    meaning: 'More than a tenth of the rows have another number of cells than the rest.',
    whatToDo: 'Export the file again; check that a decimal comma does not part the cells too.',
  },
  'recording-without-tables': {
    severity: 'error',
    meaning: 'None of the files of the recording is a table of numbers.',
    whatToDo: 'Name the folder that holds the tables, one per sensor, as .csv, .tsv or .txt.',
  },
  'bids-several-recordings': {
    severity: 'error',
    meaning: 'Several *_motion.tsv files were named as one recording.',
    whatToDo: 'Name each *_motion.tsv as a trial of its own; its side-cars are found by name.',
  },
  'bids-recording-missing': {
    severity: 'error',
    meaning: 'Side-cars of Motion-BIDS are there, the *_motion.tsv they describe is not.',
    whatToDo: 'Name the *_motion.tsv file itself.',
  },
  'bids-channels-missing': {
    severity: 'error',
    meaning: 'A *_motion.tsv has no *_channels.tsv: its columns have no names, types and units.',
    whatToDo: 'Put the *_channels.tsv of the recording beside it.',
  },
  'bids-channels-unreadable': {
    severity: 'error',
    meaning: 'A *_channels.tsv lacks a required column, or one of its rows has another number of cells.',
    whatToDo: 'Give the columns name, component, type, tracked_point and units, one row per channel.',
  },
  'bids-motion-json-missing': {
    severity: 'error',
    meaning: 'A *_motion.tsv has no *_motion.json: its rate is unknown.',
    whatToDo: 'Put the *_motion.json of the recording beside it.',
  },
  'bids-json-unreadable': {
    severity: 'error',
    meaning: 'A JSON side-car is no JSON object.',
    whatToDo: 'Correct the side-car named in the message.',
  },
  'bids-json-field': {
    severity: 'error',
    meaning: 'A *_motion.json lacks SamplingFrequency or TaskName, or they are not a number above zero and a text.',
    whatToDo: 'Add the field named in the message.',
  },
  'bids-columns-disagree': {
    severity: 'error',
    meaning: 'A *_motion.tsv has another number of columns than its *_channels.tsv has rows.',
    whatToDo: 'Correct *_channels.tsv: one row per column, in the order of the columns.',
  },
  // Tables.
  'cells-not-numbers': {
    severity: 'warning',
    meaning: 'A few cells of a column of numbers are no numbers; they count as missing.',
    whatToDo: 'Look at the first one, named in the message.',
  },
  'rows-of-another-width': {
    severity: 'warning',
    meaning: 'A few rows have another number of cells than the rest; they are left out.',
    whatToDo: 'Look at the first one, named in the message; a last row that is cut off does no harm.',
  },
  'lines-before-table': {
    severity: 'info',
    meaning: 'Lines before the table have another number of cells and are passed over.',
    whatToDo: 'Nothing, if the columns have the names you expect.',
  },
  'header-from-comment': {
    severity: 'info',
    meaning: 'The names of the columns stand in a comment line.',
    whatToDo: 'Nothing, if the columns have the names you expect.',
  },
  'header-rows-joined': {
    severity: 'info',
    meaning: 'Several rows of names stand above the numbers; the names of each column are joined by a blank.',
    whatToDo: 'Nothing, if the columns have the names you expect.',
  },
  'header-missing': {
    severity: 'info',
    meaning: 'The table has no header; its columns are called col_1, col_2 and so on.',
    whatToDo: 'Name the columns in the day file (sensors: columns).',
  },
  'column-names-repeated': {
    severity: 'warning',
    meaning: 'Several columns have the same name; the first of them is used.',
    whatToDo: 'Give the columns different names.',
  },
  'table-left-out': {
    severity: 'warning',
    meaning: 'A file of the recording is no table of numbers and is left out.',
    whatToDo: 'Nothing, if it holds no sensor; otherwise export it again.',
  },
  // Motion-BIDS.
  'bids-header-row': {
    severity: 'info',
    meaning: 'A *_motion.tsv starts with a row of its channel names, which the standard does not provide for.',
    whatToDo: 'Nothing.',
  },
  'bids-channels-order': {
    severity: 'warning',
    meaning:
      'The required columns of *_channels.tsv do not come first in the order name, component, type, tracked_point, units.',
    whatToDo: 'Nothing: the columns are found by their names.',
  },
  'bids-count-disagrees': {
    severity: 'warning',
    meaning: 'A count of *_motion.json is not that of *_channels.tsv; the channels are followed.',
    whatToDo: 'Check that no channel is missing from *_channels.tsv.',
  },
  'bids-duration-disagrees': {
    severity: 'warning',
    meaning: 'RecordingDuration of *_motion.json is not the number of rows over SamplingFrequency.',
    whatToDo: 'Check SamplingFrequency; samples may have been dropped.',
  },
  'bids-type-unknown': {
    severity: 'warning',
    meaning: 'A channel has a type that the standard does not know; it is kept and not used.',
    whatToDo: 'Correct the type if the channel is needed.',
  },
  'bids-type-written-differently': {
    severity: 'warning',
    meaning:
      'A channel type is not in capitals or has the name of an older draft; it is read as the type that was meant.',
    whatToDo: 'Nothing.',
  },
  'bids-component-unknown': {
    severity: 'warning',
    meaning: 'A channel has a component that the standard does not know, or one that does not go with its type.',
    whatToDo: 'Correct the component: x, y, z, quat_x, quat_y, quat_z, quat_w or n/a; quaternions have type ORNT.',
  },
  'bids-unit-unexpected': {
    severity: 'warning',
    meaning: 'A LATENCY channel is not in seconds, or a JNTANG channel not in degrees, as the standard requires.',
    whatToDo: 'Check the unit of the channel.',
  },
  'bids-field-unreadable': {
    severity: 'warning',
    meaning: 'An optional entry of a side-car is not of the form the standard gives it; it is left out.',
    whatToDo: 'Correct the entry named in the message, if it matters.',
  },
  'bids-other-files': {
    severity: 'info',
    meaning: 'Files that do not belong to the recording were named with it; they are not read.',
    whatToDo: 'Nothing.',
  },
} satisfies DiagnosticTable;

export type ImuCode = keyof typeof IMU_DIAGNOSTICS;

export const diagnose = diagnosticMaker(IMU_DIAGNOSTICS);

/** The same code is told this often at most; the rest are counted. */
const MOST_PER_CODE = 20;

/** Gathers the diagnostics of one recording. */
export class Notes {
  readonly #list: Diagnostic[] = [];
  readonly #counts = new Map<ImuCode, number>();

  add(code: ImuCode, message: string, offset: number | null = null): void {
    const count = (this.#counts.get(code) ?? 0) + 1;
    this.#counts.set(code, count);
    if (count <= MOST_PER_CODE) this.#list.push(diagnose(code, message, offset));
  }

  list(): readonly Diagnostic[] {
    const out = [...this.#list];
    for (const [code, count] of this.#counts) {
      if (count > MOST_PER_CODE) out.push(diagnose(code, `… and ${count - MOST_PER_CODE} more of these`));
    }
    return out;
  }
}

/** Throws the FormatError of a file that cannot be read. */
export function fail(
  file: string,
  code: ImuCode,
  found: string,
  expected: string,
  path: readonly string[] = [],
  offset: number | null = null,
): never {
  const wayOut = IMU_DIAGNOSTICS[code].whatToDo;
  throw new FormatError({ file, code, offset, path, found, expected, wayOut });
}

/** A piece of a file in a message: short, on one line, in quotes. */
export function quoted(text: string): string {
  const plain = text.replace(/[\s\p{C}]+/gu, ' ');
  return `'${plain.length > 40 ? `${plain.slice(0, 40)}…` : plain}'`;
}
