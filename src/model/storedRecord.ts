/** The stored record of a trial read back: what `trials/<id>.json` must hold, declared once. */
import * as z from 'zod';
import { CUTOFF_METHODS, FILTER_GROUPS, type FilterGroup } from './dayPlan.ts';
import { FAULTS, type FaultCode } from './faults.ts';
import { filmBytes } from './film.ts';
import { UNMEASURED } from './markerRuns.ts';
import { POINTS } from './motion.ts';
import { POSITIONS } from './positions.ts';
import { ANGLE_ORDERS } from './quantity.ts';
import { SENSOR_PLACES } from './sensors.ts';
import { STILL_POSE, type StillRecord } from './stillRecord.ts';
import { CURVE_STEPS, type SwingRecord } from './swingRecord.ts';
import { CLUB_KINDS } from './swingSelector.ts';
import type { TrialFacts } from './trial.ts';
import type { TrialQuality } from './trialQuality.ts';
import { UNITS } from './units.ts';

/** Ids that become parts of file names: nothing that leads out of a folder. */
export const FILE_ID = /^[A-Za-z0-9_-]{1,40}$/;

/** More points than a film may hold would make a page of forty swings too large. */
const MOST_FILMED = 24;

/** Numbers that are missing are stored as null. */
const real = z.number().nullable().transform((value) => value ?? Number.NaN); // biome-ignore format: one glance
const series = z.array(z.number().nullable()).length(CURVE_STEPS).transform(toSeries);
const numbers = (length: number) => z.array(real).length(length);
const place = z.tuple([real, real, real]);
const position = z.enum(POSITIONS);
const order = z.enum(ANGLE_ORDERS).nullable();
const unit = z.enum(UNITS);
const missing = z.looseObject({ code: z.string(), needed: z.string() });
const texts = z.array(z.string());
const count = z.number().int().min(0);

function toSeries(values: readonly (number | null)[]): Float64Array {
  return Float64Array.from(values, (value) => value ?? Number.NaN);
}

const fact = <T extends z.ZodType>(value: T) =>
  z.looseObject({
    value,
    source: z.enum(['set', 'detected', 'file', 'assumed', 'insisted']),
    evidence: z.string(),
  });
const axis = z.enum(['+X', '-X', '+Y', '-Y', '+Z', '-Z']);
const facts = {
  units: fact(z.enum(['mm', 'cm', 'm'])),
  rate_Hz: fact(real),
  up: fact(axis),
  target: fact(axis),
  hand: fact(z.enum(['left', 'right'])),
  mirrored: fact(z.boolean()),
} satisfies Record<keyof TrialFacts, z.ZodType>;

const head = z.looseObject({
  source: z.enum(['markers', 'sensors']).optional(),
  trial: z.string().min(1),
  file: z.string(),
  player: z.string().regex(FILE_ID),
  club: z.string().nullable(),
  kind: z.enum(CLUB_KINDS).nullable(),
  set: z.string(),
  role: z.enum(['swing', 'static', 'functional', 'calibration']),
  order: z.number(),
  facts: z.looseObject(facts),
  substitutions: texts,
});

const moment = z.discriminatedUnion('found', [
  z.looseObject({
    found: z.literal(true),
    time_s: real,
    sd_s: real,
    method: z.string(),
    confidence: real,
    flags: texts,
    window_s: z.tuple([real, real]).nullable(),
    eventOffset_s: z.number().nullable(),
  }),
  z.looseObject({ found: z.literal(false), why: missing }),
]);

const byGroup = <T extends z.ZodType>(of: T): Record<FilterGroup, T> => ({
  trunk_Hz: of,
  head_Hz: of,
  legs_Hz: of,
  upperArm_Hz: of,
  forearm_Hz: of,
});

const cutoffs = z.looseObject({
  ...byGroup(z.number().nullable()),
  chosen: z.looseObject(byGroup(z.enum(CUTOFF_METHODS).optional())).optional(),
});

/** Base64 of exactly the places of its points. */
const film = z
  .looseObject({ points: z.array(z.enum(POINTS)).max(MOST_FILMED), data: z.base64() })
  .refine(
    ({ points, data }) => data.replace(/=+$/, '').length === Math.ceil((4 * filmBytes(points.length, CURVE_STEPS)) / 3),
  );

const datum = z.looseObject({ kind: z.enum(['anatomical', 'calibration']), id: z.string() });
const rotation = numbers(9).nullable();
const diagnostic = z.looseObject({
  code: z.string(),
  severity: z.enum(['info', 'warning', 'error']),
  message: z.string(),
  offset: z.number().nullable(),
});

const sampled = z.looseObject({ cutoffs_Hz: z.array(z.number()), values: z.array(z.number()) });
const cutoffCurves = z.array(
  z.looseObject({
    group: z.enum(FILTER_GROUPS),
    markers: count,
    used_Hz: z.number().nullable(),
    rule: z.enum(CUTOFF_METHODS).nullable(),
    residual: sampled,
    tail: z.looseObject({ from_Hz: z.number(), to_Hz: z.number(), intercept: z.number(), slope: z.number() }),
    autocorrelation: sampled,
    crossValidation: sampled,
    choices_Hz: z.record(z.enum(CUTOFF_METHODS), z.number()),
  }),
);

