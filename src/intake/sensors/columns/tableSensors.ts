import type { Diagnostic } from '../../../base/diagnostics.ts';
import type { ImuRecording, SensorTable } from '../../../imu/types.ts';
import { type Avail, absent, present } from '../../../model/availability.ts';
import type { SensorPlan } from '../../../model/sensors.ts';
import { sensorDiagnostic } from '../diagnosticCodes.ts';
import { type AxialSignal, meaningOfColumn, splitUnit } from './columnNames.ts';
import { type ColumnSet, columnsOfTable, listOf, SIGNAL_WORDS } from './columnSets.ts';
import { type RawSensor, selectRows } from './rawSensor.ts';

export interface FoundSensors {
  readonly sensors: readonly RawSensor[];
  readonly diagnostics: readonly Diagnostic[];
}

/** File name without folders and ending. */
export function stemOf(file: string): string {
  const name = file.slice(file.lastIndexOf('/') + 1);
  const dot = name.lastIndexOf('.');
  return dot > 0 ? name.slice(0, dot) : name;
}

/** Sensors of delimited tables: beside one another, below one another with a column of names, or one table each, named by its stem. */
export function sensorsOfTables(recording: ImuRecording, plan: SensorPlan): Avail<FoundSensors> {
  const sensors: RawSensor[] = [];
  const diagnostics: Diagnostic[] = [];
  for (const table of recording.tables) {
    const columns = columnsOfTable(table, plan);
    if (!columns.ok) return columns;
    const { sets, sensorColumn, unused } = columns.value;
    if (unused.length > 0) {
      diagnostics.push(sensorDiagnostic('columns-unused', `${table.file}: ${listOf(unused)} were not used`));
    }
    const shared = sets.get('');
    let there = 0;
    for (const [name, set] of sets) {
      const complete = completeSignals(table, name, set, diagnostics);
      if (complete.length === 0) continue;
      there += 1;
      const own: ColumnSet = {
        ...set,
        time: set.time >= 0 ? set.time : (shared?.time ?? -1),
        trigger: set.trigger >= 0 ? set.trigger : (shared?.trigger ?? -1),
      };
      const whole = sensorOf(table, name === '' ? stemOf(table.file) : name, own, complete);
      if (sensorColumn < 0) sensors.push(withoutEmptyRows(whole));
      else sensors.push(...bySensorColumn(table, whole, sensorColumn, name));
    }
    if (there === 0) {
      return absent(
        'no-sensor-columns',
        `columns of a gyro (x, y, z) or a quaternion (w, x, y, z): ${table.file} has ${listOf(table.columns)}; name them in the day file under sensors: columns`,
      );
    }
  }
  const names = new Set<string>();
  for (const sensor of sensors) {
    if (names.has(sensor.name)) {
      return absent(
        'sensor-named-twice',
        `one table for each sensor: "${sensor.name}" stands in the recording twice, the second time in ${sensor.file}; keep one`,
      );
    }
    names.add(sensor.name);
  }
  return present({ sensors, diagnostics });
}

function completeSignals(
  table: SensorTable,
  name: string,
  set: ColumnSet,
  diagnostics: Diagnostic[],
): readonly AxialSignal[] {
  const complete: AxialSignal[] = [];
  for (const signal of ['gyro', 'acc', 'mag', 'quaternion'] as const) {
    const columns = set[signal];
    const of = name === '' ? '' : ` of ${name}`;
    if (columns.every((column) => column >= 0)) complete.push(signal);
    else if (columns.some((column) => column === -2)) {
      diagnostics.push(
        sensorDiagnostic(
          'columns-unused',
          `${table.file}: quaternion columns${of} numbered from 1 to 4 do not say which is the scalar; name them in the order w, x, y, z under sensors: columns: quaternion`,
        ),
      );
    } else if (columns.some((column) => column >= 0)) {
      const has = columns.filter((column) => column >= 0).map((column) => table.columns[column]!);
      diagnostics.push(
        sensorDiagnostic(
          'columns-unused',
          `${table.file}: the ${SIGNAL_WORDS[signal]}${of} has ${listOf(has)} only; all ${columns.length} axes are needed`,
        ),
      );
    }
  }
  return complete;
}

