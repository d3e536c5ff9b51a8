/** Exit codes: all used · something rejected or failed · could not run · interrupted. */
export const EXIT = { used: 0, someBad: 1, notRun: 2, interrupted: 130 } as const;

/** An interruption by the user, thrown between two pieces of work. */
export class Interrupted extends Error {}

/** A command line that cannot be run, in a sentence for the user. */
export class UsageError extends Error {}