const quality = z.array(
  z.looseObject({
    marker: z.string(),
    frames: count,
    missing: count,
    filled: count,
    fills: z.looseObject({ rigid: count, spline: count, components: count }).optional(),
    runs: z.array(z.tuple([count, count, z.enum(UNMEASURED)])).optional(),
    longestGap_s: real,
    noise_m: real,
    flags: texts,
  }),
);

const faults = z.array(
  z.looseObject({
    code: z.enum(Object.keys(FAULTS) as [FaultCode, ...FaultCode[]]),
    markers: texts,
    frames: z.array(z.tuple([count, count])),
    action: z.enum(['repaired', 'removed', 'kept', 'refused']),
    detail: z.string(),
  }),
);

/** Of a trial without a record. */
export const storedQuality = z.looseObject({
  trial: z.string(),
  frames: count,
  rate_Hz: z.number(),
  moments: z.partialRecord(position, moment),
  markers: quality,
  faults,
} satisfies Record<keyof TrialQuality, z.ZodType>);

/** One entry a key of the record: a new key of SwingRecord does not compile until it is read back too. */
const shape = {
  head,
  sha256: z.string(),
  datum,
  form: z.enum(['full', 'reduced']),
  headPoint: z.looseObject({ kind: z.enum(['face-centre', 'marker']), id: z.string() }).nullable(),
  frames: count,
  moments: z.partialRecord(position, moment),
  cells: z.array(
    z.looseObject({
      quantity: z.string(),
      position: z.enum([...POSITIONS, 'swing']),
      value: z.number().nullable(),
      plusMinus: z.number().nullable(),
      placement: z.number().nullable().optional(),
      order,
      unit,
      flags: texts,
      why: missing.nullable(),
      rule: z.string().optional(),
    }),
  ),
  curveBase: z.looseObject({ times_s: series, shared: texts }),
  curves: z.array(z.looseObject({ quantity: z.string(), unit, order, values: series })),
  figures: z.array(z.looseObject({ position, points: z.record(z.string(), place) })),
  film: film.optional(),
  poses: z.partialRecord(position, z.looseObject({ pelvis: rotation, thorax: rotation })),
  rotations: z.record(z.string(), z.partialRecord(position, rotation)).optional(),
  quality,
  faults: faults.optional(),
  cutoffCurves: cutoffCurves.optional(),
  headPlace: z.record(z.string(), z.number()).optional(),
  smoothing: cutoffs.optional(),
  origins: z
    .looseObject({
      cutoffs: cutoffs.nullable(),
      parts: z.record(z.string(), z.looseObject({ from: z.string(), markers: texts })),
    })
    .optional(),
  sensors: z
    .array(
      z.looseObject({
        place: z.enum(SENSOR_PLACES),
        name: z.string(),
        method: z.string().nullable(),
        bias_radPerS: z.number().nullable(),
        driftBound_rad: z.number().nullable(),
        closingTilt_rad: z.number().nullable(),
        flags: texts,
        reason: z.string(),
      }),
    )
    .optional(),
  diagnostics: z.array(diagnostic),
} satisfies Record<keyof SwingRecord, z.ZodType>;

const schema = z.looseObject(shape);

const stillSchema = z.looseObject({
  kind: z.literal(STILL_POSE),
  head,
  sha256: z.string(),
  datum,
  frames: count,
  angles: z.array(z.looseObject({ quantity: z.string(), order, value: z.number(), range: z.number(), flags: texts })),
} satisfies Record<keyof StillRecord, z.ZodType>);

export type Reread<T> =
  | { readonly ok: true; readonly value: T }
  /** Why it cannot be used, in a sentence without a full stop. */
  | { readonly ok: false; readonly problem: string };

/**
 * The record that a stored text holds, equal in every number to the one that was stored; keys that this program does not know are kept.
 * Never throws for what the text holds.
 */
export function rereadRecord(text: string): Reread<SwingRecord> {
  return reread(text, schema as unknown as z.ZodType<SwingRecord>);
}

/** The stored record of a static trial; never throws for what the text holds. */
export function rereadStill(text: string): Reread<StillRecord> {
  return reread(text, stillSchema as unknown as z.ZodType<StillRecord>);
}

/** A JSON text by its schema; the problem names the first place that does not fit. */
export function reread<T>(text: string, by: z.ZodType<T>): Reread<T> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { ok: false, problem: text.trim() === '' ? 'it is empty' : 'it is damaged: no whole JSON text' };
  }
  const parsed = by.safeParse(json);
  if (parsed.success) return { ok: true, value: parsed.data };
  const [issue] = parsed.error.issues;
  const path = (issue?.path ?? []).map(String).join('.');
  return { ok: false, problem: `it does not hold what a stored record holds${path === '' ? '' : ` (${path})`}` };
}
