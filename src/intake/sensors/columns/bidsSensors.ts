import type { Diagnostic } from '../../../base/diagnostics.ts';
import { formatFixed } from '../../../base/format.ts';
import type { BidsChannel, BidsSidecars, ImuRecording, SensorTable } from '../../../imu/types.ts';
import { type Avail, absent, present } from '../../../model/availability.ts';
import { sensorDiagnostic } from '../diagnosticCodes.ts';
import { type AxialSignal, meaningOfColumn } from './columnNames.ts';
import { listOf, SIGNAL_WORDS } from './columnSets.ts';
import type { RawSensor } from './rawSensor.ts';
import { type FoundSensors, stemOf } from './tableSensors.ts';

const SIGNAL_OF_TYPE: Readonly<Record<string, AxialSignal>> = {
  GYRO: 'gyro',
  ACCEL: 'acc',
  MAGN: 'mag',
  ORNT: 'quaternion',
};
const AXIS_OF_COMPONENT: Readonly<Record<string, number>> = { x: 0, y: 1, z: 2 };
const QUATERNION_PART: Readonly<Record<string, number>> = { quat_w: 0, quat_x: 1, quat_y: 2, quat_z: 3 };
const METRES_PER: Readonly<Record<string, number>> = { m: 1, mm: 0.001, cm: 0.01 };

interface Point {
  readonly columns: Record<AxialSignal, number[]>;
  readonly channels: BidsChannel[];
  angles: boolean;
}

/**
 * Sensors of a Motion-BIDS recording: channels of one tracked point, by type and component (BIDS specification, modality motion).
 * Refused where two channels are one axis, and where lengths of tracked places cannot be of a body.
 */
export function sensorsOfBids(recording: ImuRecording, insistUnits: boolean): Avail<FoundSensors> {
  const { bids } = recording;
  const table = recording.tables[0];
  if (bids === null || table === undefined) throw new RangeError('a Motion-BIDS recording has one table and side-cars');
  const diagnostics: Diagnostic[] = [];
  const points = new Map<string, Point>();
  let latency = -1;
  let trigger = -1;
  const others: string[] = [];
  for (let column = 0; column < table.columns.length; column += 1) {
    const channel = bids.channels[column];
    if (channel === undefined) continue;
    if (/^bad$/i.test(channel.status)) {
      diagnostics.push(sensorDiagnostic('channel-bad', `${table.file}: channel "${channel.name}" is marked bad`));
      continue;
    }
    const type = channel.type.toUpperCase();
    if (type === 'LATENCY') {
      if (latency < 0) latency = column;
      continue;
    }
    if (type === 'MISC' && meaningOfColumn(channel.name)?.signal === 'trigger') {
      trigger = column;
      continue;
    }
    const signal = SIGNAL_OF_TYPE[type];
    if (signal === undefined) {
      others.push(type === '' ? channel.name : type);
      continue;
    }
    const point = pointOf(points, nameOf(channel, table));
    if (signal === 'quaternion' && !(channel.component in QUATERNION_PART)) {
      point.angles = true;
      continue;
    }
    const axis = (signal === 'quaternion' ? QUATERNION_PART : AXIS_OF_COMPONENT)[channel.component];
    if (axis === undefined) {
      others.push(channel.name);
      continue;
    }
    if (point.columns[signal][axis]! >= 0) {
      return absent(
        'columns-ambiguous',
        `one channel for ${channel.component} of the ${SIGNAL_WORDS[signal]} of ${nameOf(channel, table)}: "${table.columns[point.columns[signal][axis]!]}" and "${channel.name}" of ${table.file} are both; correct channels.tsv`,
      );
    }
    point.columns[signal][axis] = column;
    point.channels.push(channel);
  }
  const size = bodySize(table, bids, insistUnits, diagnostics);
  if (!size.ok) return size;
  tellOthers(table, others, points, diagnostics);
  const sensors: RawSensor[] = [];
  for (const [name, point] of points) {
    const made = sensorOf(table, bids, name, point, latency, trigger);
    if (made !== null) sensors.push(made);
  }
  if (sensors.length === 0) {
    return absent(
      'no-sensor-columns',
      `channels of type GYRO (x, y, z) or ORNT (quat_w, quat_x, quat_y, quat_z): ${table.file} has ${listOf([...new Set(bids.channels.map((one) => one.type))])} only`,
    );
  }
  return present({ sensors, diagnostics });
}

function nameOf(channel: BidsChannel, table: SensorTable): string {
  if (channel.trackedPoint !== '') return channel.trackedPoint;
  if (channel.placement !== '') return channel.placement;
  return meaningOfColumn(channel.name)?.sensor || stemOf(table.file);
}

function pointOf(points: Map<string, Point>, name: string): Point {
  const point = points.get(name) ?? {
    columns: { gyro: [-1, -1, -1], acc: [-1, -1, -1], mag: [-1, -1, -1], quaternion: [-1, -1, -1, -1] },
    channels: [],
    angles: false,
  };
  points.set(name, point);
  return point;
}

