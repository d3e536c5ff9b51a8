import { formatFixed } from '../base/format.ts';
import { compareCodeUnits } from '../base/text.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import type { TrialFacts } from '../model/trial.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';

function factsOf(row: DayOutcome): TrialFacts | null {
  return row.record?.head.facts ?? row.head?.facts ?? null;
}

/** Facts about lengths and axes, which a recording of sensors has not. */
function placesOf(row: DayOutcome): TrialFacts | null {
  return sourceOf(row) === 'sensors' ? null : factsOf(row);
}

function sourceOf(row: DayOutcome): 'markers' | 'sensors' | '' {
  const head = row.record?.head ?? row.head ?? null;
  return head === null ? '' : (head.source ?? 'markers');
}

export const TRIALS: Table<DayOutcome> = {
  name: 'trials',
  about: 'One trial of the day: what became of it and what was known of it.',
  columns: [
    textColumn('trial', 'id of the trial', (row) => row.trial),
    textColumn('file', 'path below the data folder; a folder of tables ends in /', (row) => row.file),
    textColumn(
      'sha256',
      'of the bytes of the file; of several files of the lines `sha256  path` sorted by path, each ended by a line feed',
      (row) => row.sha256,
    ),
    textColumn('player', 'id of the player', (row) => row.player),
    textColumn('club', 'id of the club', (row) => row.club),
    textColumn('kind', 'kind of the club', (row) => row.kind),
    textColumn('set', 'set the trial belongs to', (row) => row.set),
    textColumn('role', 'swing, static, functional, calibration', (row) => row.role),
    textColumn('status', 'used, left-out, rejected, failed', (row) => row.status),
    textColumn('reason', 'why it was left out, rejected or failed', (row) => row.reason),
    textColumn('source', 'markers or sensors', sourceOf),
    textColumn('datum', 'zero of the angles: only equal ones are compared', (row) => row.record?.datum.id ?? ''),
    numberColumn('frames', 'frames', 'frames of the recording', (row) => row.record?.frames ?? row.frames ?? null, 0),
    numberColumn('rate_Hz', 'Hz', 'frames a second', (row) => factsOf(row)?.rate_Hz.value ?? null, 3),
    textColumn('units', 'unit of length in the file', (row) => placesOf(row)?.units.value ?? ''),
    textColumn('up', 'axis of the file that points up', (row) => placesOf(row)?.up.value ?? ''),
    textColumn('target', 'axis of the file that points to the target', (row) => placesOf(row)?.target.value ?? ''),
    textColumn('mirrored', 'yes where the axes of the file are left-handed', (row) => {
      const mirrored = placesOf(row)?.mirrored.value;
      return mirrored === undefined ? '' : mirrored ? 'yes' : 'no';
    }),
    textColumn('hand', 'hand of the player', (row) => factsOf(row)?.hand.value ?? ''),
    textColumn('form', 'full with segment frames, reduced with joint centres only', (row) => row.record?.form ?? ''),
    textColumn(
      'gate',
      'of a swing that was worked out: accept, review (used and marked) or reject (docs/gates.md)',
      (row) => row.gate?.verdict ?? '',
    ),
    textColumn('gate_reasons', 'rules of the gates that tripped, with what was found, joined by ;', (row) =>
      (row.gate?.reasons ?? []).map(({ rule, text }) => `${rule}: ${text}`).join(';'),
    ),
    textColumn('gate_set_by', 'rules, or day file where a person decided', (row) => row.gate?.setBy ?? ''),
    textColumn(
      'outlying',
      'values in which a used swing stands apart from the others of its group (quantity@position, less their median), joined by ;',
      (row) =>
        (row.outlying?.values ?? [])
          .map(({ quantity, position, unit, deviation }) => {
            const sign = deviation > 0 ? '+' : '';
            return `${quantity}@${position} ${sign}${formatFixed(deviation, TABLE_DECIMALS[unit])} ${unit}`;
          })
          .join(';'),
    ),
    numberColumn(
      'outlying_distance',
      '',
      'robust distance of an outlying swing from the middle of its group; about 1 for a common swing',
      (row) => row.outlying?.distance ?? null,
      2,
    ),
  ],
};

export function trialRows<O extends DayOutcome>(outcomes: readonly O[]): readonly O[] {
  return [...outcomes].sort((a, b) => compareCodeUnits(a.trial, b.trial));
}
