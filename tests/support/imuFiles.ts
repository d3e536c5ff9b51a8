/** Small tables of sensors and Motion-BIDS recordings as bytes, written without any of the reader's code. */
import type { NamedBytes } from '../../src/imu/types.ts';

export function latin1(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

export function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

export function utf16(text: string, highFirst: boolean, marked: boolean): Uint8Array {
  const units = Array.from({ length: text.length }, (_, i) => text.charCodeAt(i));
  if (marked) units.unshift(0xfeff);
  return Uint8Array.from(units.flatMap((unit) => (highFirst ? [unit >> 8, unit & 255] : [unit & 255, unit >> 8])));
}

export function named(path: string, text: string): NamedBytes {
  return { path, bytes: utf8(text) };
}

export interface BidsParts {
  readonly folder: string;
  readonly stem: string;
  readonly rows: readonly string[];
  readonly channels: readonly string[];
  readonly json: Readonly<Record<string, unknown>>;
}

const CHANNEL_HEADER = 'name\tcomponent\ttype\ttracked_point\tunits\tplacement\treference_frame\tstatus';

/** Two tracked points: gyro and orientation of a pelvis, a place of a hip; latency. */
export const BIDS: BidsParts = {
  folder: 'sub-01/motion/',
  stem: 'sub-01_task-swing_tracksys-imu_run-01',
  rows: [
    '0.00\t0.1\t0.2\t0.3\t1\t0\t0\t0\t1.5',
    '0.01\t0.4\t0.5\t0.6\t1\t0\t0\t0\tn/a',
    '0.02\t0.7\t0.8\t0.9\t1\t0\t0\t0\t1.7',
  ],
  channels: [
    'time\tn/a\tLATENCY\tn/a\ts\tn/a\tn/a\tgood',
    'gyro_x\tx\tGYRO\tpelvis\trad/s\tsacrum\tlocal\tgood',
    'gyro_y\ty\tGYRO\tpelvis\trad/s\tsacrum\tlocal\tgood',
    'gyro_z\tz\tGYRO\tpelvis\trad/s\tsacrum\tlocal\tbad',
    'q_w\tquat_w\tORNT\tpelvis\tn/a\tsacrum\tglobal\tgood',
    'q_x\tquat_x\tORNT\tpelvis\tn/a\tsacrum\tglobal\tgood',
    'q_y\tquat_y\tORNT\tpelvis\tn/a\tsacrum\tglobal\tgood',
    'q_z\tquat_z\tORNT\tpelvis\tn/a\tsacrum\tglobal\tgood',
    'hip_x\tx\tPOS\thip\tm\thip\tglobal\tgood',
  ],
  json: {
    TaskName: 'swing',
    SamplingFrequency: 100,
    MotionChannelCount: 9,
    TrackedPointsCount: 2,
    GYROChannelCount: 3,
    ORNTChannelCount: 4,
    POSChannelCount: 1,
    LATENCYChannelCount: 1,
  },
};

/** The files of a recording: motion.tsv, channels.tsv and motion.json. */
export function bidsFiles(changes: Partial<BidsParts> = {}, header = CHANNEL_HEADER): NamedBytes[] {
  const { folder, stem, rows, channels, json } = { ...BIDS, ...changes };
  return [
    named(`${folder}${stem}_motion.tsv`, `${rows.join('\n')}\n`),
    named(`${folder}${stem}_channels.tsv`, `${[header, ...channels].join('\n')}\n`),
    named(`${folder}${stem}_motion.json`, JSON.stringify(json)),
  ];
}
