/** Day-file text to a day plan: pure, every problem at once, each with its line and column. */
import { compareCodeUnits } from '../base/text.ts';
import type { DayPlan } from '../model/dayPlan.ts';
import { type DayFile, daySchema, keysAt, TEXT_KEYS } from '../model/daySchema.ts';
import { buildPlan } from './buildPlan.ts';
import { namedCheckpoints } from './checkpoints.ts';
import { type DayEntry, type DayNode, type LocatedProblem, layered, placeAt, plainOf } from './nodes.ts';
import { parseYaml } from './parseYaml.ts';
import { pathTrouble } from './patterns.ts';
import { pathText, schemaProblems } from './schemaProblems.ts';
import { readTrialsTable } from './trialsTable.ts';

export type { LocatedProblem, Place } from './nodes.ts';

/** What reading a day file needs of the folder it lies in. */
export interface DaySources {
  /** Name of the day file, as the user wrote it. */
  readonly file: string;
  /** Files below the data folder, `/` between folders. */
  readonly listing: readonly string[];
  /** Settings that are the same every day in one lab; the day file wins. */
  readonly lab?: { readonly text: string; readonly file: string } | undefined;
  /** True of a day that is not captured to its end: what is named and not there yet is told apart from the problems. */
  readonly unfinished?: boolean;
  /** Bytes of the table of trials, by its path below the data folder. Throws where it cannot be read. */
  readonly trialsCsv?: ((path: string) => Uint8Array) | undefined;
  /** Bytes of the file of checkpoints, by its path beside the file that names it. Throws where it cannot be read. */
  readonly checkpoints?: ((path: string, namedIn: string) => Uint8Array) | undefined;
}

/** A day file read: its plan, or every problem with its place. */
export interface DayReading {
  /** Null where there is any problem. */
  readonly plan: DayPlan | null;
  /** In the order of the files and lines. */
  readonly problems: readonly LocatedProblem[];
  /** What was recognised along the way, to be said. */
  readonly notes: readonly string[];
  /** Of an unfinished day: files and trials that are named and not there yet. */
  readonly waiting: readonly LocatedProblem[];
}

/** What only says that something is not there yet. */
const NOT_THERE_YET: ReadonlySet<string> = new Set([
  'file-not-found',
  'pattern-matches-nothing',
  'folder-without-tables',
  'unknown-trial',
]);

/** Reads a day file with what lies around it. Never throws for bad content. */
export function readDay(text: string, sources: DaySources): DayReading {
  const problems: LocatedProblem[] = [];
  const notes: string[] = [];
  const waiting: LocatedProblem[] = [];
  const day = parseYaml(text, sources.file, 'day file', problems);
  const lab = sources.lab === undefined ? null : parseYaml(sources.lab.text, sources.lab.file, 'day file', problems);
  const files = [sources.file, sources.lab?.file ?? ''];
  if (day === null || (sources.lab !== undefined && lab === null))
    return { plan: null, problems: sorted(problems, files), notes, waiting: [] };
  let root = lab === null ? day : layered(lab, day);
  root = withTable(root, sources, problems, notes);
  const checkpoints = namedCheckpoints(root, sources, problems);
  const unknown: string[] = [];
  root = withoutUnknowns(root, [], problems, unknown);
  const plain = plainOf(root, TEXT_KEYS);
  const parsed = daySchema.safeParse(plain);
  if (!parsed.success) {
    const found = schemaProblems(parsed.error, root, plain);
    problems.push(...found.filter((problem) => !unknown.some((path) => isMissingOf(problem, path))));
  }
  const loose = parsed.success ? parsed.data : looseDay(plain);
  if (loose !== null) {
    const built = buildPlan(loose, {
      listing: sources.listing,
      place: (path, ofKey) => placeAt(root, path, ofKey),
      problem: (place, code, message) => {
        const list = sources.unfinished === true && NOT_THERE_YET.has(code) ? waiting : problems;
        list.push({ ...place, code, message });
      },
      unfinished: sources.unfinished === true,
    });
    notes.push(...built.notes);
    if (parsed.success && problems.length === 0) {
      const compare = { ...built.plan.compare, ...(checkpoints === null ? {} : { checkpoints }) };
      return { plan: { ...built.plan, compare }, problems: [], notes, waiting: sorted(waiting, files) };
    }
  }
  return { plan: null, problems: sorted(problems, files), notes, waiting: sorted(waiting, files) };
}

/**
 * Cross checks also run on a day with other problems, so that all problems show at once: the values at fault are taken out,
 * places in lists stay. Null where the day cannot be made whole that way.
 */
function looseDay(plain: unknown): DayFile | null {
  const copy = structuredClone(plain);
  for (let round = 0; round < 8; round += 1) {
    const parsed = daySchema.safeParse(copy);
    if (parsed.success) return parsed.data;
    let taken = 0;
    for (const issue of parsed.error.issues) {
      const keys = issue.code === 'unrecognized_keys' ? issue.keys : [];
      for (const key of keys) if (takeOut(copy, [...issue.path, key])) taken += 1;
      if (keys.length === 0 && takeOut(copy, issue.path)) taken += 1;
    }
    if (taken > 0) continue;
    for (const issue of parsed.error.issues) if (standIn(copy, issue.path, round)) taken += 1;
    if (taken === 0) return null;
  }
  return null;
}

