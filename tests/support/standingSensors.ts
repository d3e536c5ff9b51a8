/** Small recordings of sensors that stand still, turn about one axis and stand still again, as text. */

export interface SensorTableSpec {
  readonly rate_Hz: number;
  readonly seconds: number;
  /** Largest angular speed, deg/s; 0: it stands still. */
  readonly fastest_degPerS: number;
}

const STILL_s = 1;

/** Angular speed about the vertical at a time, deg/s: still for a second at both ends, one half sine between. */
function speedAt(time_s: number, { seconds, fastest_degPerS }: SensorTableSpec): number {
  const share = (time_s - STILL_s) / (seconds - 2 * STILL_s);
  return share <= 0 || share >= 1 ? 0 : fastest_degPerS * Math.sin(Math.PI * share);
}

/** A little that changes from row to row and sensor to sensor, so that no column copies another. */
function ripple(row: number, salt: number): number {
  return 0.01 * Math.sin(1.7 * row * (1 + salt) + salt);
}

/** Cells of one row: gyro x y z in deg/s, accelerometer x y z in m/s² with gravity along y. */
export function sensorCells(row: number, spec: SensorTableSpec, salt: number): readonly string[] {
  const time_s = row / spec.rate_Hz;
  const gyro = [ripple(row, salt), speedAt(time_s, spec) + ripple(row, salt + 0.3), ripple(row, salt + 0.6)];
  const acc = [ripple(row, salt + 0.1), 9.81 + ripple(row, salt + 0.4), ripple(row, salt + 0.7)];
  return [...gyro, ...acc].map((value) => value.toFixed(5));
}

const SIGNALS = 'gyro_x [deg/s],gyro_y [deg/s],gyro_z [deg/s],acc_x [m/s2],acc_y [m/s2],acc_z [m/s2]';

/** One table of one sensor. */
export function sensorTable(spec: SensorTableSpec, salt = 1): string {
  const lines = [`time_s,${SIGNALS}`];
  for (let row = 0; row < spec.rate_Hz * spec.seconds; row++) {
    lines.push([(row / spec.rate_Hz).toFixed(4), ...sensorCells(row, spec, salt)].join(','));
  }
  return `${lines.join('\n')}\n`;
}

/** One table of several sensors, row below row. */
export function longTable(spec: SensorTableSpec, names: readonly string[]): string {
  const lines = [`time_s,sensor,${SIGNALS}`];
  for (let row = 0; row < spec.rate_Hz * spec.seconds; row++) {
    for (const [i, name] of names.entries()) {
      lines.push([(row / spec.rate_Hz).toFixed(4), name, ...sensorCells(row, spec, i + 1)].join(','));
    }
  }
  return `${lines.join('\n')}\n`;
}
