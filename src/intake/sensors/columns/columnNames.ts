/** What the name of a column says: the signal, its axis, a unit, and the sensor it belongs to. Rules, not a list of exports. */

export type Signal = 'time' | 'sensor' | 'gyro' | 'acc' | 'mag' | 'quaternion' | 'trigger';
/** Signals with axes. */
export type AxialSignal = 'gyro' | 'acc' | 'mag' | 'quaternion';
export type ColumnAxis = 'w' | 'x' | 'y' | 'z';

export interface ColumnMeaning {
  readonly signal: Signal;
  readonly axis: ColumnAxis | null;
  /** How the axis of a quaternion is written: a letter, or a number from 0 (w first) or from 1 (order unknown). */
  readonly axisForm: 'letter' | 'from0' | 'from1';
  /** Unit words found in the name, '' without. */
  readonly unit: string;
  /** What is left of the name: the sensor where sensors lie beside one another, '' where it is not named. */
  readonly sensor: string;
}

const GYRO = ['gyroscope', 'gyro', 'gyr', 'omega', 'angvel', 'angularvelocity', 'angrate', 'rotationrate', 'rotrate'];
const ACC = ['accelerometer', 'acceleration', 'accel', 'acc'];
const MAG = ['magnetometer', 'magnetic', 'magn', 'mag'];
const QUAT = ['quaternion', 'quat', 'orientation', 'q'];

const SIGNAL_OF_WORD: ReadonlyMap<string, AxialSignal> = new Map([
  ...GYRO.map((word) => [word, 'gyro'] as const),
  ...ACC.map((word) => [word, 'acc'] as const),
  ...MAG.map((word) => [word, 'mag'] as const),
  ...QUAT.map((word) => [word, 'quaternion'] as const),
]);

/** Single letters that stand for a signal only when joined to an axis (`wx`, `ax`) or followed by one (`w_x`). */
const SIGNAL_OF_LETTER: Readonly<Record<string, AxialSignal>> = {
  w: 'gyro',
  g: 'gyro',
  a: 'acc',
  m: 'mag',
  q: 'quaternion',
};

const TIME_WORDS: ReadonlySet<string> = new Set([
  't',
  'time',
  'timestamp',
  'timestamps',
  'ts',
  'timestep',
  'elapsed',
  'clock',
]);
const SENSOR_WORDS: ReadonlySet<string> = new Set(['sensor', 'device', 'imu', 'segment', 'placement', 'location']);
const TRIGGER_WORDS: ReadonlySet<string> = new Set(['trigger', 'trig', 'sync']);

/** Words of computed or reference columns beside the raw ones (angular accelerations among them): such columns are not used. */
const NOT_RAW: ReadonlySet<string> = new Set([
  'ref',
  'reference',
  'truth',
  'optical',
  'bias',
  'free',
  'user',
  'gravity',
  'uncalibrated',
  'temp',
  'temperature',
  'delta',
  'ang',
  'angular',
]);
/** Words that say nothing about which sensor it is. */
const FILLER: ReadonlySet<string> = new Set([
  'linear',
  'lin',
  'field',
  'velocity',
  'vel',
  'rate',
  'component',
  'calibrated',
  'cal',
]);

/** Words of units. */
const UNIT_WORDS: ReadonlySet<string> = new Set([
  's',
  'sec',
  'seconds',
  'ms',
  'us',
  'ns',
  'msec',
  'usec',
  'rad',
  'rads',
  'radps',
  'deg',
  'degs',
  'degps',
  'dps',
  'per',
  'g',
  'mg',
  'm',
  'mps2',
  'ms2',
  's2',
  'ut',
]);

/** Words of a name: split at marks and at the humps of camel case, in lower case. */
export function wordsOf(name: string): string[] {
  return name
    .replace(/([A-Z]+)([A-Z][a-z])/g, '$1 $2')
    .replace(/([a-z0-9])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^a-z0-9²µ]+/)
    .filter((word) => word !== '');
}

/** The unit in brackets at the end of a name ("gyro_x [deg/s]"), '' without; and the name without it. */
export function splitUnit(name: string): { readonly name: string; readonly unit: string } {
  const match = /^(.*?)\s*[([]\s*([^()[\]]*?)\s*[)\]]\s*$/.exec(name);
  return match === null ? { name: name.trim(), unit: '' } : { name: match[1]!.trim(), unit: match[2]! };
}

const AXES: ReadonlySet<string> = new Set(['w', 'x', 'y', 'z']);

interface Found {
  readonly signal: AxialSignal;
  readonly axis: ColumnAxis;
  readonly axisForm: ColumnMeaning['axisForm'];
  /** Indices of the words that said so. */
  readonly used: readonly number[];
}

const IMAGINARY: Readonly<Record<string, ColumnAxis>> = { r: 'w', s: 'w', i: 'x', j: 'y', k: 'z' };

