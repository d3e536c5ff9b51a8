/** The `sensors:` block of a drafted day file: units, places and their evidence, `?` where the data leave a question. */
import type { SensorDescription } from '../intake/sensors/describeSensors.ts';
import { FILE_SENSOR_PLACES } from '../model/sensors.ts';
import { oneLine, quoted, yamlText } from './draftNames.ts';
import type { SeenSensors } from './draftSensors.ts';

/** Lines of the `sensors:` block. */
export function sensorLines(seen: readonly SeenSensors[]): readonly string[] {
  const all = seen.flatMap((one) => one.described.sensors);
  const timed = all.filter((one) => one.columns.time !== null);
  const block = [
    ...columnComment(all),
    ...unitLine(
      'time_unit',
      's, ms or us',
      timed.map((one) => one.timeUnit),
    ),
    ...unitLine(
      'gyro_unit',
      'rad/s or deg/s',
      all.filter((one) => one.columns.gyro !== null).map((one) => one.gyroUnit),
    ),
    ...unitLine(
      'acc_unit',
      'm/s2, g or mg',
      all.filter((one) => one.columns.acc !== null).map((one) => one.accUnit),
    ),
    ...quaternionLines(all),
    ...placeLines(seen),
    ...alignLines(timed),
    ...(seen.some(isOfC3d)
      ? [
          '  # heading: file where one system made all rotations and knows their headings; otherwise each is zero at address',
        ]
      : []),
  ];
  const tables = seen.some((one) => !isOfC3d(one))
    ? [
        '# How tables of sensors are read. Columns are recognised by their names; name them under columns: where they are not.',
      ]
    : [];
  const rotations = seen.some(isOfC3d)
    ? ['# C3D files without a landmark are read by their rotations, each as a sensor; names are without 4X4.']
    : [];
  const isEmpty = block.every((line) => line.trimStart().startsWith('#'));
  return [...tables, ...rotations, isEmpty ? '# sensors:' : 'sensors:', ...block];
}

function isOfC3d({ path }: SeenSensors): boolean {
  return path.toLowerCase().endsWith('.c3d');
}

/** A question of clocks only where there are some. */
function alignLines(timed: readonly SensorDescription[]): readonly string[] {
  if (timed.length === 0) return [];
  const trigger = timed.find((one) => one.columns.trigger !== null)?.columns.trigger;
  return trigger !== undefined
    ? [`  align: trigger # column ${trigger}`]
    : ['  # align: {knock_s: [0, 0.6]} where the clocks of the sensors differ and all felt a knock in that time'];
}

function columnComment(all: readonly SensorDescription[]): readonly string[] {
  const texts = new Set(
    all.map(({ columns }) =>
      [columns.time, ...[columns.gyro, columns.acc, columns.mag, columns.quaternion].map((list) => list?.join(' '))]
        .filter((text) => text !== null && text !== undefined)
        .join(', '),
    ),
  );
  texts.delete('');
  return texts.size === 1 ? [`  # columns recognised: ${oneLine([...texts][0]!)}`] : [];
}

type Settled = SensorDescription['gyroUnit'];

function unitLine(key: string, choices: string, units: readonly Settled[]): readonly string[] {
  if (units.length === 0) return [];
  const known = units.filter((one) => one.value !== null);
  const values = new Set(known.map((one) => one.value));
  if (values.size === 0) return [`  ${key}: "?" # ${choices}: ${oneLine(units[0]!.evidence)}`];
  if (values.size > 1)
    return [`  # ${key} differs from file to file and is detected in each: ${[...values].join(', ')}`];
  const value = known[0]!.value!;
  return choices.split(/, | or /).includes(value)
    ? [`  ${key}: ${value} # ${oneLine(known[0]!.evidence)}`]
    : [`  # ${key} is read as ${value}`];
}

function quaternionLines(all: readonly SensorDescription[]): readonly string[] {
  const told = all.filter((one) => one.columns.quaternion !== null && one.quaternions !== '');
  const unfit = told.filter((one) => one.quaternions.startsWith('not used'));
  if (told.length === 0 || unfit.length < told.length) return [];
  return [`  use_quaternions: no # ${oneLine(unfit[0]!.quaternions)}`];
}

/**
 * Places on which all recordings agree. Where sensors are left whose place is not known, `?` for pelvis and thorax, and for the club where
 * nothing that shows the swing and its impact (club, hands, forearms) is known.
 */
function placeLines(seen: readonly SeenSensors[]): readonly string[] {
  const names = new Map<string, Set<string>>();
  const unplaced = new Map<string, string>();
  for (const { described } of seen) {
    for (const { name, place } of described.sensors) {
      if (place.value === null) unplaced.set(name, place.evidence);
      else names.set(place.value, (names.get(place.value) ?? new Set()).add(name));
    }
  }
  const asked = new Set<string>(['pelvis', 'thorax']);
  if (![...names.keys()].some((place) => /club|hand|forearm/.test(place))) asked.add('club');
  const lines = ['  places:'];
  for (const place of FILE_SENSOR_PLACES) {
    const own = [...(names.get(place) ?? [])];
    if (own.length === 1) lines.push(`    ${place}: ${yamlText(own[0]!)} # by its name`);
    else if (own.length > 1) lines.push(`    # ${place} has a name in each file: ${own.map(quoted).join(', ')}`);
    else if (unplaced.size > 0 && asked.has(place)) {
      lines.push(
        `    ${place}: "?" # the name of its sensor in the files: ${[...unplaced.keys()].map(quoted).join(', ')}`,
      );
    }
  }
  for (const [place, own] of names) {
    if (!(FILE_SENSOR_PLACES as readonly string[]).includes(place)) {
      lines.push(`    # ${[...own].map(quoted).join(', ')} is ${place}, left or right by the hand of the player`);
    }
  }
  const reasons = new Map<string, string[]>();
  for (const [name, evidence] of unplaced) reasons.set(evidence, [...(reasons.get(evidence) ?? []), quoted(name)]);
  for (const [evidence, own] of reasons) {
    lines.push(`    # ${own.join(', ')} ${own.length === 1 ? 'has' : 'have'} no place yet: ${oneLine(evidence)}`);
  }
  return lines.some((line) => !line.trimStart().startsWith('#') && line !== '  places:')
    ? lines
    : ['  # places: { pelvis: NAME, thorax: NAME } where the names of the sensors do not say it', ...lines.slice(1)];
}
