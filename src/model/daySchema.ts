/** The day file, declared once: validation, types, the reference page and the schema for editors come from here. */
import * as z from 'zod';
import { DEFAULT_BODY_FAULT_LIMITS, SKIN_SEGMENTS, type SkinSegment } from './bodyFaultLimits.ts';
import { CUTOFF_METHODS, HIP_METHODS, SHOULDER_METHODS } from './dayPlan.ts';
import { gateSchema } from './gateSchema.ts';
import { CLUB_LANDMARKS, FILE_LANDMARKS } from './landmarks.ts';
import { NOTE_POSITIONS } from './positions.ts';
import { LANGUAGES, LENGTH_UNITS, SPEED_UNITS } from './reportSettings.ts';
import { FILE_SENSOR_PLACES, MOVEMENTS } from './sensors.ts';

const AXES = ['+X', '-X', '+Y', '-Y', '+Z', '-Z'] as const;
const UNITS = ['mm', 'cm', 'm'] as const;
const ID = /^[A-Za-z0-9_-]{1,40}$/;
const RESERVED = /^(con|prn|aux|nul|com[0-9]|lpt[0-9])$/i;

/** True for names that Windows keeps for devices, whatever follows their first dot. */
export function isReservedName(name: string): boolean {
  return RESERVED.test(name.split('.')[0]!.trim());
}

const ID_ERROR = 'an id is 1 to 40 letters, digits, "_" or "-" (A-Z, a-z, 0-9)';

function id(description: string) {
  return z
    .string()
    .regex(ID, { error: ID_ERROR })
    .refine((text) => !isReservedName(text), { error: 'this name is reserved for a device on Windows; choose another' })
    .describe(description);
}

function positive(description: string, largest: number) {
  return z.number().positive().max(largest).describe(description);
}

/** `yes` and `no` are plain words in YAML 1.2. */
function yesNo(description: string) {
  return z.union([z.boolean(), z.enum(['yes', 'no'])], { error: 'write yes or no' }).describe(description);
}

/** 1 − 31 days, 1 − 12 months, leap years included. */
function isIsoDate(text: string): boolean {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (parts === null) return false;
  const year = Number(parts[1]);
  const month = Number(parts[2]);
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1];
  return days !== undefined && Number(parts[3]) >= 1 && Number(parts[3]) <= days;
}

const vector = (description: string) =>
  z.array(z.number()).length(3, { error: 'give three numbers, as [x, y, z]' }).describe(description);

const markerName = z.union([z.string().min(1), z.int().min(1)], {
  error:
    'give the label in the file, its description, or the number of the marker (7 or "#7"; a bare #7 is a comment in YAML)',
});

const POSITION_NAME = /^P([1-9]|10)(\.\d{1,3})?$/;

const INSIST = ['up', 'units', 'target', 'hand', 'rate'] as const;

const facts = {
  up: z.enum(AXES).optional().describe('axis of the file that points up; detected from the body where it is not given'),
  target: z.enum(AXES).optional().describe('axis of the file that points toward the target'),
  units: z.enum(UNITS).optional().describe('unit of length in the files; detected from the body where it is not given'),
  rate_Hz: positive('frames a second, where the files do not say or are wrong', 100_000).optional(),
};

const cutoff = (of: string) =>
  z
    .union([z.number().positive().max(1000), z.enum(CUTOFF_METHODS), z.literal('none')], {
      error: `give a frequency in Hz, a rule (${CUTOFF_METHODS.join(', ')}), or none`,
    })
    .optional()
    .describe(`zero-lag low-pass cutoff of ${of} in Hz, the rule by which each trial chooses it, or none`);

