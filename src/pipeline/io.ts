/** What the pipeline borrows from the world: it names no disk, no clock and no package file itself. */
import type { ByteSource } from '../c3d/types.ts';

/** A file of a recording while it is read. */
export interface OpenSource extends ByteSource {
  /** Throws an Error whose message a user understands where the file is no longer the one that was opened. */
  confirm?(): void;
  /** Called once, when nothing more is read. */
  close(): void;
}

/** What one trial needs of the world. */
export interface TrialIo {
  /** A file below the data folder. Throws an Error whose message a user understands. */
  open(path: string): OpenSource;
  /** Lower-case hexadecimal SHA-256 of all its bytes. */
  sha256(source: ByteSource): string;
}

export interface DayIo extends TrialIo {
  /** Called between trials, so that the caller may draw progress or take an interruption. */
  pause(): Promise<void>;
  /** True once the user wants no further trial to be begun; absent: never. */
  stopped?(): boolean;
  /** Name and version of the program and of the libraries it ran with. */
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
}
