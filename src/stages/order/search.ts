/** Between which times peaks are looked for, seconds on the clock of the motion. */
export interface Search {
  readonly from_s: number;
  /** Impact. */
  readonly to_s: number;
  readonly toSd_s: number;
  /** Of every peak that is found. */
  readonly flags: readonly string[];
}
