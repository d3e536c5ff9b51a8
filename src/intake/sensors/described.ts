/** A value that was settled, in the file's words, with its evidence; value null: not settled, and the evidence is the question. */
export interface Described<T> {
  readonly value: T | null;
  readonly evidence: string;
}