function sensorOf(
  table: SensorTable,
  bids: BidsSidecars,
  name: string,
  point: Point,
  latency: number,
  trigger: number,
): RawSensor | null {
  const { rows } = table;
  const column = (at: number): Float64Array => table.values.slice(at * rows, (at + 1) * rows);
  const whole = (signal: AxialSignal): boolean => point.columns[signal].every((at) => at >= 0);
  const planar = (signal: AxialSignal): Float64Array | null => {
    if (!whole(signal)) return null;
    const out = new Float64Array(point.columns[signal].length * rows);
    point.columns[signal].forEach((at, index) => {
      out.set(column(at), index * rows);
    });
    return out;
  };
  const named = (signal: AxialSignal): readonly string[] | null =>
    whole(signal) ? point.columns[signal].map((at) => table.columns[at]!) : null;
  const unit = (signal: AxialSignal): string => {
    if (!whole(signal)) return '';
    const said = new Set(point.columns[signal].map((at) => bids.channels[at]!.units));
    return said.size === 1 ? [...said][0]! : '';
  };
  if (!whole('gyro') && !whole('acc') && !whole('quaternion')) return null;
  const rates = new Set(point.channels.map((one) => one.samplingFrequency_Hz).filter((rate) => rate !== null));
  return {
    name,
    file: table.file,
    rows,
    columns: {
      time: table.columns[latency] ?? null,
      gyro: named('gyro'),
      acc: named('acc'),
      mag: named('mag'),
      quaternion: named('quaternion'),
      trigger: table.columns[trigger] ?? null,
    },
    time: latency < 0 ? null : column(latency),
    gyro: planar('gyro'),
    acc: planar('acc'),
    mag: planar('mag'),
    quaternion: planar('quaternion'),
    quaternionOrder: 'letters',
    trigger: trigger < 0 ? null : column(trigger),
    matrices: null,
    units: {
      time: latency < 0 ? '' : bids.channels[latency]!.units || 's',
      gyro: unit('gyro'),
      acc: unit('acc'),
    },
    rate_Hz: rates.size === 1 ? [...rates][0]! : bids.samplingFrequency_Hz,
  };
}

function tellOthers(
  table: SensorTable,
  others: readonly string[],
  points: ReadonlyMap<string, Point>,
  diagnostics: Diagnostic[],
): void {
  const places = others.filter((type) => type === 'POS').length;
  if (places > 0) {
    diagnostics.push(
      sensorDiagnostic('positions-not-used', `${table.file}: ${places} channels of type POS are not used as markers`),
    );
  }
  const rest = [...new Set(others.filter((type) => type !== 'POS'))];
  if (rest.length > 0) {
    diagnostics.push(sensorDiagnostic('columns-unused', `${table.file}: channels of ${listOf(rest)} were not used`));
  }
  const angles = [...points].filter(([, point]) => point.angles).map(([name]) => name);
  if (angles.length > 0) {
    diagnostics.push(
      sensorDiagnostic(
        'rotation-angles-not-used',
        `${table.file}: ORNT channels of ${listOf(angles)} have components x, y, z, not a quaternion`,
      ),
    );
  }
}

/** Bounds of a body's extent in metres: beyond 10 no body, a body of three places or more below 0.2 is none either; two may be a club's. */
const BODY_AT_MOST_m = 10;
const BODY_AT_LEAST_m = 0.2;
const PAIR_AT_LEAST_m = 0.02;

/** Largest distance between tracked places, median over about two dozen rows, in the unit the channels declare. */
function bodySize(table: SensorTable, bids: BidsSidecars, insisted: boolean, diagnostics: Diagnostic[]): Avail<null> {
  const places = new Map<string, number[]>();
  const units = new Set<string>();
  bids.channels.forEach((channel, column) => {
    const axis = AXIS_OF_COMPONENT[channel.component];
    if (channel.type.toUpperCase() !== 'POS' || axis === undefined) return;
    const at = places.get(channel.trackedPoint) ?? [-1, -1, -1];
    at[axis] = column;
    places.set(channel.trackedPoint, at);
    units.add(channel.units);
  });
  const whole = [...places.values()].filter((at) => at.every((column) => column >= 0));
  const unit = [...units][0];
  const scale = METRES_PER[unit ?? ''];
  if (whole.length < 2 || units.size !== 1 || unit === undefined || scale === undefined) return present(null);
  const extents: number[] = [];
  const step = Math.max(1, Math.floor(table.rows / 24));
  for (let row = 0; row < table.rows; row += step) {
    let largest = Number.NaN;
    for (let i = 0; i < whole.length; i += 1) {
      for (let j = i + 1; j < whole.length; j += 1) {
        const d = Math.hypot(
          ...[0, 1, 2].map(
            (axis) =>
              table.values[whole[i]![axis]! * table.rows + row]! - table.values[whole[j]![axis]! * table.rows + row]!,
          ),
        );
        if (!(d <= largest)) largest = d;
      }
    }
    if (Number.isFinite(largest)) extents.push(largest);
  }
  if (extents.length === 0) return present(null);
  extents.sort((a, b) => a - b);
  const raw = extents[extents.length >> 1]!;
  const size = raw * scale;
  const least = whole.length > 2 ? BODY_AT_LEAST_m : PAIR_AT_LEAST_m;
  if (size >= least && size <= BODY_AT_MOST_m) return present(null);
  const fits = Object.entries(METRES_PER).filter(([, factor]) => raw * factor >= BODY_AT_LEAST_m && raw * factor <= 3);
  const would = fits.length === 0 ? 'no unit fits' : `${fits.map(([name]) => name).join(' or ')} would fit`;
  const message = `${table.file}: the POS channels declare ${unit}, but the ${whole.length} tracked places span ${formatFixed(size, size < 1 ? 4 : 1)} m; a body spans ${BODY_AT_LEAST_m} to ${BODY_AT_MOST_m} m, and ${would}`;
  if (insisted) {
    diagnostics.push(sensorDiagnostic('sensor-unit-unknown', `${message}; used because units is listed under insist`));
    return present(null);
  }
  return absent(
    'conflict-units',
    `lengths of a body: ${message}; correct units in channels.tsv, or list units under insist`,
  );
}