function axisOf(signal: AxialSignal, text: string): { axis: ColumnAxis; form: ColumnMeaning['axisForm'] } | null {
  if (AXES.has(text))
    return signal !== 'quaternion' && text === 'w' ? null : { axis: text as ColumnAxis, form: 'letter' };
  if (signal !== 'quaternion') return null;
  const imaginary = IMAGINARY[text];
  if (imaginary !== undefined) return { axis: imaginary, form: 'letter' };
  if (/^[0-4]$/.test(text)) {
    // 0 to 3: the scalar first (common practice, no source). 1 to 4 says nothing of the order; the caller sees which it is.
    return { axis: (['w', 'x', 'y', 'z', 'z'] as const)[Number(text)]!, form: text === '4' ? 'from1' : 'from0' };
  }
  return null;
}

function findAxial(words: readonly string[]): Found | null {
  // A word that joins signal and axis: gyrox, accy, qw, q0, wx, quatw.
  for (let i = words.length - 1; i >= 0; i -= 1) {
    const match = /^([a-z]+)([wxyz0-4]|[ijkrs])$/.exec(words[i]!);
    if (match === null || SIGNAL_OF_WORD.has(words[i]!)) continue;
    const signal = SIGNAL_OF_WORD.get(match[1]!) ?? SIGNAL_OF_LETTER[match[1]!];
    if (signal === undefined) continue;
    const axis = axisOf(signal, match[2]!);
    if (axis !== null) return { signal, axis: axis.axis, axisForm: axis.form, used: [i] };
  }
  // A word for the signal and a later (else an earlier) word for the axis.
  let at = -1;
  let signal: AxialSignal | undefined;
  const used: number[] = [];
  for (let i = 0; i < words.length && signal === undefined; i += 1) {
    signal = SIGNAL_OF_WORD.get(words[i]!);
    at = i;
  }
  const pair = words.findIndex(
    (word, i) => /^ang(ular)?$/.test(word) && /^(velocity|vel|rate)$/.test(words[i + 1] ?? ''),
  );
  if (pair >= 0) {
    signal = 'gyro';
    at = pair + 1;
    used.push(pair);
  }
  if (signal === undefined) {
    at = words.findIndex((word, i) => word in SIGNAL_OF_LETTER && AXES.has(words[i + 1] ?? ''));
    if (at < 0) return null;
    signal = SIGNAL_OF_LETTER[words[at]!]!;
  }
  used.push(at);
  const order = [...words.keys()].filter((i) => i > at).concat([...words.keys()].filter((i) => i < at));
  for (const letters of [true, false]) {
    for (const i of order) {
      const axis = axisOf(signal, words[i]!);
      if (axis === null || used.includes(i) || (axis.form === 'letter') !== letters) continue;
      return { signal, axis: axis.axis, axisForm: axis.form, used: [...used, i] };
    }
  }
  return null;
}

/**
 * Reads the name of a column. null: it says nothing that is known, or it is a computed column. Spelled with any marks or in camel case:
 * `gyro_x`, `GyrX`, `wx`, `acc.z (m/s^2)`, `LeftForearm_q_w`, `q0`.
 */
export function meaningOfColumn(column: string): ColumnMeaning | null {
  const { name, unit } = splitUnit(column);
  const words = wordsOf(name);
  if (words.length === 0) return null;
  const axial = findAxial(words);
  const first = axial === null ? words.findIndex((word) => TIME_WORDS.has(word)) : Math.min(...axial.used);
  const units: string[] = [];
  const rest: string[] = [];
  words.forEach((word, i) => {
    if (axial?.used.includes(i) === true || (axial === null && i === first)) return;
    if (first >= 0 && i > first && UNIT_WORDS.has(word)) units.push(word);
    else if (!FILLER.has(word)) rest.push(word);
  });
  if (rest.some((word) => NOT_RAW.has(word))) return null;
  const said = unit === '' ? units.join(' ') : unit;
  if (axial !== null) {
    return { signal: axial.signal, axis: axial.axis, axisForm: axial.axisForm, unit: said, sensor: rest.join('_') };
  }
  const plain = { axis: null, axisForm: 'letter' } as const;
  if (first >= 0) return { signal: 'time', ...plain, unit: said, sensor: rest.join('_') };
  const trigger = words.findIndex((word) => TRIGGER_WORDS.has(word));
  if (trigger >= 0) {
    return { signal: 'trigger', ...plain, unit: said, sensor: words.filter((_, i) => i !== trigger).join('_') };
  }
  if (words.length <= 2 && SENSOR_WORDS.has(words[0]!) && /^(|id|name|label)$/.test(words[1] ?? '')) {
    return { signal: 'sensor', ...plain, unit: '', sensor: '' };
  }
  return null;
}
