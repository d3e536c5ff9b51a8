/** Errors that carry data; the sentence is rendered from it in one place. */

export interface FormatProblem {
  /** Path of the file as the user named it, or '' where bytes came from memory. */
  readonly file: string;
  /** Stable kebab-case code. */
  readonly code: string;
  /** Absolute byte offset of the offending field, or null where no byte is to blame. */
  readonly offset: number | null;
  /** What was being read, outermost first, such as ['parameters', 'POINT', 'SCALE']. */
  readonly path: readonly string[];
  readonly found: string;
  readonly expected: string;
  /** What the user can do about it. */
  readonly wayOut: string;
}

/** A file that cannot be read. Caught once per trial: one bad file never stops a day. */
export class FormatError extends Error {
  readonly problem: FormatProblem;

  constructor(problem: FormatProblem) {
    super(renderProblem(problem));
    this.name = 'FormatError';
    this.problem = problem;
  }

  /** The same problem, now with the file's name. */
  inFile(file: string): FormatError {
    return new FormatError({ ...this.problem, file });
  }
}

/** One sentence: what, where, found, expected, what to do. */
export function renderProblem(p: FormatProblem): string {
  const file = p.file === '' ? '' : `${p.file}: `;
  const place: string[] = [];
  if (p.offset !== null) place.push(`at byte ${p.offset} = 0x${p.offset.toString(16)}`);
  if (p.path.length > 0) place.push(`reading ${p.path.join(' > ')}`);
  const where = place.length > 0 ? ` (${place.join(', ')})` : '';
  const expected = p.expected === '' ? '' : `; expected ${p.expected}`;
  const wayOut = p.wayOut === '' ? '' : `. ${p.wayOut}`;
  return `${file}${p.found}${expected}${where}${wayOut}`;
}
