/** Which side-cars belong to a `*_motion.tsv`: BIDS inheritance by folders and entities. */

import { decodeText } from '../base/decodeText.ts';
import { compareCodeUnits } from '../base/text.ts';
import { fail } from './diagnosticCodes.ts';
import type { NamedBytes } from './types.ts';

export interface BidsName {
  /** Folders from the outermost, without those that say nothing. */
  readonly folders: readonly string[];
  /** `key-value` pairs, such as 'sub-01'. */
  readonly entities: readonly string[];
  /** Such as 'motion.tsv', lower case. */
  readonly ending: string;
}

export function bidsName(path: string): BidsName {
  const parts = path.split(/[/\\]/);
  const base = parts.pop() ?? '';
  const pieces = base.split('_');
  const ending = (pieces.pop() ?? '').toLowerCase();
  return { folders: parts.filter((part) => part !== '' && part !== '.'), entities: pieces, ending };
}

const ENDINGS = ['motion.tsv', 'motion.json', 'channels.tsv', 'channels.json', 'events.tsv', 'events.json'];

/** Whether a path is a recording of Motion-BIDS or one of its side-cars: an ending of theirs after entities, such as `task-swing`. */
export function isBidsPath(path: string): boolean {
  const { ending, entities } = bidsName(path);
  return ENDINGS.includes(ending) && entities.some((entity) => /^[a-z]+-[a-z0-9]+$/i.test(entity));
}

export function isBidsRecording(path: string): boolean {
  return bidsName(path).ending === 'motion.tsv' && isBidsPath(path);
}

/**
 * The side-cars with this ending that apply to the recording, the nearest last: they lie in its folder or one that holds it, and all
 * their entities are the recording's. Of those in one folder the one with more entities is nearer.
 */
export function sideCars(recording: NamedBytes, files: readonly NamedBytes[], ending: string): readonly NamedBytes[] {
  const own = bidsName(recording.path);
  const found = files.flatMap((file) => {
    const name = bidsName(file.path);
    const above = name.folders.every((folder, i) => own.folders[i] === folder);
    const fits = name.entities.every((entity) => own.entities.includes(entity));
    return name.ending === ending && above && fits ? [{ file, name }] : [];
  });
  found.sort(
    (a, b) =>
      a.name.folders.length - b.name.folders.length ||
      a.name.entities.length - b.name.entities.length ||
      compareCodeUnits(a.file.path, b.file.path),
  );
  return found.map(({ file }) => file);
}

/** Side-cars of JSON merged, the nearer over the farther, key by key. @throws FormatError where one is no JSON object */
export function mergedJson(files: readonly NamedBytes[]): ReadonlyMap<string, unknown> {
  const out = new Map<string, unknown>();
  for (const { path, bytes } of files) {
    let value: unknown;
    try {
      value = JSON.parse(decodeText(bytes).text.replace(/^\ufeff/, ''));
    } catch {
      fail(path, 'bids-json-unreadable', 'the file is no JSON', 'a JSON object');
    }
    if (!isObject(value)) fail(path, 'bids-json-unreadable', 'the file holds no JSON object', 'a JSON object');
    for (const [key, entry] of Object.entries(value)) out.set(key, entry);
  }
  return out;
}

export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
