/** The tables of the archive: those of a processed day with what comparing days needs beside, and without texts a person wrote. */
import type { PlayerComparison } from '../model/comparison.ts';
import type { StillAngle, StillRecord } from '../model/stillRecord.ts';
import type { SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { TABLE_DECIMALS, toDisplay } from '../model/units.ts';
import { ANGLES, type AngleRow, angleRows } from '../tables/angles.ts';
import { COMPARISON, type ComparedRow, comparedRows } from '../tables/comparison.ts';
import { type Column, type Described, numberColumn, type Table, textColumn } from '../tables/csv.ts';
import { POSITION_TABLE, type PositionRow, positionRows } from '../tables/positions.ts';
import { QUALITY, type QualityRow, qualityRows } from '../tables/quality.ts';
import { TRIALS, trialRows } from '../tables/trials.ts';

/** Which program made a row. */
export interface Stamp {
  readonly version: string;
  readonly tables: number;
}

/** One player's part of a day. */
export interface PlayerDay {
  readonly records: readonly SwingRecord[];
  readonly stills: readonly StillRecord[];
  readonly outcomes: readonly TrialOutcome[];
  readonly comparisons: readonly PlayerComparison[];
}

export interface ArchiveTable {
  readonly name: string;
  readonly about: string;
  readonly columns: readonly Described[];
  /** The table and its rows, for any writer. */
  readonly write: <T>(day: PlayerDay, stamp: Stamp, writer: <R>(table: Table<R>, rows: readonly R[]) => T) => T;
}

const ARCHIVE_ANGLES: Table<AngleRow> = {
  ...ANGLES,
  columns: [
    ...ANGLES.columns,
    textColumn(
      'rule',
      'what the value was made of, where that differs from swing to swing',
      ({ cell }) => cell.rule ?? '',
    ),
    textColumn('needed', 'of a missing value what it needed', ({ cell }) => cell.why?.needed ?? ''),
  ],
};

const ARCHIVE_POSITIONS: Table<PositionRow> = {
  ...POSITION_TABLE,
  columns: [
    ...POSITION_TABLE.columns,
    textColumn('flags', 'doubts about the position, joined by ;', ({ moment }) =>
      moment.found ? moment.flags.join(';') : '',
    ),
  ],
};

/** Columns with texts that a person wrote: paths of files, notes. They may hold a name. */
const WRITTEN_BY_HAND = ['file', 'reason', 'gate_reasons'];

const ARCHIVE_TRIALS: Table<TrialOutcome> = {
  ...TRIALS,
  columns: [
    ...TRIALS.columns.filter(({ name }) => !WRITTEN_BY_HAND.includes(name)),
    textColumn('gate_rules', 'rules of the gates that tripped, joined by ;', ({ gate }) =>
      (gate?.reasons ?? []).map(({ rule }) => rule).join(';'),
    ),
    textColumn(
      'datum_kind',
      'anatomical: axes from landmarks; calibration: zeroed at a pose',
      (row) => row.record?.datum.kind ?? '',
    ),
    textColumn('head_point', 'point of the club that its figures are of', (row) => row.record?.headPoint?.id ?? ''),
    numberColumn(
      'place_in_day',
      '',
      'place among the trials of the day, from 0',
      (row) => row.record?.head.order ?? null,
      0,
    ),
  ],
};

interface StillRow {
  readonly still: StillRecord;
  readonly angle: StillAngle;
}

const STILLS: Table<StillRow> = {
  name: 'stills',
  about: 'One angle of the still pose of a static trial of markers.',
  columns: [
    textColumn('player', 'id of the player', ({ still }) => still.head.player),
    textColumn('trial', 'id of the static trial', ({ still }) => still.head.trial),
    textColumn('sha256', 'of the bytes of its file', ({ still }) => still.sha256),
    textColumn('datum', 'landmarks that its angles rest on', ({ still }) => still.datum.id),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ angle }) => angle.quantity),
    textColumn('order', 'axis order of the angle', ({ angle }) => angle.order),
    inDegrees('value', 'mean over the frames', (angle) => angle.value),
    inDegrees('range', 'largest less smallest of ten means over equal stretches', (angle) => angle.range),
    textColumn('flags', 'moves, near-singular; joined by ;', ({ angle }) => angle.flags.join(';')),
  ],
};

function inDegrees(name: string, meaning: string, read: (angle: StillAngle) => number): Column<StillRow> {
  return numberColumn(name, 'deg', meaning, ({ angle }) => toDisplay(read(angle), 'deg'), TABLE_DECIMALS.deg);
}

/** The table with the columns that say which program made its rows. */
function stamped<R>(table: Table<R>, { version, tables }: Stamp): Table<R> {
  return {
    ...table,
    columns: [
      ...table.columns,
      textColumn('program', 'version of the program that processed the day', () => version),
      numberColumn('tables', '', 'version of columns and names', () => tables, 0),
    ],
  };
}

function entry<R>(table: Table<R>, rows: (day: PlayerDay) => Iterable<R>): ArchiveTable {
  return {
    name: table.name,
    about: table.about,
    columns: stamped(table, { version: '', tables: 0 }).columns,
    write: (day, stamp, writer) => writer(stamped(table, stamp), [...rows(day)]),
  };
}

/** By name; the files of a player's day are called so. */
export const ARCHIVE_TABLES: readonly ArchiveTable[] = [
  entry<AngleRow>(ARCHIVE_ANGLES, ({ records }) => angleRows(records)),
  entry<ComparedRow>(COMPARISON, ({ comparisons }) => comparedRows(comparisons)),
  entry<PositionRow>(ARCHIVE_POSITIONS, ({ records }) => positionRows(records)),
  entry<QualityRow>(QUALITY, ({ records }) => qualityRows(records)),
  entry<StillRow>(STILLS, ({ stills }) =>
    stills.flatMap((still) => still.angles.map((angle): StillRow => ({ still, angle }))),
  ),
  entry<TrialOutcome>(ARCHIVE_TRIALS, ({ outcomes }) => trialRows(outcomes)),
];
