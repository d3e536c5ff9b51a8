import type { PositionId } from './positions.ts';
import type { AngleOrder } from './quantity.ts';
import type { Unit } from './units.ts';

/** How alike the iron swings of each player of a day are, and how well they tell the players apart. Display units of `unit`. */
export interface RepeatabilityRow {
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  readonly players: number;
  /** Of each player: the first so many. */
  readonly swings: number;
  /** Intraclass correlation of one swing and of the mean of all: cases 1, 2 and 3. */
  readonly single: readonly [number, number, number];
  readonly mean: readonly [number, number, number];
  /** 95 % interval of the single-swing correlation of case 3. */
  readonly low95: number;
  readonly high95: number;
  /** Swings do not differ by their place, Greenhouse–Geisser. */
  readonly pPlace: number;
  /** Swings whose mean reaches 0.90, rounded up; null where one swing tells nothing. */
  readonly swingsFor90: number | null;
  /** Error of measurement of one swing, and the change between two that is detectable; of means of `swings` as well. */
  readonly sem: number;
  readonly mdc: number;
  readonly mdcOfMean: number;
  /** Last less first swing over the players: mean, its 95 % interval, limits of agreement. */
  readonly shift: number;
  readonly shiftLow95: number;
  readonly shiftHigh95: number;
  readonly limitLow: number;
  readonly limitHigh: number;
  readonly repeatability: number;
  readonly typicalError: number;
}
