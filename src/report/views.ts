import type { CoachWords } from '../model/coachWords.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { ReportSettings } from '../model/reportSettings.ts';
import type { DayOutcome, SwingRecord, TrialOutcome } from '../model/swingRecord.ts';

/** What the sheets of one player show. Everything in it is finished: the report adds words, places and ink, no number. */
export interface PlayerView extends CoachWords {
  /** Name of the capture day. */
  readonly day: string;
  /** ISO date as the day file gives it, or null. */
  readonly date: string | null;
  /** `reason` in it is not '' where there was nothing to compare; it may then be empty of rows, curves and figures. */
  readonly comparison: PlayerComparison;
  /** The same in the units of the tables; absent where the report has them too. */
  readonly inTableUnits?: PlayerComparison;
  /** Units and language; absent: those of the tables, English. */
  readonly settings?: ReportSettings;
  /** The player's used swings. */
  readonly records: readonly SwingRecord[];
  /** Every trial of the player: used, left out, rejected, failed. */
  readonly outcomes: readonly TrialOutcome[];
  /** The smoothing in words, such as 'zero-lag low-pass: trunk, head, legs 12 Hz; …; club none'. */
  readonly filterText: string;
  /** The angle orders in words. */
  readonly ordersText: string;
  /** Program and version, such as 'swingbasis 0.1.0'. */
  readonly programVersion: string;
}

/** What index.html shows. */
export interface DayView {
  /** Language of a day without players; absent: that of its players, otherwise English. */
  readonly settings?: ReportSettings;
  readonly day: string;
  readonly date: string | null;
  /** In the order of the page. */
  readonly players: readonly PlayerView[];
  /** Every trial of the day, those without a player included. */
  readonly outcomes: readonly DayOutcome[];
  readonly programVersion: string;
}