const filter = z
  .union(
    [
      z.literal('none'),
      z.enum(CUTOFF_METHODS),
      z.strictObject({
        trunk_Hz: cutoff('pelvis and thorax'),
        head_Hz: cutoff('the head'),
        legs_Hz: cutoff('legs and feet'),
        upper_arm_Hz: cutoff('the upper arms'),
        forearm_Hz: cutoff('forearms and hands'),
      }),
    ],
    { error: `write none, a rule for all (${CUTOFF_METHODS.join(', ')}), or cutoffs such as {trunk_Hz: 12}` },
  )
  .describe(
    'smoothing of body markers: none, a rule by which each trial chooses its cutoffs, or settings by segment group; club and ball are never filtered',
  );

const gaps = z
  .strictObject({
    longest_s: z
      .number()
      .min(0)
      .max(10)
      .optional()
      .describe('longest gap that a spline fills, seconds (default 0.1); half of it in the downswing and for the club'),
    rigid_s: z
      .number()
      .min(0)
      .max(1000)
      .optional()
      .describe(
        'longest gap of a marker that three others of its segment fill as a rigid body, seconds (default: any length; 0: none)',
      ),
    components_s: z
      .number()
      .min(0)
      .max(10)
      .optional()
      .describe(
        'longest gap, among those that are left, that principal components of the neighbouring markers fill, seconds (default 0: none)',
      ),
  })
  .describe('filling of gaps');

/** Least and most, in this order. */
function range(description: string) {
  return z
    .tuple([z.number().positive().max(100), z.number().positive().max(100)])
    .refine(([least, most]) => least < most, 'the first must be less than the second')
    .optional()
    .describe(description);
}

/** `upper arm` is `upper_arm` in a day file. */
type SkinKey = SkinSegment extends infer S ? (S extends `${infer A} ${infer B}` ? `${A}_${B}` : S) : never;

const faults = z
  .strictObject({
    repair: yesNo(
      'no: faults are found and named, and every sample stays as recorded (default yes: swapped labels are exchanged back, samples off the body count as missing)',
    ).optional(),
    skin_mm: z
      .strictObject(
        Object.fromEntries(
          SKIN_SEGMENTS.map((segment) => [
            segment.replace(' ', '_'),
            positive(
              `${segment}: how far skin moves a marker, mm (default ${1000 * DEFAULT_BODY_FAULT_LIMITS.skin_m[segment]})`,
              200,
            ).optional(),
          ]),
        ) as Record<SkinKey, z.ZodOptional<z.ZodNumber>>,
      )
      .optional()
      .describe('by segment: what a marker may move on it before the segment breaks or a marker counts as moved'),
    downswing_s: range('shortest and longest time from P4 to P7 that a swing takes, seconds (default 0.12 and 0.6)'),
    backswing_s: range('shortest and longest time from P1 to P4 that a swing takes, seconds (default 0.3 and 2.5)'),
    club_lost_percent: z
      .number()
      .min(0)
      .max(100)
      .optional()
      .describe('frames around impact in which a marker of the club may be missing, per cent (default 20)'),
    club_blur_mm: positive(
      'how far the markers near the club head may be off their places before impact, RMS beyond noise, mm (default 2)',
      100,
    ).optional(),
    head_point_mm: positive(
      'how far the head point may sit from its place in the other swings of the club, mm (default 6)',
      100,
    ).optional(),
  })
  .describe('faults of the recording, such as swapped labels and leaping markers');

const insist = z
  .array(z.enum(INSIST))
  .describe('facts whose set value holds even where the data show otherwise; the report says so');

const markers = z
  .partialRecord(z.enum(FILE_LANDMARKS as readonly [string, ...string[]]), markerName)
  .describe('landmark → marker of the file, by label, description or number, where its name is not recognised');

const events = z
  .record(
    z.string(),
    z.string().regex(POSITION_NAME, { error: 'name a position: P1 to P10, or a fraction such as P5.5' }),
  )
  .describe('event label in the files → position');

const columnName = z.string({ error: 'give the name of a column as the table writes it' }).min(1);

const columnNames = (count: number, example: string) =>
  z.array(columnName).length(count, { error: `give ${count} names of columns, as ${example}` });

