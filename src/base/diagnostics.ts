/** Doubtful data: a diagnostic with a stable code is returned beside the value, never printed from inside. */

export type Severity = 'info' | 'warning' | 'error';

export interface Diagnostic {
  /** Stable kebab-case code, listed in docs/diagnostics.md. */
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  /** Absolute byte offset in the file, or null. */
  readonly offset: number | null;
}

export interface DiagnosticRow {
  readonly severity: Severity;
  /** What it means, for docs/diagnostics.md. */
  readonly meaning: string;
  /** What the user can do. */
  readonly whatToDo: string;
}

/** One layer's table of codes. Each layer declares its own; docs/diagnostics.md is generated from all of them. */
export type DiagnosticTable = Readonly<Record<string, DiagnosticRow>>;

/** A maker of diagnostics that only knows the codes of its table. */
export function diagnosticMaker<T extends DiagnosticTable>(
  table: T,
): (code: keyof T & string, message: string, offset?: number | null) => Diagnostic {
  return (code, message, offset = null) => ({ code, severity: table[code]!.severity, message, offset });
}

/** What a stage returns. */
export interface Outcome<T> {
  readonly value: T;
  readonly diagnostics: readonly Diagnostic[];
}
