import type { SensorTable } from '../../../imu/types.ts';
import { type Avail, absent, present } from '../../../model/availability.ts';
import type { SensorPlan } from '../../../model/sensors.ts';
import { plainName } from '../../landmarkNames.ts';
import { type AxialSignal, meaningOfColumn, splitUnit } from './columnNames.ts';
import type { RawSensor } from './rawSensor.ts';

/** Columns of one sensor in one table, by meaning; −1 where an axis has none. */
export interface ColumnSet {
  time: number;
  trigger: number;
  readonly gyro: number[];
  readonly acc: number[];
  readonly mag: number[];
  /** w, x, y, z. */
  readonly quaternion: number[];
  quaternionOrder: RawSensor['quaternionOrder'];
}

export interface TableColumns {
  /** By the sensor's name; '' where the table names none. */
  readonly sets: ReadonlyMap<string, ColumnSet>;
  /** Column that says which sensor a row is of, −1 without. */
  readonly sensorColumn: number;
  /** Names of columns without a meaning. */
  readonly unused: readonly string[];
}

const AXES: Readonly<Record<AxialSignal, readonly string[]>> = {
  gyro: ['x', 'y', 'z'],
  acc: ['x', 'y', 'z'],
  mag: ['x', 'y', 'z'],
  quaternion: ['w', 'x', 'y', 'z'],
};
const AXIAL: readonly AxialSignal[] = ['gyro', 'acc', 'mag', 'quaternion'];
export const SIGNAL_WORDS: Readonly<Record<AxialSignal, string>> = {
  gyro: 'gyro',
  acc: 'accelerometer',
  mag: 'magnetometer',
  quaternion: 'quaternion',
};

function emptySet(): ColumnSet {
  return {
    time: -1,
    trigger: -1,
    gyro: [-1, -1, -1],
    acc: [-1, -1, -1],
    mag: [-1, -1, -1],
    quaternion: [-1, -1, -1, -1],
    quaternionOrder: 'letters',
  };
}

/** Columns by their names in the day file first, otherwise by what their names say. Refused with the question where two fit. */
export function columnsOfTable(table: SensorTable, plan: SensorPlan): Avail<TableColumns> {
  const sets = new Map<string, ColumnSet>();
  const setOf = (sensor: string): ColumnSet => {
    // A sensor's name in a template and in recognised columns may differ in case and marks.
    const key = [...sets.keys()].find((name) => plainName(name) === plainName(sensor)) ?? sensor;
    const set = sets.get(key) ?? emptySet();
    sets.set(key, set);
    return set;
  };
  const used = new Set<number>();
  for (const signal of AXIAL) {
    const names = plan.columns[signal];
    if (names === null) continue;
    const found = declared(table, names, signal);
    if (!found.ok) return found;
    for (const [sensor, columns] of found.value) {
      const set = setOf(sensor);
      columns.forEach((column, i) => {
        set[signal][i] = column;
        used.add(column);
      });
      if (signal === 'quaternion') set.quaternionOrder = 'declared';
    }
  }
  for (const signal of ['time', 'trigger'] as const) {
    const name = plan.columns[signal];
    if (name === null) continue;
    const found = declared(table, [name], signal);
    if (!found.ok) return found;
    for (const [sensor, [column]] of found.value) {
      setOf(sensor)[signal] = column!;
      used.add(column!);
    }
  }
  let sensorColumn = -1;
  if (plan.columns.sensor !== null) {
    sensorColumn = findColumn(table, plan.columns.sensor);
    if (sensorColumn < 0) return missingColumn(table, plan.columns.sensor, 'sensor');
    used.add(sensorColumn);
  }
  const unused: string[] = [];
  for (let column = 0; column < table.columns.length; column += 1) {
    if (used.has(column)) continue;
    const name = table.columns[column]!;
    const meaning = meaningOfColumn(name);
    if (meaning === null) {
      unused.push(name);
      continue;
    }
    const { signal } = meaning;
    if (signal === 'sensor') {
      if (sensorColumn < 0) sensorColumn = column;
      else if (plan.columns.sensor === null)
        return twoColumns(table, sensorColumn, column, 'the name of the sensor', 'sensor');
      continue;
    }
    if (plan.columns[signal] !== null) {
      unused.push(name);
      continue;
    }
    const set = setOf(meaning.sensor);
    if (signal === 'time' || signal === 'trigger') {
      if (set[signal] >= 0) return twoColumns(table, set[signal], column, `the ${signal}`, signal);
      set[signal] = column;
      continue;
    }
    if (meaning.axisForm === 'from1') {
      set.quaternion.fill(-2);
      unused.push(name);
      continue;
    }
    const axis = AXES[signal].indexOf(meaning.axis!);
    const there = set[signal][axis]!;
    if (there >= 0) {
      return twoColumns(table, there, column, `${meaning.axis} of the ${SIGNAL_WORDS[signal]}`, signal);
    }
    if (signal === 'quaternion' && meaning.axisForm === 'from0') set.quaternionOrder = 'numbers';
    if (there === -1) set[signal][axis] = column;
    else unused.push(name);
  }
  if (sensorColumn < 0) sensorColumn = fewWordsOnManyRows(table);
  return present({ sets, sensorColumn, unused });
}

