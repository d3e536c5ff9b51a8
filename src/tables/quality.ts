import type { SwingRecord } from '../model/swingRecord.ts';
import type { MarkerQuality } from '../model/trial.ts';
import { TABLE_DECIMALS, toDisplay } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder } from './swingColumns.ts';

export interface QualityRow {
  readonly record: SwingRecord;
  readonly marker: MarkerQuality;
}

export const QUALITY: Table<QualityRow> = {
  name: 'quality',
  about: 'One marker or sensor of one swing: gaps and noise.',
  columns: [
    textColumn('player', 'id of the player', (row) => row.record.head.player),
    textColumn('trial', 'id of the trial', (row) => row.record.head.trial),
    textColumn('marker', 'landmark, or sensor and its name', (row) => row.marker.marker),
    numberColumn('frames', 'frames', 'frames of the recording', (row) => row.marker.frames, 0),
    numberColumn('missing', 'frames', 'frames without a measured sample', (row) => row.marker.missing, 0),
    numberColumn('filled', 'frames', 'frames filled by any method', (row) => row.marker.filled, 0),
    numberColumn('longest_gap_s', 's', 'longest gap', (row) => row.marker.longestGap_s, TABLE_DECIMALS.s),
    numberColumn(
      'noise_mm',
      'mm',
      'standard deviation per axis of the white noise',
      (row) => toDisplay(row.marker.noise_m, 'mm'),
      TABLE_DECIMALS.mm,
    ),
    textColumn('flags', 'doubts about the marker, joined by ;', (row) => row.marker.flags.join(';')),
    numberColumn(
      'filled_rigid',
      'frames',
      'of them from the rest of the segment as a rigid body; empty of sensors',
      (row) => row.marker.fills?.rigid ?? null,
      0,
    ),
    numberColumn(
      'filled_spline',
      'frames',
      'of them by a spline; empty of sensors',
      (row) => row.marker.fills?.spline ?? null,
      0,
    ),
    numberColumn(
      'filled_components',
      'frames',
      'of them by principal components of the neighbouring markers; empty of sensors',
      (row) => row.marker.fills?.components ?? null,
      0,
    ),
  ],
};

export function* qualityRows(records: Iterable<SwingRecord>): Generator<QualityRow> {
  for (const record of inTrialOrder(records)) for (const marker of record.quality) yield { record, marker };
}