const sensors = z
  .strictObject({
    columns: z
      .strictObject({
        time: columnName.optional().describe('column of the time'),
        sensor: columnName
          .optional()
          .describe('column with the name of the sensor, where one table holds all sensors below one another'),
        gyro: columnNames(3, '[gyro_x, gyro_y, gyro_z]')
          .optional()
          .describe('columns of the angular velocity about x, y, z of the sensor'),
        acc: columnNames(3, '[acc_x, acc_y, acc_z]')
          .optional()
          .describe('columns of the accelerometer along x, y, z; at rest they read gravity upward'),
        mag: columnNames(3, '[mag_x, mag_y, mag_z]')
          .optional()
          .describe('columns of the magnetometer along x, y, z, in any unit'),
        quaternion: columnNames(4, '[qw, qx, qy, qz]')
          .optional()
          .describe('columns of the quaternion in the order w, x, y, z'),
        trigger: columnName.optional().describe('column of a trigger signal, for align: trigger'),
      })
      .optional()
      .describe(
        'names of the columns, where they are not recognised; {sensor} in a name stands for the name of the sensor where sensors lie beside one another',
      ),
    time_unit: z.enum(['s', 'ms', 'us']).optional().describe('unit of the time column'),
    gyro_unit: z.enum(['rad/s', 'deg/s']).optional().describe('unit of the angular velocity'),
    acc_unit: z.enum(['m/s2', 'g', 'mg']).optional().describe('unit of the accelerometer'),
    quaternion_direction: z
      .enum(['sensor-to-world', 'world-to-sensor'])
      .optional()
      .describe('what a quaternion turns into what; it is checked against the gyro'),
    use_quaternions: yesNo(
      'no: quaternions of the file are not used, orientations come from gyro and accelerometer (default yes, where they fit the gyro)',
    ).optional(),
    places: z
      .partialRecord(z.enum(FILE_SENSOR_PLACES as readonly [string, ...string[]]), z.string().min(1))
      .optional()
      .describe('place on the body, or club for the shaft → name of the sensor in the files'),
    facing: z
      .partialRecord(z.enum(FILE_SENSOR_PLACES as readonly [string, ...string[]]), z.enum(AXES))
      .optional()
      .describe('place → axis of its sensor that points forward in the still pose, where no movement shows it'),
    gyro_range_deg_per_s: positive('range of the gyro, to know clipped samples', 100_000).optional(),
    acc_range_m_per_s2: positive('range of the accelerometer, to know clipped samples', 100_000).optional(),
    align: z
      .union(
        [
          z.enum(['stamps', 'trigger']),
          z.strictObject({
            knock_s: z
              .array(z.number().min(0).max(100_000))
              .length(2, { error: 'give two times in seconds, as [0, 0.6]' })
              .describe(
                'seconds, counted on the clock of each sensor from its own first sample, between which the knock lies',
              ),
          }),
        ],
        { error: 'write stamps, trigger, or {knock_s: [0, 0.6]}' },
      )
      .optional()
      .describe(
        'how the clocks of the sensors come together: stamps (the times hold, default), trigger (a column), or a knock that all feel',
      ),
    heading: z
      .enum(['address', 'file'])
      .optional()
      .describe('address: each heading is zero at address (default); file: the headings of the quaternions hold'),
    filter: z
      .enum(['inclination', 'mahony', 'madgwick'])
      .optional()
      .describe('orientation filter where there is no still address to start from (default inclination)'),
    magnetometer: yesNo(
      'yes: the magnetometer steadies the heading; steel near by misleads it (default no)',
    ).optional(),
  })
  .describe('how tables of inertial sensors are read; what is not said is detected, or asked for');

