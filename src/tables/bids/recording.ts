/** One swing in Motion-BIDS: its table of samples and the side-cars that belong to it alone. */
import { formatFixed } from '../../base/format.ts';
import { POSITIONS } from '../../model/positions.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import type { SwingSeries } from '../../model/swingSeries.ts';
import { TABLE_DECIMALS } from '../../model/units.ts';
import { jsonText } from '../storedRecord.ts';
import { type BidsColumn, bidsColumns } from './channels.ts';
import { type BidsName, tsvLine } from './labels.ts';

/** A file below the data set's folder. */
export interface BidsFile {
  readonly path: string;
  readonly text: Iterable<string>;
}

const CHUNK = 65_536;
/** Columns of channels.tsv: the five that the standard requires in their order, then what it recommends. */
const CHANNEL_HEADER = [
  'name',
  'component',
  'type',
  'tracked_point',
  'units',
  'reference_frame',
  'description',
] as const;

/** The four files of a swing. */
export function recordingFiles(
  { subject, stem }: BidsName,
  record: SwingRecord,
  series: SwingSeries,
): readonly BidsFile[] {
  const columns = bidsColumns(series, record.head.facts.hand.value);
  const path = `${subject}/motion/${stem}`;
  return [
    { path: `${path}_motion.tsv`, text: samples(columns, series.clock.frames) },
    { path: `${path}_channels.tsv`, text: channelLines(columns) },
    { path: `${path}_motion.json`, text: [`${jsonText(motionJson(record, series, columns))}\n`] },
    { path: `${path}_events.tsv`, text: eventLines(record) },
  ];
}

/** Rows without a header, as the standard has them; missing samples are n/a. */
function* samples(columns: readonly BidsColumn[], frames: number): Generator<string> {
  let text = '';
  for (let frame = 0; frame < frames; frame++) {
    text += tsvLine(columns.map(({ at, decimals }) => formatFixed(at(frame), decimals)));
    if (text.length < CHUNK) continue;
    yield text;
    text = '';
  }
  yield text;
}

function channelLines(columns: readonly BidsColumn[]): string[] {
  return [tsvLine(CHANNEL_HEADER), ...columns.map((column) => tsvLine(CHANNEL_HEADER.map((key) => column[key])))];
}

/** Keys of the standard alone: validators refuse others here. What the file is of stands in scans.tsv. */
function motionJson({ head }: SwingRecord, { clock }: SwingSeries, columns: readonly BidsColumn[]): object {
  const count = (type: BidsColumn['type']): number => columns.filter((column) => column.type === type).length;
  return {
    TaskName: 'swing',
    TaskDescription: 'one golf swing',
    SamplingFrequency: clock.rate_Hz,
    TrackingSystemName: head.source === 'sensors' ? 'inertial sensors' : 'optical markers',
    MotionChannelCount: columns.length,
    TrackedPointsCount: new Set(columns.map(({ tracked_point }) => tracked_point)).size,
    POSChannelCount: count('POS'),
    JNTANGChannelCount: count('JNTANG'),
    MISCChannelCount: count('MISC'),
    MissingValues: 'n/a',
    RecordingDuration: clock.frames / clock.rate_Hz,
  };
}

/** Positions by time; seconds from the first sample. */
function eventLines({ moments }: SwingRecord): string[] {
  const found = POSITIONS.flatMap((position) => {
    const moment = moments[position];
    return moment?.found === true ? [{ position, moment }] : [];
  });
  found.sort((a, b) => a.moment.time_s - b.moment.time_s);
  const seconds = (value: number): string => formatFixed(value, TABLE_DECIMALS.s);
  return [
    tsvLine(['onset', 'duration', 'trial_type', 'plus_minus', 'method']),
    ...found.map(({ position, moment: { time_s, sd_s, method } }) =>
      tsvLine([seconds(time_s), '', position, seconds(1.96 * sd_s), method]),
    ),
  ];
}
