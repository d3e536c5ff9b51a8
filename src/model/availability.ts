/** What is missing, and why: never a silent absence. */
export interface Missing {
  /** Stable kebab-case code. */
  readonly code: string;
  /** What it needed, in words a user understands ("the left and right PSIS"). */
  readonly needed: string;
}

/** A value, or why there is none. */
export type Avail<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly why: Missing };

export function present<T>(value: T): Avail<T> {
  return { ok: true, value };
}

export function absent<T>(code: string, needed: string): Avail<T> {
  return { ok: false, why: { code, needed } };
}
