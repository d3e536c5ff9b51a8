/** From what is felt to what a table says: own clock, knock, shock, constant errors, noise, range, digits. */
import { add, dot, RAD, scale, unit, type Vec } from './geometry.ts';
import type { Random } from './random.ts';
import { anyDirection, type Kit, type Sensor } from './sensorKit.ts';
import { type Felt, inSensor, type Place } from './sensorMotion.ts';

export interface SignalOptions {
  readonly rate_Hz: number;
  /** Sensors that run at another rate. */
  readonly rates_Hz?: Readonly<Partial<Record<Place, number>>>;
  /** Share of the usual noise: gyro 0.1 °/s, accelerometer 0.05 m/s² (default 1). */
  readonly noise?: number;
  /** Decimal digits of times, of °/s and of m/s² (default 4, 2, 2). */
  readonly digits?: readonly [number, number, number];
  /** Each sensor's clock has its own zero (default true). */
  readonly clocks?: boolean;
  /** Standard deviation of the time between samples about its mean, seconds; stamps say the true times. */
  readonly jitter_s?: number;
  /** Share of samples that are lost, in runs of one to three; none within 15 ms of `keep_s`. */
  readonly lost?: number;
  /** Limits of range. */
  readonly range?: { readonly gyro_degPerS: number; readonly acc_mPerS2: number };
}

/** A heel stamped on the floor: felt upward by all sensors, a raised cosine of `width_s`. */
export interface Knock {
  readonly at_s: number;
  readonly width_s: number;
}

/** Contact rings in the shaft and the arms: from full size at once, turning in a plane, dying away. */
const RING: Readonly<Partial<Record<Place, { size_mPerS2: number; rate_Hz: number; fades_s: number }>>> = {
  club: { size_mPerS2: 900, rate_Hz: 160, fades_s: 0.012 },
  lead_forearm: { size_mPerS2: 220, rate_Hz: 110, fades_s: 0.012 },
  trail_forearm: { size_mPerS2: 160, rate_Hz: 95, fades_s: 0.012 },
};

const GYRO_NOISE_degPerS = 0.1;
const ACC_NOISE_mPerS2 = 0.05;

export interface SensorRows {
  readonly sensor: Sensor;
  /** Stamp less true time, seconds. */
  readonly offset_s: number;
  /** Each: stamp, gyro °/s, specific force m/s². */
  readonly rows: readonly (readonly number[])[];
}

export interface Source {
  /** True time of the first and last sample. */
  readonly from_s: number;
  readonly to_s: number;
  readonly feel: (sensor: Sensor, t: number) => Felt;
  readonly knock: Knock | null;
  /** Moment of contact, or null. */
  readonly contact_s: number | null;
}

/** Rows of all sensors of a kit. */
export function sample(kit: Kit, source: Source, options: SignalOptions, random: Random): SensorRows[] {
  return kit.sensors.map((sensor) => sampleOne(sensor, source, options, random));
}

