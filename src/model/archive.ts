/** What an archive of processed days says of itself: its list of days, and what the comparisons of a player's day rest on. Declared once. */
import * as z from 'zod';
import type { ClubPlan, CompareOptions, PlayerPlan } from './dayPlan.ts';
import type { ReportSettings } from './reportSettings.ts';
import { FILE_ID } from './storedRecord.ts';
import { storedReport } from './storedReport.ts';
import { CLUB_KINDS } from './swingSelector.ts';

/** Of the folders and of the list; raised when a program of before could not read them. */
export const ARCHIVE_FORMAT = 1;

/** One player of one archived day. */
export interface ArchivedPlayer {
  readonly id: string;
  /** Swings with values. */
  readonly swings: number;
  /** Rows of all tables. */
  readonly rows: number;
  readonly files: number;
  readonly bytes: number;
  /** SHA-256 of the lines `sha256  trial` of the player's recordings, sorted by trial, each ended by a line feed. */
  readonly recordings: string;
}

export interface ArchivedDay {
  /** Name of the day, as its day file says it. */
  readonly day: string;
  /** ISO. */
  readonly date: string;
  /** SHA-256 of the lines `sha256  path` of the stored files, sorted by path, each ended by a line feed; it names the folder. */
  readonly content: string;
  /** Of the program that processed the day. */
  readonly version: string;
  /** Version of columns and names. */
  readonly tables: number;
  /** By id. */
  readonly players: readonly ArchivedPlayer[];
}

/** `days.json`: the archive is what stands here, whatever else lies in its folder. */
export interface ArchiveState {
  readonly archive: number;
  /** By date, then by name. */
  readonly days: readonly ArchivedDay[];
}

/** `basis.json` of one player's day. */
export interface ArchivedBasis {
  readonly hand: PlayerPlan['hand'];
  readonly static: string | null;
  readonly smoothing: string;
  /** Those of the player's swings. */
  readonly clubs: readonly Pick<ClubPlan, 'id' | 'kind' | 'length_m'>[];
  readonly options: Pick<CompareOptions, 'margins' | 'primary' | 'reapplication'>;
  /** How the day's report was written; absent: as by default. */
  readonly report?: ReportSettings;
}

const count = z.number().int().min(0);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

/** First what tells whether this program can read it. */
export const archiveHeadSchema = z.looseObject({ archive: z.number() });

export const archiveStateSchema = z.looseObject({
  archive: z.number(),
  days: z.array(
    z.looseObject({
      day: z.string(),
      date: z.string().regex(/^\d{4}-\d{2}-\d{2}$/),
      content: sha256,
      version: z.string(),
      tables: count,
      players: z.array(
        z.looseObject({
          id: z.string().regex(FILE_ID),
          swings: count,
          rows: count,
          files: count,
          bytes: count,
          recordings: sha256,
        }),
      ),
    }),
  ),
}) as unknown as z.ZodType<ArchiveState>;

export const archivedBasisSchema = z.looseObject({
  hand: z.enum(['left', 'right']).nullable(),
  static: z.string().nullable(),
  smoothing: z.string(),
  clubs: z.array(z.looseObject({ id: z.string(), kind: z.enum(CLUB_KINDS), length_m: z.number().nullable() })),
  options: z.looseObject({
    margins: z.record(z.string(), z.number().min(0)),
    primary: z.array(z.string()),
    reapplication: z.record(z.string(), z.number().min(0)).optional(),
  }),
  report: storedReport.optional(),
}) as unknown as z.ZodType<ArchivedBasis>;
