/** The only source of time: frame f happens at f / rate_Hz seconds after the first stored frame. */
export interface Clock {
  readonly rate_Hz: number;
  readonly frames: number;
}

/** Time of a frame (may be fractional), seconds from the first stored frame. */
export function timeOf(clock: Clock, frame: number): number {
  return frame / clock.rate_Hz;
}

/** Fractional frame of a time in seconds from the first stored frame. */
export function frameOf(clock: Clock, time_s: number): number {
  return time_s * clock.rate_Hz;
}
