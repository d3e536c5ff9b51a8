import type { DayFileTrial, DaySensors } from '../model/daySchema.ts';
import { DEFAULT_SENSOR_PLAN, type SensorAlignment, type SensorPlan } from '../model/sensors.ts';
import { isYes } from './planContext.ts';

const DEGREE = Math.PI / 180;

type Columns = NonNullable<DaySensors['columns']>;
type Names = readonly string[] | undefined;

/** Later layers win key by key; within columns, places and facing too. */
export function layeredSensors(layers: readonly (DaySensors | undefined)[]): SensorPlan {
  let out = DEFAULT_SENSOR_PLAN;
  for (const layer of layers) if (layer !== undefined) out = over(out, layer);
  return out;
}

function over(under: SensorPlan, layer: DaySensors): SensorPlan {
  const { gyro_range_deg_per_s: gyroRange, acc_range_m_per_s2: accRange } = layer;
  return {
    columns: layer.columns === undefined ? under.columns : columnsOver(under.columns, layer.columns),
    timeUnit: layer.time_unit ?? under.timeUnit,
    gyroUnit: layer.gyro_unit ?? under.gyroUnit,
    accUnit: layer.acc_unit ?? under.accUnit,
    quaternionDirection: layer.quaternion_direction ?? under.quaternionDirection,
    useQuaternions: isYes(layer.use_quaternions, under.useQuaternions),
    places: placesOver(under.places, layer.places),
    facing: { ...under.facing, ...layer.facing },
    range: {
      gyro_radPerS: gyroRange === undefined ? under.range.gyro_radPerS : gyroRange * DEGREE,
      acc_mPerS2: accRange ?? under.range.acc_mPerS2,
    },
    align: layer.align === undefined ? under.align : alignmentOf(layer.align),
    heading: layer.heading ?? under.heading,
    filter: layer.filter ?? under.filter,
    magnetometer: isYes(layer.magnetometer, under.magnetometer),
  };
}

function columnsOver(under: SensorPlan['columns'], columns: Columns): SensorPlan['columns'] {
  const three = (names: Names, before: readonly [string, string, string] | null) =>
    names === undefined ? before : ([names[0]!, names[1]!, names[2]!] as const);
  const { quaternion } = columns;
  return {
    time: columns.time ?? under.time,
    sensor: columns.sensor ?? under.sensor,
    gyro: three(columns.gyro, under.gyro),
    acc: three(columns.acc, under.acc),
    mag: three(columns.mag, under.mag),
    quaternion:
      quaternion === undefined ? under.quaternion : [quaternion[0]!, quaternion[1]!, quaternion[2]!, quaternion[3]!],
    trigger: columns.trigger ?? under.trigger,
  };
}

/** A place named again has another sensor; a sensor named again has another place, and is taken from its old one. */
function placesOver(under: SensorPlan['places'], places: DaySensors['places']): SensorPlan['places'] {
  if (places === undefined) return under;
  const moved = new Set<string | undefined>(Object.values(places));
  const kept = Object.entries(under).filter(([, name]) => !moved.has(name));
  return { ...Object.fromEntries(kept), ...places };
}

function alignmentOf(align: NonNullable<DaySensors['align']>): SensorAlignment {
  if (align === 'stamps') return { kind: 'stamps' };
  if (align === 'trigger') return { kind: 'trigger' };
  return { kind: 'knock', from_s: align.knock_s[0]!, to_s: align.knock_s[1]! };
}

/** What does not fit together within one block of sensor settings: sentences with the path of the key they are about. */
export function sensorTroubles(
  sensors: DaySensors,
): readonly { readonly path: readonly string[]; readonly message: string }[] {
  const out: { path: readonly string[]; message: string }[] = [];
  const first = new Map<string, string>();
  for (const [place, name] of Object.entries(sensors.places ?? {})) {
    if (name === undefined) continue;
    const other = first.get(name);
    if (other === undefined) first.set(name, place);
    else
      out.push({
        path: ['places', place],
        message: `the sensor ${name} is at ${other} already; one sensor has one place`,
      });
  }
  const { align } = sensors;
  if (typeof align === 'object' && !(align.knock_s[0]! < align.knock_s[1]!)) {
    out.push({ path: ['align', 'knock_s'], message: 'the first time comes before the second, as [0, 0.6]' });
  }
  return out;
}

/** True where an entry has settings that only sensors have. */
export function namesSensors(entry: DayFileTrial): boolean {
  return (
    entry.source === 'sensors' ||
    entry.movement !== undefined ||
    entry.still !== undefined ||
    entry.sensors !== undefined
  );
}
