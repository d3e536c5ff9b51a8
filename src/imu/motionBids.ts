/** A recording in the Brain Imaging Data Structure for motion: `*_motion.tsv` and its side-cars (specification, "Motion"). */

import { mergedJson, sideCars } from './bidsFiles.ts';
import { CHANNEL_TYPES, readChannels, readEvents, readFrames } from './bidsTables.ts';
import { baseName, readDelimited } from './delimited.ts';
import { fail, type Notes, quoted } from './diagnosticCodes.ts';
import { isNumberText } from './textLines.ts';
import type { BidsChannel, BidsSidecars, ImuRecording, NamedBytes, SensorTable } from './types.ts';

/**
 * Reads the recording with the side-cars among `files` that apply to it. `*_channels.tsv` and `*_motion.json` are required: without
 * them the columns have no names and the samples no rate. MissingValues that is a number counts as missing wherever it stands; zero
 * only where all channels of one type and tracked point are zero together, since a single zero may well be measured; times never.
 * @throws FormatError
 */
export function readMotionBids(recording: NamedBytes, files: readonly NamedBytes[], notes: Notes): ImuRecording {
  const channelsFile = sideCars(recording, files, 'channels.tsv').at(-1);
  if (channelsFile === undefined) {
    const stem = recording.path.slice(0, -'_motion.tsv'.length);
    const found = 'there is no *_channels.tsv, so the columns have no names, types and units';
    fail(recording.path, 'bids-channels-missing', found, `${baseName(stem)}_channels.tsv or one higher up`);
  }
  const motionFiles = sideCars(recording, files, 'motion.json');
  if (motionFiles.length === 0) {
    const found = 'there is no *_motion.json, so the rate is not known';
    fail(recording.path, 'bids-motion-json-missing', found, 'one beside it or higher up');
  }
  const json = mergedJson(motionFiles);
  const jsonName = motionFiles.at(-1)!.path;
  const rate = json.get('SamplingFrequency');
  if (typeof rate !== 'number' || !(rate > 0)) {
    fail(jsonName, 'bids-json-field', `SamplingFrequency is ${shown(rate)}`, 'a number above zero', [
      'SamplingFrequency',
    ]);
  }
  const taskName = json.get('TaskName');
  if (typeof taskName !== 'string' || taskName.trim() === '') {
    fail(jsonName, 'bids-json-field', `TaskName is ${shown(taskName)}`, 'a text', ['TaskName']);
  }
  const channels = readChannels(channelsFile, notes);
  const named = { names: channels.map(({ name }) => name), units: channels.map(({ units }) => units) };
  const missing = json.get('MissingValues');
  const missingValues = typeof missing === 'string' ? missing : typeof missing === 'number' ? String(missing) : null;
  const table = readDelimited(
    recording.bytes,
    { file: recording.path, channels: named, missing: missingValues },
    notes,
  );
  checkCounts(json, channels, jsonName, channelsFile.path, notes);
  checkDuration(json.get('RecordingDuration'), table.rows, rate, jsonName, notes);
  if (missingValues !== null && isNumberText(missingValues.trim(), 46)) {
    takeOut(table, channels, Number(missingValues));
  }
  const frameFiles = sideCars(recording, files, 'channels.json');
  const effective = json.get('SamplingFrequencyEffective');
  const bids: BidsSidecars = {
    samplingFrequency_Hz: rate,
    samplingFrequencyEffective_Hz: typeof effective === 'number' && effective > 0 ? effective : null,
    taskName,
    missingValues,
    channels,
    frames: readFrames(mergedJson(frameFiles), frameFiles.at(-1)?.path ?? '', notes),
    events: sideCars(recording, files, 'events.tsv')
      .slice(-1)
      .flatMap((file) => readEvents(file, notes)),
  };
  return { kind: 'motion-bids', tables: [table], bids, diagnostics: notes.list() };
}

/** A value of JSON in a message. */
function shown(value: unknown): string {
  if (value === undefined) return 'missing';
  return typeof value === 'string' ? quoted(value) : (JSON.stringify(value)?.slice(0, 40) ?? typeof value);
}

function checkCounts(
  json: ReadonlyMap<string, unknown>,
  channels: readonly BidsChannel[],
  file: string,
  channelsFile: string,
  notes: Notes,
): void {
  const check = (field: string, count: number, what: string): void => {
    const stated = json.get(field);
    if (stated === undefined || stated === 'n/a' || stated === count) return;
    notes.add('bids-count-disagrees', `${file}: ${field} is ${shown(stated)}, ${channelsFile} has ${count} ${what}`);
  };
  check('MotionChannelCount', channels.length, channels.length === 1 ? 'channel' : 'channels');
  const points = new Set(channels.map((channel) => channel.trackedPoint).filter((name) => name !== '')).size;
  check('TrackedPointsCount', points, points === 1 ? 'tracked point' : 'tracked points');
  for (const type of CHANNEL_TYPES) {
    const count = channels.filter((channel) => channel.type === type).length;
    check(`${type}ChannelCount`, count, `of type ${type}`);
    if (type === 'ANGACCEL') check('ANGACCChannelCount', count, `of type ${type}`);
  }
}

/** Differences of more than a hundredth and two samples are told. */
function checkDuration(stated: unknown, rows: number, rate_Hz: number, file: string, notes: Notes): void {
  if (typeof stated !== 'number' || !(stated > 0)) return;
  const samples = stated * rate_Hz;
  if (Math.abs(samples - rows) <= 0.01 * rows + 2) return;
  const message = `${file}: RecordingDuration ${stated} s at ${rate_Hz} Hz would be ${Math.round(samples)} rows, there are ${rows}`;
  notes.add('bids-duration-disagrees', message);
}

/** Puts NaN for the value that stands for missing. */
function takeOut(table: SensorTable, channels: readonly BidsChannel[], value: number): void {
  const { rows, values } = table;
  const groups = new Map<string, number[]>();
  for (const [column, { type, trackedPoint }] of channels.entries()) {
    if (type === 'LATENCY') continue;
    const key = value === 0 ? `${type} ${trackedPoint}` : String(column);
    groups.set(key, [...(groups.get(key) ?? []), column]);
  }
  for (const columns of groups.values()) {
    for (let i = 0; i < rows; i++) {
      if (!columns.every((column) => values[column * rows + i] === value)) continue;
      for (const column of columns) values[column * rows + i] = Number.NaN;
    }
  }
}