const player = z.strictObject({
  id: id('short name of the player in tables and file names'),
  hand: z.enum(['left', 'right']).optional().describe('left for a left-handed player'),
  sex: z.enum(['female', 'male']).optional().describe('chooses body-segment constants'),
  mass_kg: positive('body mass', 400).optional(),
  height_m: positive('standing height', 3).optional(),
  static: z
    .string()
    .min(1)
    .optional()
    .describe('the static trial, by trial id or file; found by role where there is only one'),
  still: z
    .string()
    .min(1)
    .optional()
    .describe('the still pose of the sensors, by trial id or file; found by role static where there is only one'),
  hip_centre: z
    .enum(HIP_METHODS)
    .optional()
    .describe('regression of the hip centres (default: the best for the landmarks there are)'),
  shoulder_centre: z
    .enum(SHOULDER_METHODS)
    .optional()
    .describe('rule for the shoulder centres (default dumas-wojtusch)'),
  note: z.string().optional().describe('free text, printed on the sheets in quotes'),
  notes: z
    .partialRecord(z.enum(NOTE_POSITIONS), z.string().min(1), { error: `write notes by position, as P4: "…"` })
    .optional()
    .describe('what the coach says of a position; stands at that position in the report, in quotes'),
  practice: z
    .array(z.string().min(1))
    .optional()
    .describe('what the coach wants practised, in the order given; printed in quotes as the coach’s own words'),
});

const club = z.strictObject({
  id: id('short name of the club'),
  kind: z
    .enum(['driver', 'wood', 'hybrid', 'iron', 'wedge', 'putter'])
    .describe('irons are the reference of the driver'),
  length_m: positive('length of the club', 2).optional(),
  loft_deg: z.number().min(-10).max(90).optional().describe('loft'),
  lie_deg: z.number().min(0).max(90).optional().describe('lie'),
  markers: z
    .partialRecord(z.enum(CLUB_LANDMARKS), markerName)
    .optional()
    .describe('club landmark → marker of the file, where its name is not recognised'),
  head_point: z
    .enum(['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3', 'CLUB_SHAFT'])
    .optional()
    .describe('marker that serves as head point where no face centre is given'),
  face_centre_mm: vector('face centre in the frame of the three head markers, mm').optional(),
  face_normal: vector(
    'direction the face looks, in the frame of the three head markers; else a calibration trial of the club with markers on the face shows it',
  ).optional(),
  face_marker_height_mm: z
    .number()
    .min(0)
    .max(30)
    .optional()
    .describe('how far the centres of the markers on the face stand before it in the calibration trial (default 0)'),
  sensor_shaft: z
    .enum(AXES)
    .optional()
    .describe(
      'axis of the sensor on the club that points from grip to head; else a trial in which the club hangs still shows it',
    ),
});

const BAND = 'give two angles in degrees, the lower first, as [-2, 3], or none';

const attackBand = z.union(
  [
    z.array(z.number().min(-90).max(90)).refine((band) => band.length === 2 && band[0]! < band[1]!, { error: BAND }),
    z.literal('none'),
  ],
  { error: BAND },
);

const trial = z
  .strictObject({
    file: z
      .string()
      .min(1)
      .optional()
      .describe('path below the data folder, / between folders; with / at its end a folder with one table per sensor'),
    pattern: z
      .string()
      .min(1)
      .optional()
      .describe('many files at once: * and ? inside a name, ** across folders; with / at its end folders of tables'),
    id: id('short name of the trial (default: its path without extension); not with a pattern').optional(),
    source: z
      .enum(['markers', 'sensors'])
      .optional()
      .describe('what was recorded; tables are sensors, a C3D file shows it by its content'),
    player: z.string().min(1).optional().describe('id of the player; not needed where there is only one'),
    club: z.string().min(1).optional().describe('id of the club; a swing without one is rejected'),
    set: z.string().optional().describe('name of the set the swing belongs to'),
    role: z
      .enum(['swing', 'static', 'functional', 'calibration'])
      .optional()
      .describe(
        'what was captured (default swing); of markers: functional is legs that swing, for the hip centres; calibration is a club with markers on its face; of sensors: static is the still pose, functional a movement, calibration a club that hangs still',
      ),
    movement: z
      .enum(MOVEMENTS)
      .optional()
      .describe(
        'the movement of a functional trial of sensors: it shows the axes of trunk (bow, turn) or pelvis (pelvic-tilt)',
      ),
    still: z
      .string()
      .min(1)
      .optional()
      .describe(
        'the still pose that counts for this trial of sensors, by trial id or file (default that of the player)',
      ),
    use: yesNo('no leaves the trial out, with its note as the reason').optional(),
    note: z.string().optional().describe('free text; the reason where use is no or gate is given'),
    gate: z
      .enum(['accept', 'reject'])
      .optional()
      .describe('decides by hand, whatever the gates say (docs/gates.md); the note says why and stands in the report'),
    ...facts,
    markers: markers.optional(),
    events: events.optional(),
    filter: filter.optional(),
    gaps: gaps.optional(),
    faults: faults.optional(),
    insist: insist.optional(),
    trust_coordinates: yesNo('as the setting of the day, for these files').optional(),
    sensors: sensors.optional(),
  })
  .refine((row) => (row.file === undefined) !== (row.pattern === undefined), {
    error: 'a trial needs either file or pattern',
  })
  .refine((row) => row.pattern === undefined || row.id === undefined, {
    error: 'an id is for one file; leave it out with a pattern',
  });

