/** The run record of a day read back: what `run.json` must hold for its results to be compared again, declared once. */
import * as z from 'zod';
import type { Diagnostic } from '../base/diagnostics.ts';
import { storedCheckpoints } from './checkpointStored.ts';
import type { CoachWords } from './coachWords.ts';
import type { ClubPlan, CompareOptions, PlayerPlan } from './dayPlan.ts';
import type { Gate } from './gates.ts';
import type { Outlying } from './outlying.ts';
import { NOTE_POSITIONS, POSITIONS } from './positions.ts';
import type { ReportSettings } from './reportSettings.ts';
import { FILE_ID, storedQuality } from './storedRecord.ts';
import { storedReport } from './storedReport.ts';
import type { TrialOutcome } from './swingRecord.ts';
import { CLUB_KINDS, type GroupComparison, type SwingSelector } from './swingSelector.ts';
import { UNITS } from './units.ts';

/** What a day's comparisons rest on beside the records of its swings. */
export interface ComparisonBasis {
  readonly players: readonly (Pick<PlayerPlan, 'id' | 'hand' | 'static'> & {
    /** Of the player's markers, in words. */
    readonly smoothing: string;
    /** What the day file says in the coach's words; absent where there is none. */
    readonly note?: string | undefined;
    readonly notes?: CoachWords['notes'] | undefined;
    readonly practice?: readonly string[] | undefined;
  })[];
  readonly clubs: readonly Pick<ClubPlan, 'id' | 'kind' | 'length_m'>[];
  readonly options: CompareOptions;
  readonly groups: readonly GroupComparison[];
  /** Absent: as by default. */
  readonly report?: ReportSettings | undefined;
}

/** A trial without a stored record: one that calibrates, or one that is not used. */
export interface TrialWithoutRecord
  extends Pick<
    TrialOutcome,
    'trial' | 'file' | 'player' | 'club' | 'kind' | 'set' | 'role' | 'status' | 'reason' | 'quality'
  > {
  readonly source: 'markers' | 'sensors';
  readonly still: string | null;
  readonly diagnostics: readonly Diagnostic[];
}

/** The gate of a trial, where it is more than accepted by the rules, and whether its swing stands apart. */
export interface StoredGate {
  readonly trial: string;
  readonly gate?: Gate | undefined;
  readonly outlying?: Outlying | undefined;
}

export interface StoredRun {
  readonly program: string;
  readonly version: string;
  readonly tables: number;
  /** 'compare' of a comparison of days; absent of a processed day. */
  readonly command?: string | undefined;
  readonly day: string;
  readonly date: string | null;
  readonly options: { readonly orders: readonly string[] };
  readonly trials: { readonly used: number };
  /** Absent in days of an earlier version. */
  readonly comparison?: ComparisonBasis | undefined;
  readonly without_record?: readonly TrialWithoutRecord[] | undefined;
  readonly gates?: readonly StoredGate[] | undefined;
}

const texts = z.array(z.string());
/** Names that become parts of file names. */
const fileId = z.string().regex(FILE_ID);
const kind = z.enum(CLUB_KINDS);

const selector: z.ZodType<SwingSelector> = z.lazy(() =>
  z.looseObject({
    label: z.string(),
    kinds: z.array(kind).optional(),
    clubs: texts.optional(),
    sets: texts.optional(),
    except: selector.optional(),
  }),
) as unknown as z.ZodType<SwingSelector>;

const comparison = z.looseObject({
  players: z.array(
    z.looseObject({
      id: fileId,
      hand: z.enum(['left', 'right']).nullable(),
      static: z.string().nullable(),
      smoothing: z.string(),
      note: z.string().optional(),
      notes: z.partialRecord(z.enum(NOTE_POSITIONS), z.string()).optional(),
      practice: texts.optional(),
    }),
  ),
  clubs: z.array(z.looseObject({ id: z.string(), kind, length_m: z.number().nullable() })),
  options: z.looseObject({
    margins: z.record(z.string(), z.number().min(0)),
    primary: texts,
    seed: z.number().int().min(0).max(4_294_967_295),
    resamples: z.number().int().min(1).max(100_000),
    attackBand_deg: z.tuple([z.number(), z.number()]).nullable(),
    checkpoints: storedCheckpoints.optional(),
    reapplication: z.record(z.string(), z.number().min(0)).optional(),
  }),
  groups: z.array(z.looseObject({ name: fileId, of: selector, against: selector })),
  report: storedReport.optional(),
});

const withoutRecord = z.looseObject({
  trial: z.string().min(1),
  file: z.string(),
  player: z.string(),
  club: z.string().nullable(),
  kind: z.string().nullable(),
  set: z.string(),
  role: z.string(),
  status: z.enum(['used', 'left-out', 'rejected', 'failed']),
  reason: z.string(),
  source: z.enum(['markers', 'sensors']),
  still: z.string().nullable(),
  quality: storedQuality.optional(),
  diagnostics: z.array(
    z.looseObject({
      code: z.string(),
      severity: z.enum(['info', 'warning', 'error']),
      message: z.string(),
      offset: z.number().nullable(),
    }),
  ),
});

const level = z.enum(['review', 'reject']);
const gateOfTrial = z.looseObject({
  verdict: z.enum(['accept', 'review', 'reject']),
  reasons: z.array(
    z.looseObject({
      rule: z.string(),
      level,
      found: z.number().nullable(),
      limit: z
        .union([
          z.looseObject({ kind: z.enum(['most', 'least']), value: z.number() }),
          z.looseObject({ kind: z.literal('between'), low: z.number(), high: z.number() }),
        ])
        .nullable(),
      text: z.string(),
    }),
  ),
  setBy: z.enum(['rules', 'day file']),
  note: z.string(),
});

const storedGate = z.looseObject({
  trial: z.string().min(1),
  gate: gateOfTrial.optional(),
  outlying: z
    .looseObject({
      group: z.string(),
      swings: z.number(),
      distance: z.number(),
      limit: z.number(),
      values: z.array(
        z.looseObject({
          quantity: z.string(),
          position: z.enum([...POSITIONS, 'swing']),
          unit: z.enum(UNITS),
          deviation: z.number(),
        }),
      ),
    })
    .optional(),
});

/** First what tells whose folder it is and of which version, so that a newer one is named as such rather than as damaged. */
export const runHeadSchema = z.looseObject({
  program: z.string(),
  version: z.string(),
  tables: z.number(),
  command: z.string().optional(),
});

export const storedRunSchema = z.looseObject({
  ...runHeadSchema.shape,
  day: z.string(),
  date: z.string().nullable(),
  options: z.looseObject({ orders: texts }),
  trials: z.looseObject({ used: z.number().int().min(0) }),
  comparison: comparison.optional(),
  without_record: z.array(withoutRecord).optional(),
  gates: z.array(storedGate).optional(),
}) as unknown as z.ZodType<StoredRun>;
