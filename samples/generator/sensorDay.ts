/** The part of the demo day that one player also recorded with sensors: the same swings as in the player's C3D files. */
import type { ClubSpec } from './club.ts';
import type { DemoPlayer } from './demoPlayers.ts';
import { makeKit, placesInFile } from './sensorKit.ts';
import { recordCalibration, recordHanging, recordSwing, type SensorRecording } from './sensorTrials.ts';
import { type SensorTruth, sensorTruth } from './sensorTruth.ts';
import type { Swing } from './swing.ts';
import { TRUE_POSITIONS } from './truth.ts';

export interface DemoSwing {
  /** File stem, such as `1-driver-2`. */
  readonly name: string;
  readonly seed: number;
  readonly swing: Swing;
}

export interface SensorFiles {
  /** Path below the player's folder. */
  readonly tables: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  /** JSON text. */
  readonly truth: string;
}

const OPTIONS = { rate_Hz: 250 };
export const KNOCK_WINDOW_s = [0, 0.6] as const;

export function sensorFiles(player: DemoPlayer, clubs: readonly ClubSpec[], swings: readonly DemoSwing[]): SensorFiles {
  const kit = makeKit(player.seed, player);
  const tables: { name: string; bytes: Uint8Array }[] = [];
  const keep = (name: string, made: SensorRecording): void => {
    tables.push({ name, bytes: made.table() });
  };
  keep('still', recordCalibration(player.seed + 1, kit, 'still', OPTIONS));
  keep('bow', recordCalibration(player.seed + 2, kit, 'bow', OPTIONS));
  keep('tilt', recordCalibration(player.seed + 3, kit, 'pelvic-tilt', OPTIONS));
  for (const [i, { id }] of clubs.entries()) keep(`hang-${id}`, recordHanging(player.seed + 4 + i, kit, OPTIONS));
  const rows: string[] = [];
  for (const { name, seed, swing } of swings) {
    const made = recordSwing(seed, kit, swing, OPTIONS);
    keep(name, made);
    rows.push(
      `  ${JSON.stringify(`${player.id}/sensors/${name}`)}: ${JSON.stringify(truthForFile(made, sensorTruth(swing)))}`,
    );
  }
  const notes = {
    units: 'seconds, degrees; turns are changes since P1',
    times: 'what happens at time_s is stamped time_s + offset_s by each sensor',
    places: placesInFile(kit),
    zeroed: 'forward and side bend are nought in wren/sensors/still; anatomical: against the axes of the landmarks',
  };
  const lines = Object.entries(notes).map(([key, value]) => ` ${JSON.stringify(key)}: ${JSON.stringify(value)},\n`);
  return { tables, truth: `{\n${lines.join('')} "trials": {\n${rows.join(',\n')}\n }\n}\n` };
}

const DEGREES = 180 / Math.PI;
const rounded = (value: number, steps: number): number => Math.round(value * steps) / steps;

export interface SensorTruthRow {
  readonly offset_s: Readonly<Record<string, number>>;
  readonly knock_s: number;
  readonly time_s: Readonly<Record<string, number>>;
  readonly anatomical: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly zeroed: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

function truthForFile(made: SensorRecording, truth: SensorTruth): SensorTruthRow {
  const times = (values: Readonly<Record<string, number>>): Record<string, number> =>
    Object.fromEntries(Object.entries(values).map(([name, value]) => [name, rounded(value, 10_000_000)]));
  const angles = (values: SensorTruth['zeroed']): SensorTruthRow['zeroed'] =>
    Object.fromEntries(
      TRUE_POSITIONS.map((position) => [
        position,
        Object.fromEntries(Object.entries(values[position]).map(([k, v]) => [k, rounded(v * DEGREES, 10_000) + 0])),
      ]),
    );
  return {
    offset_s: times(Object.fromEntries(made.recorded.map(({ sensor, offset_s }) => [sensor.name, offset_s]))),
    knock_s: rounded(made.knock!.at_s, 10_000_000),
    time_s: times(truth.time_s),
    anatomical: angles(truth.anatomical),
    zeroed: angles(truth.zeroed),
  };
}

/** Lines of the day file about sensors and their trials. */
export function sensorBlock(player: DemoPlayer): string[] {
  const places = Object.entries(placesInFile(makeKit(player.seed, player)));
  return [
    `# ${player.id} also wore five sensors, in the same swings: degrees a second and m/s², each sensor with a clock of its own; a heel`,
    '# stamped on the floor in the first 0.6 s brings the clocks together.',
    'sensors:',
    '  columns: { time: time_s, sensor: sensor, gyro: [gyro_x, gyro_y, gyro_z], acc: [acc_x, acc_y, acc_z] }',
    '  time_unit: s',
    '  gyro_unit: deg/s',
    '  acc_unit: m/s2',
    `  places: { ${places.map(([place, name]) => `${place}: ${name}`).join(', ')} }`,
    '  gyro_range_deg_per_s: 4000',
    '  acc_range_m_per_s2: 1960',
    `  align: { knock_s: [${KNOCK_WINDOW_s.join(', ')}] }`,
  ];
}

export function sensorTrialLines(
  player: DemoPlayer,
  clubs: readonly ClubSpec[],
  patterns: readonly { readonly pattern: string; readonly club: string }[],
  clubId: (club: ClubSpec) => string,
): string[] {
  const folder = `${player.id}/sensors`;
  const who = `player: ${player.id}`;
  return [
    `  - { file: ${folder}/still.csv, ${who}, role: static }`,
    `  - { file: ${folder}/bow.csv, ${who}, role: functional, movement: bow }`,
    `  - { file: ${folder}/tilt.csv, ${who}, role: functional, movement: pelvic-tilt }`,
    ...clubs.map(
      (club) => `  - { file: ${folder}/hang-${club.id}.csv, ${who}, role: calibration, club: ${clubId(club)} }`,
    ),
    ...patterns.map(({ pattern, club }) => `  - { pattern: ${folder}/${pattern}.csv, ${who}, club: ${club} }`),
  ];
}