const swingNames = z.string().min(1);

export const daySchema = z.strictObject({
  swingbasis: z
    .literal(1, { error: 'the first line is swingbasis: 1 (the version of this format)' })
    .describe('version of this format'),
  day: z.string().min(1).max(200).describe('name of the day in the report'),
  date: z
    .string()
    .refine(isIsoDate, { error: 'write the date as 2026-05-31' })
    .optional()
    .describe('date of the capture, as 2026-05-31'),
  lab: z.strictObject(facts).optional().describe('facts about all files of the day'),
  players: z.array(player).min(1).describe('who swung'),
  clubs: z.array(club).optional().describe('what was swung'),
  trials: z.array(trial).optional().describe('the captures; each entry may override settings of the day'),
  trials_csv: z.string().min(1).optional().describe('the captures as a table instead, path below the data folder'),
  markers: markers.optional(),
  events: events.optional(),
  filter: filter.optional(),
  gaps: gaps.optional(),
  faults: faults.optional(),
  placement: z
    .record(z.string(), z.number().min(0))
    .optional()
    .describe(
      'quantity, or its segment as in pelvis or lead_hip → what landmarks and skin may do to a value, half-width of 95 % in its unit (docs/uncertainty.md)',
    ),
  insist: insist.optional(),
  trust_coordinates: yesNo('use coordinates although every sample is marked invalid').optional(),
  sensors: sensors.optional(),
  gates: gateSchema.optional(),
  report: z
    .strictObject({
      speed: z.enum(SPEED_UNITS).optional().describe('speeds in sheets, details and pages (default m/s)'),
      length: z.enum(LENGTH_UNITS).optional().describe('lengths in sheets, details and pages (default mm)'),
      language: z.enum(LANGUAGES).optional().describe('language of sheets, details and pages (default en)'),
    })
    .optional()
    .describe('how the report is written; tables stay as they are'),
  compare: z
    .strictObject({
      margins: z
        .record(z.string(), z.number().positive())
        .optional()
        .describe('quantity → largest difference without meaning, in its unit'),
      primary: z.array(z.string()).optional().describe('the comparisons fixed beforehand, each as quantity@position'),
      seed: z.int().min(0).max(4_294_967_295).optional().describe('seed of the resampling (default 1)'),
      resamples: z.int().min(100).max(100_000).optional().describe('number of resamples (default 2000)'),
      groups: z
        .array(
          z.strictObject({
            of: swingNames.describe('the swings that are compared: ids of clubs, kinds and sets, comma between them'),
            against: swingNames.describe('the swings of the same player that they are compared with'),
            name: id(
              'ends the names of the sheets (default: of and against); main stands in place of driver against irons',
            ).optional(),
          }),
        )
        .optional()
        .describe(
          'comparisons beside driver against irons, such as one iron against the others or a set against a set',
        ),
      sessions: z
        .strictObject({
          reapplication: z
            .record(z.string(), z.number().min(0))
            .optional()
            .describe(
              'quantity → what putting the markers on again may move, in its unit (default 3 degrees for angles of the body, 5 for pelvis.forward_bend)',
            ),
        })
        .optional()
        .describe('comparison of several days (swingbasis compare)'),
      attack_band_deg: attackBand
        .optional()
        .describe(
          'band drawn at the attack angle of a driver from a tee, as [low, high], or none (default [-2, 3]: common practice, no source); no verdict rests on it',
        ),
      checkpoints: z
        .string()
        .min(1)
        .optional()
        .describe('file of rules, beside the file that names it (docs/checkpoints.md; default: the set that ships)'),
    })
    .optional()
    .describe('the comparison of driver and irons, and further ones'),
});