/** Removes the value of a key of a map. Items of lists stay where they are; a list of plain values with one at fault goes as a whole. */
function takeOut(root: unknown, path: readonly PropertyKey[]): boolean {
  let at = root;
  for (const step of path.slice(0, -1)) {
    if (typeof at !== 'object' || at === null) return false;
    at = (at as Record<PropertyKey, unknown>)[step];
  }
  const last = path[path.length - 1];
  if (Array.isArray(at) && at.every((item) => typeof item !== 'object')) return takeOut(root, path.slice(0, -1));
  if (typeof at !== 'object' || at === null || Array.isArray(at) || last === undefined || !(last in at)) return false;
  delete (at as Record<PropertyKey, unknown>)[last];
  return true;
}

/** What stands in for a needed value that is missing or at fault, which is told elsewhere; true where it was put. */
function standIn(root: unknown, path: readonly PropertyKey[], round: number): boolean {
  const key = String(path[path.length - 1]);
  const needed: Readonly<Record<string, unknown>> = {
    swingbasis: 1,
    day: '-',
    kind: 'iron',
    id: `unnamed-${path.length > 1 ? String(path[path.length - 2]) : ''}-${round}`,
    players: [],
    clubs: [],
    trials: [],
  };
  if (!(key in needed)) return false;
  let at = root;
  for (const step of path.slice(0, -1)) {
    if (typeof at !== 'object' || at === null) return false;
    at = (at as Record<PropertyKey, unknown>)[step];
  }
  if (typeof at !== 'object' || at === null || Array.isArray(at) || key in at) return false;
  (at as Record<string, unknown>)[key] = needed[key];
  return true;
}

function isMissingOf(problem: LocatedProblem, path: string): boolean {
  if (problem.code !== 'missing-key') return false;
  const dot = path.lastIndexOf('.');
  const owner = dot < 0 ? 'the day file' : path.slice(0, dot);
  return problem.message === `${owner} needs ${path.slice(dot + 1)}`;
}

/** The day with the rows of its table of trials in place of the list. */
function withTable(root: DayNode, sources: DaySources, problems: LocatedProblem[], notes: string[]): DayNode {
  if (root.kind !== 'map') return root;
  const entry = root.entries.get('trials_csv');
  const list = root.entries.get('trials');
  if (entry === undefined) {
    if (list === undefined) {
      const message = 'the day file needs trials (a list) or trials_csv (a table)';
      problems.push({ ...root.place, code: 'missing-key', message });
    }
    return root;
  }
  const path = entry.node.kind === 'scalar' ? entry.node.source : '';
  if (path === '' || path === '?') return root;
  const say = (code: string, message: string) => problems.push({ ...entry.node.place, code, message });
  if (list !== undefined) say('both-given', 'trials and trials_csv are both given; keep one');
  const trouble = pathTrouble(path);
  if (trouble !== null) {
    say('path-leaves-folder', `trials_csv: ${trouble}`);
    return root;
  }
  let bytes: Uint8Array;
  try {
    if (sources.trialsCsv === undefined) throw new Error('no files are at hand');
    bytes = sources.trialsCsv(path);
  } catch (error) {
    say('file-not-found', `trials_csv: ${path} cannot be read: ${(error as Error).message}`);
    return root;
  }
  const table = readTrialsTable(bytes, path);
  problems.push(...table.problems);
  if (table.note !== '') notes.push(table.note);
  const trials: DayEntry = { key: entry.key, node: { kind: 'list', place: entry.node.place, items: table.rows } };
  return { ...root, entries: new Map(root.entries).set('trials', trials) };
}

/** The day without its `?` values, each reported. */
function withoutUnknowns(
  node: DayNode,
  path: readonly PropertyKey[],
  problems: LocatedProblem[],
  unknown: string[],
): DayNode {
  if (node.kind === 'map') {
    const entries = new Map<string, DayEntry>();
    for (const [key, entry] of node.entries) {
      const here = [...path, key];
      if (isUnknown(entry.node)) report(entry.node, here);
      else entries.set(key, { key: entry.key, node: withoutUnknowns(entry.node, here, problems, unknown) });
    }
    return { ...node, entries };
  }
  if (node.kind === 'list') {
    const items = node.items.filter((item, index) => {
      if (isUnknown(item)) report(item, [...path, index]);
      return !isUnknown(item);
    });
    return { ...node, items: items.map((item, index) => withoutUnknowns(item, [...path, index], problems, unknown)) };
  }
  return node;

  function report(at: DayNode, here: readonly PropertyKey[]): void {
    const name = pathText(here);
    unknown.push(name);
    const optional = keysAt(path).includes(String(here[here.length - 1]));
    const wayOut = optional ? 'write its value, or remove the line where it may stay unknown' : 'write its value';
    problems.push({ ...at.place, code: 'unknown-value', message: `${name} is still unknown (?): ${wayOut}` });
  }
}

function isUnknown(node: DayNode): boolean {
  return node.kind === 'scalar' && node.source === '?';
}

function sorted(problems: readonly LocatedProblem[], files: readonly string[]): readonly LocatedProblem[] {
  const rank = (file: string) => (files.indexOf(file) + files.length + 1) % (files.length + 1);
  const once = new Map(problems.map((problem) => [renderProblemLine(problem), problem]));
  return [...once.values()].sort(
    (a, b) => rank(a.file) - rank(b.file) || compareCodeUnits(a.file, b.file) || a.line - b.line || a.column - b.column,
  );
}

/** One line as an editor understands it: `day.yaml:12:5: …`. */
export function renderProblemLine(problem: LocatedProblem): string {
  return `${problem.file}:${problem.line}:${problem.column}: ${problem.message}`;
}