function sampleOne(sensor: Sensor, source: Source, options: SignalOptions, random: Random): SensorRows {
  const step = 1 / (options.rates_Hz?.[sensor.place] ?? options.rate_Hz);
  // Its clock starts with the recording, give or take.
  const offset_s = (options.clocks === false ? 0 : random.between(0.005, 0.085)) - source.from_s;
  const phase = options.clocks === false ? 0 : random.uniform() * step;
  const noise = options.noise ?? 1;
  const [timeDigits, gyroDigits, accDigits] = options.digits ?? [4, 2, 2];
  const knockShare = random.between(0.8, 1.2) * KNOCK_mPerS2[sensor.place];
  const along = anyDirection(random);
  const aside = unit(add(anyDirection(random), scale(along, -1)));
  const across = unit(add(aside, scale(along, -dot(along, aside))));
  const rows: number[][] = [];
  let lostLeft = 0;
  const count = Math.floor((source.to_s - source.from_s - phase) / step);
  for (let i = 0; i < count; i += 1) {
    const jitter = options.jitter_s
      ? Math.max(-0.4 * step, Math.min(0.4 * step, options.jitter_s * random.normal()))
      : 0;
    const nominal = source.from_s + phase + i * step + jitter;
    // A stamp is rounded to its digits; the sample is taken when its stamp says.
    const stamp = rounded(nominal + offset_s, timeDigits);
    const t = stamp - offset_s;
    if (lostLeft === 0 && options.lost && random.uniform() < options.lost / 2)
      lostLeft = 1 + Math.floor(3 * random.uniform());
    if (lostLeft > 0) {
      lostLeft -= 1;
      if (source.contact_s === null || Math.abs(t - source.contact_s) > 0.015) continue;
    }
    const { axes, rate, force } = source.feel(sensor, t);
    const knocked = source.knock ? knockShare * raisedCosine((t - source.knock.at_s) / source.knock.width_s) : 0;
    let acc = add(inSensor(axes, sensor.mount, add(force, [0, knocked, 0])), sensor.accBias_mPerS2);
    const ring = RING[sensor.place];
    if (ring && source.contact_s !== null && t >= source.contact_s) {
      const since = t - source.contact_s;
      const angle = 2 * Math.PI * ring.rate_Hz * since;
      const size = ring.size_mPerS2 * Math.exp(-since / ring.fades_s);
      acc = add(acc, add(scale(along, size * Math.cos(angle)), scale(across, 0.8 * size * Math.sin(angle))));
    }
    const gyro = add(scale(turnedIn(sensor, rate), 1 / RAD), sensor.gyroBias_degPerS);
    const limit = options.range;
    rows.push([
      stamp,
      ...gyro.map((w) =>
        rounded(held(w + noise * GYRO_NOISE_degPerS * random.normal(), limit?.gyro_degPerS), gyroDigits),
      ),
      ...acc.map((a) => rounded(held(a + noise * ACC_NOISE_mPerS2 * random.normal(), limit?.acc_mPerS2), accDigits)),
    ]);
  }
  return { sensor, offset_s, rows };
}

/** How hard a stamp is felt; less the further up the body. */
const KNOCK_mPerS2: Readonly<Record<Place, number>> = {
  pelvis: 55,
  thorax: 45,
  head: 36,
  lead_upper_arm: 40,
  trail_upper_arm: 40,
  lead_forearm: 42,
  trail_forearm: 42,
  club: 48,
};

const turnedIn = (sensor: Sensor, rate: Vec): Vec => [
  dot(sensor.mount.x, rate),
  dot(sensor.mount.y, rate),
  dot(sensor.mount.z, rate),
];

/** 1 at 0, 0 beyond ± ½. */
const raisedCosine = (x: number): number => (Math.abs(x) >= 0.5 ? 0 : 0.5 + 0.5 * Math.cos(2 * Math.PI * x));

const held = (value: number, limit: number | undefined): number =>
  limit === undefined ? value : Math.max(-limit, Math.min(limit, value));

function power(digits: number): number {
  let out = 1;
  for (let i = 0; i < digits; i += 1) out *= 10;
  return out;
}

function rounded(value: number, digits: number): number {
  const steps = power(digits);
  return Math.round(value * steps) / steps;
}

const HEAD = 'time_s,sensor,gyro_x,gyro_y,gyro_z,acc_x,acc_y,acc_z';

/** One table of all sensors, a row a sample, in the order of their stamps. */
export function longTable(recorded: readonly SensorRows[]): Uint8Array {
  const lines: { readonly stamp: number; readonly order: number; readonly text: string }[] = [];
  for (const [order, { sensor, rows }] of recorded.entries()) {
    for (const [stamp, ...values] of rows) {
      lines.push({ stamp: stamp!, order, text: `${stamp},${sensor.name},${values.map(plain).join(',')}` });
    }
  }
  lines.sort((a, b) => a.stamp - b.stamp || a.order - b.order);
  return new TextEncoder().encode(`${HEAD}\n${lines.map(({ text }) => text).join('\n')}\n`);
}

/** One table a sensor, by its name. */
export function separateTables(recorded: readonly SensorRows[]): Map<string, Uint8Array> {
  const head = HEAD.replace('sensor,', '');
  return new Map(
    recorded.map(({ sensor, rows }) => {
      const lines = rows.map((row) => row.map(plain).join(','));
      return [sensor.name, new TextEncoder().encode(`${head}\n${lines.join('\n')}\n`)];
    }),
  );
}

/** Without exponent and without −0. */
function plain(value: number): string {
  if (value === 0) return '0';
  const text = String(value);
  return text.includes('e') ? value.toFixed(12) : text;
}