export type DayFile = z.output<typeof daySchema>;
export type DayFileTrial = NonNullable<DayFile['trials']>[number];
export type DayFilter = NonNullable<DayFile['filter']>;
export type DaySensors = NonNullable<DayFile['sensors']>;

/** Keys whose value, or each item of it, is text even where YAML reads a number (id: 007) or a date. */
export const TEXT_KEYS: ReadonlySet<string> = new Set<string>([
  'id', 'day', 'date', 'player', 'club', 'set', 'of', 'against', 'name', 'static', 'still', 'note', 'file', 'pattern', 'trials_csv',
  'checkpoints', 'time', 'sensor', 'gyro', 'acc', 'mag', 'quaternion', 'trigger', 'practice', ...NOTE_POSITIONS,
  ...FILE_SENSOR_PLACES,
]); // biome-ignore format: one glance

/** Columns of a table of trials (`trials_csv`): the plain settings of an entry of `trials`. */
export const TRIAL_COLUMNS = [
  'file', 'pattern', 'id', 'player', 'club', 'set', 'role', 'use', 'gate', 'note',
  'up', 'target', 'units', 'rate_Hz', 'insist', 'trust_coordinates', 'source', 'movement', 'still',
] as const; // biome-ignore format: one glance

/** A node of the schema as JSON, as far as it is walked here. */
export interface SchemaNode {
  readonly description?: string;
  readonly type?: string;
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly required?: readonly string[];
  readonly items?: SchemaNode;
  readonly additionalProperties?: SchemaNode | boolean;
  readonly propertyNames?: SchemaNode;
  readonly anyOf?: readonly SchemaNode[];
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly maximum?: number;
  readonly pattern?: string;
}

/** The schema of a day file for editors (JSON Schema 2020-12). */
export function daySchemaJson(): SchemaNode {
  return z.toJSONSchema(daySchema, { io: 'input' }) as SchemaNode;
}

let cached: SchemaNode | null = null;

/** Keys that are allowed at a path of the day file; empty where the keys are free. */
export function keysAt(path: readonly PropertyKey[]): readonly string[] {
  cached ??= daySchemaJson();
  return keysIn(cached, path);
}

/** Keys that a schema allows at a path; empty where the keys are free. */
export function keysIn(schema: SchemaNode, path: readonly PropertyKey[]): readonly string[] {
  let nodes: readonly SchemaNode[] = [schema];
  for (const step of path) {
    nodes = nodes.flatMap((node) => (node.anyOf ?? [node]).flatMap((one) => childOf(one, step)));
  }
  return nodes.flatMap((node) =>
    (node.anyOf ?? [node]).flatMap((one) => [
      ...Object.keys(one.properties ?? {}),
      ...((one.propertyNames?.enum as readonly string[] | undefined) ?? []),
    ]),
  );
}

function childOf(node: SchemaNode, step: PropertyKey): readonly SchemaNode[] {
  if (typeof step === 'number') return node.items === undefined ? [] : [node.items];
  const property = node.properties?.[String(step)];
  if (property !== undefined) return [property];
  return typeof node.additionalProperties === 'object' ? [node.additionalProperties] : [];
}
