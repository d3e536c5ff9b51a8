/** Which files of a listing belong to one recording of sensors: a table, a folder with one table per sensor, a Motion-BIDS recording with its side-cars. */
import { compareCounted } from '../base/text.ts';

const TABLE = /\.(csv|tsv|txt)$/i;
const MOTION_FILE = '_motion.tsv';
/** Files of Motion-BIDS that stand beside recordings. */
const SIDECAR = /(^|[_/])(channels|events|scans|sessions|samples|participants|coordsystem|phenotype)\.(tsv|json)$/i;

/** True for names of tables of sensors. */
export function isTableName(path: string): boolean {
  return TABLE.test(path);
}

/** True for names that Motion-BIDS gives to the tables that stand beside a recording. */
export function isSidecarName(path: string): boolean {
  return SIDECAR.test(path);
}

export function isMotionFile(path: string): boolean {
  return path.endsWith(MOTION_FILE);
}

export function isFolder(path: string): boolean {
  return path.endsWith('/');
}

/** True for what is read as sensors by its name alone: tables and folders of tables. C3D files show by their content. */
export function isSensorPath(path: string): boolean {
  return isFolder(path) || isTableName(path);
}

export function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/') + 1);
}

/** Path without extension; a folder without its slash; a Motion-BIDS recording without `_motion.tsv`. */
export function trialIdOf(path: string): string {
  if (isFolder(path)) return path.slice(0, -1);
  if (isMotionFile(path) && path.length > folderOf(path).length + MOTION_FILE.length) {
    return path.slice(0, -MOTION_FILE.length);
  }
  const dot = path.lastIndexOf('.');
  return dot > folderOf(path).length ? path.slice(0, dot) : path;
}

/** All folders above the files of a listing, each ending in `/`. */
export function foldersOf(listing: readonly string[]): readonly string[] {
  const folders = new Set<string>();
  for (const path of listing) {
    for (let slash = path.indexOf('/'); slash >= 0; slash = path.indexOf('/', slash + 1)) {
      folders.add(path.slice(0, slash + 1));
    }
  }
  return [...folders];
}

/**
 * Tables of sensors directly in a folder (ending in `/`), by their names with numbers counted: .csv and .tsv; .txt only where there
 * are no others, since notes are kept in such files.
 */
export function tablesIn(folder: string, listing: readonly string[]): readonly string[] {
  const tables = listing.filter((path) => folderOf(path) === folder && isTableName(path) && !isSidecarName(path));
  const plain = tables.filter((path) => !/\.txt$/i.test(path));
  return [...(plain.length > 0 ? plain : tables)].sort(compareCounted);
}

interface BidsName {
  readonly entities: readonly string[];
  /** Suffix and extension, such as `channels.tsv`. */
  readonly kind: string;
}

function bidsName(path: string): BidsName {
  const parts = path.slice(folderOf(path).length).split('_');
  return { entities: parts.slice(0, -1), kind: parts[parts.length - 1]! };
}

const SIDECAR_KINDS = ['motion.json', 'channels.tsv', 'channels.json', 'events.tsv', 'events.json'] as const;

/**
 * Side-cars of a Motion-BIDS recording by its inheritance principle (BIDS 1.9, "The Inheritance Principle"): files of the same folder
 * or one above whose name has no entity that the recording's lacks. Of tables the nearest one, of JSON files all that apply, the
 * nearest first (its values hold over those above).
 */
export function sidecarsOf(motion: string, listing: readonly string[]): readonly string[] {
  const own = new Set(bidsName(motion).entities);
  const folder = folderOf(motion);
  const near = listing
    .filter((path) => folder.startsWith(folderOf(path)))
    .map((path) => ({ path, depth: folderOf(path).length, ...bidsName(path) }))
    .filter(({ entities }) => entities.every((entity) => own.has(entity)))
    .sort((a, b) => b.depth - a.depth || b.entities.length - a.entities.length || compareCounted(a.path, b.path));
  return SIDECAR_KINDS.flatMap((kind) => {
    const found = near.filter((one) => one.kind === kind).map(({ path }) => path);
    return kind.endsWith('.tsv') ? found.slice(0, 1) : found;
  });
}

/** Every file of a trial; the first is the one that names it, or of a folder its first table. */
export function filesOfTrial(path: string, listing: readonly string[]): readonly string[] {
  if (isFolder(path)) {
    const tables = tablesIn(path, listing);
    const motion = tables.find(isMotionFile);
    return motion === undefined ? tables : [motion, ...sidecarsOf(motion, listing)];
  }
  return isMotionFile(path) ? [path, ...sidecarsOf(path, listing)] : [path];
}
