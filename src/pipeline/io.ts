/** What the pipeline borrows from the world: it names no disk, no clock and no package file itself. */
import type { ByteSource } from '../c3d/types.ts';

export interface OpenSource extends ByteSource {
  close(): void;
}

export interface DayIo {
  /** A file below the data folder. Throws an Error whose message a user understands. */
  open(path: string): OpenSource;
  /** Lower-case hexadecimal SHA-256 of all its bytes. */
  sha256(source: ByteSource): string;
  /** Called between trials, so that the caller may draw progress or take an interruption. */
  pause(): Promise<void>;
  /** Name and version of the program and of the libraries it ran with. */
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
}