/** The only column of few words, each on many rows, where none is named as the sensor's. */
function fewWordsOnManyRows(table: SensorTable): number {
  const likely = table.words.filter(
    ({ words }) => words.length >= 2 && words.length <= 32 && table.rows >= 20 * words.length,
  );
  return likely.length === 1 ? likely[0]!.column : -1;
}

function twoColumns(table: SensorTable, a: number, b: number, what: string, key: string): Avail<never> {
  return absent(
    'columns-ambiguous',
    `one column for ${what}: in ${table.file} both "${table.columns[a]}" and "${table.columns[b]}" read so; name the right one in the day file under sensors: columns: ${key}`,
  );
}

function missingColumn(table: SensorTable, name: string, key: string): Avail<never> {
  return absent(
    'column-missing',
    `column "${name}" (sensors: columns: ${key}): ${table.file} has ${listOf(table.columns)}; correct the name in the day file`,
  );
}

/** The first dozen names in quotes. */
export function listOf(names: readonly string[]): string {
  const shown = names.slice(0, 12).map((name) => `"${name}"`);
  return names.length > 12 ? `${shown.join(', ')} and ${names.length - 12} more` : shown.join(', ');
}

function findColumn(table: SensorTable, name: string): number {
  const exact = table.columns.findIndex((column) => column.trim() === name.trim());
  if (exact >= 0) return exact;
  const plain = plainName(name);
  return table.columns.findIndex(
    (column) => plainName(splitUnit(column).name) === plain || plainName(column) === plain,
  );
}

/** The columns of a declared signal by sensor: '' for plain names, otherwise what stands for `{sensor}`. */
function declared(table: SensorTable, names: readonly string[], key: string): Avail<ReadonlyMap<string, number[]>> {
  const found = new Map<string, number[]>();
  if (!names[0]!.includes('{sensor}')) {
    const columns: number[] = [];
    for (const name of names) {
      const column = findColumn(table, name);
      if (column < 0) return missingColumn(table, name, key);
      columns.push(column);
    }
    return present(found.set('', columns));
  }
  const [before, after] = names[0]!.split('{sensor}', 2) as [string, string];
  for (const column of table.columns) {
    const text = column.trim();
    if (text.length <= before.length + after.length || !text.startsWith(before) || !text.endsWith(after)) continue;
    const sensor = text.slice(before.length, text.length - after.length);
    const columns: number[] = [];
    for (const name of names) {
      const wanted = name.replace('{sensor}', sensor);
      const at = table.columns.findIndex((one) => one.trim() === wanted);
      if (at < 0) return missingColumn(table, wanted, key);
      columns.push(at);
    }
    found.set(sensor, columns);
  }
  return found.size === 0 ? missingColumn(table, names[0]!, key) : present(found);
}