function sensorOf(table: SensorTable, name: string, set: ColumnSet, complete: readonly AxialSignal[]): RawSensor {
  const planar = (signal: AxialSignal): Float64Array | null => {
    if (!complete.includes(signal)) return null;
    const out = new Float64Array(set[signal].length * table.rows);
    set[signal].forEach((column, part) => {
      out.set(columnOf(table, column), part * table.rows);
    });
    return out;
  };
  const named = (signal: AxialSignal): readonly string[] | null =>
    complete.includes(signal) ? set[signal].map((column) => table.columns[column]!) : null;
  return {
    name,
    file: table.file,
    rows: table.rows,
    columns: {
      time: table.columns[set.time] ?? null,
      gyro: named('gyro'),
      acc: named('acc'),
      mag: named('mag'),
      quaternion: named('quaternion'),
      trigger: table.columns[set.trigger] ?? null,
    },
    time: set.time < 0 ? null : columnOf(table, set.time).slice(),
    gyro: planar('gyro'),
    acc: planar('acc'),
    mag: planar('mag'),
    quaternion: planar('quaternion'),
    quaternionOrder: set.quaternionOrder,
    trigger: set.trigger < 0 ? null : columnOf(table, set.trigger).slice(),
    matrices: null,
    units: {
      time: set.time < 0 ? '' : unitOf(table, [set.time]),
      gyro: complete.includes('gyro') ? unitOf(table, set.gyro) : '',
      acc: complete.includes('acc') ? unitOf(table, set.acc) : '',
    },
    rate_Hz: null,
  };
}

function columnOf(table: SensorTable, column: number): Float64Array {
  return table.values.subarray(column * table.rows, (column + 1) * table.rows);
}

/** The unit that the table or the names say, '' where they say none or differ. */
function unitOf(table: SensorTable, columns: readonly number[]): string {
  const said = columns.map((column) => {
    const stated = (table.units[column] ?? '').trim();
    if (stated !== '') return stated;
    const name = table.columns[column]!;
    return splitUnit(name).unit || (meaningOfColumn(name)?.unit ?? '');
  });
  return new Set(said).size === 1 ? said[0]! : '';
}

/** Rows of one sensor each, in the order of their first row. */
function bySensorColumn(table: SensorTable, whole: RawSensor, column: number, prefix: string): RawSensor[] {
  const words = table.words.find((one) => one.column === column);
  const keep = new Map<string, number[]>();
  for (let row = 0; row < table.rows; row += 1) {
    let name = '';
    if (words !== undefined) name = words.index[row]! < 0 ? '' : words.words[words.index[row]!]!;
    else if (Number.isFinite(table.values[column * table.rows + row]!)) {
      name = String(table.values[column * table.rows + row]!);
    }
    if (name === '') continue;
    const rows = keep.get(name);
    if (rows === undefined) keep.set(name, [row]);
    else rows.push(row);
  }
  return [...keep].map(([name, rows]) =>
    withoutEmptyRows({ ...selectRows(whole, Int32Array.from(rows)), name: prefix === '' ? name : `${name}_${prefix}` }),
  );
}

/** Rows without any value of this sensor are another sensor's rows, where time stamps say when its own were. */
function withoutEmptyRows(sensor: RawSensor): RawSensor {
  if (sensor.time === null) return sensor;
  const parts = [sensor.gyro, sensor.acc, sensor.mag, sensor.quaternion].filter((part) => part !== null);
  const keep: number[] = [];
  for (let row = 0; row < sensor.rows; row += 1) {
    if (parts.some((part) => hasValue(part, sensor.rows, row))) keep.push(row);
  }
  return keep.length === sensor.rows ? sensor : selectRows(sensor, Int32Array.from(keep));
}

function hasValue(planar: Float64Array, rows: number, row: number): boolean {
  for (let at = row; at < planar.length; at += rows) if (!Number.isNaN(planar[at]!)) return true;
  return false;
}
