/** Values with the place each was written at: what YAML, the lab file and a table of trials have in common. */
import { type Document, isAlias, isMap, isScalar, isSeq, type LineCounter, type Node as YamlNode } from 'yaml';

/** Where something was written; line and column count from 1. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

export interface LocatedProblem extends Place {
  /** Stable kebab-case code. */
  readonly code: string;
  readonly message: string;
}

export type DayNode =
  | { readonly kind: 'map'; readonly place: Place; readonly entries: ReadonlyMap<string, DayEntry> }
  | { readonly kind: 'list'; readonly place: Place; readonly items: readonly DayNode[] }
  | { readonly kind: 'scalar'; readonly place: Place; readonly value: unknown; readonly source: string };

export interface DayEntry {
  readonly key: Place;
  readonly node: DayNode;
}

/** Stands for a bare `?`, which YAML would read as the start of a key. A private-use character: no text holds it. */
const UNKNOWN_MARK = '\uE000';
const BARE_UNKNOWN = /(^[ \t]*-[ \t]+|[:,[{][ \t]*)\?(?=[ \t]*(?:$|[,}\]]|[ \t]#))/gm;

/** Lets a bare `?` pass the YAML parser; columns stay as they are. */
export function markUnknowns(text: string): string {
  return text.replace(BARE_UNKNOWN, `$1${UNKNOWN_MARK}`);
}

/** More nodes than any day: stops aliases that multiply. */
const MOST_NODES = 200_000;

/** The document as nodes. Throws RangeError where aliases blow it up beyond measure. */
export function nodesOf(document: Document, lines: LineCounter, file: string): DayNode {
  let count = 0;
  const placeOf = (node: YamlNode | null | undefined): Place => {
    const at = lines.linePos(node?.range?.[0] ?? 0);
    return { file, line: Math.max(1, at.line), column: Math.max(1, at.col) };
  };
  const convert = (node: unknown, fallback: Place, depth: number): DayNode => {
    count += 1;
    if (count > MOST_NODES || depth > 100) throw new RangeError('aliases or nesting make the file too large');
    if (isAlias(node)) return convert(node.resolve(document), placeOf(node), depth + 1);
    if (isMap(node)) {
      const entries = new Map<string, DayEntry>();
      for (const pair of node.items) {
        const key = isScalar(pair.key) ? pair.key : null;
        const place = placeOf((pair.key as YamlNode | null) ?? null);
        const name = key === null ? '(no plain key)' : textOf(key.source ?? key.value);
        entries.set(name, { key: place, node: convert(pair.value, place, depth + 1) });
      }
      return { kind: 'map', place: placeOf(node), entries };
    }
    if (isSeq(node)) {
      const place = placeOf(node);
      return { kind: 'list', place, items: node.items.map((item) => convert(item, place, depth + 1)) };
    }
    if (isScalar(node)) {
      const value = typeof node.value === 'string' ? textOf(node.value) : node.value;
      const place = node.value === null && (node.source ?? '') === '' ? fallback : placeOf(node);
      return { kind: 'scalar', place, value, source: textOf(node.source ?? node.value) };
    }
    return { kind: 'scalar', place: fallback, value: null, source: '' };
  };
  return convert(document.contents, { file, line: 1, column: 1 }, 0);
}

function textOf(value: unknown): string {
  return String(value ?? '').replaceAll(UNKNOWN_MARK, '?');
}

/** Maps whose values are numbers whatever their keys are called: a segment is also the name of a sensor. */
const NUMBER_MAPS: ReadonlySet<string> = new Set(['placement']);
const NO_KEYS: ReadonlySet<string> = new Set();

/** Plain values; keys in `textKeys` keep the text as written (007 stays 007), each item of a list too. */
export function plainOf(node: DayNode, textKeys: ReadonlySet<string>, key = ''): unknown {
  if (node.kind === 'map') {
    const out: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
    const ofEntries = NUMBER_MAPS.has(key) ? NO_KEYS : textKeys;
    for (const [name, entry] of node.entries) out[name] = plainOf(entry.node, ofEntries, name);
    return { ...out };
  }
  if (node.kind === 'list') return node.items.map((item) => plainOf(item, textKeys, key));
  if (textKeys.has(key) && typeof node.value !== 'string' && node.value !== null) return node.source;
  return node.value;
}

/** The place of a path, or of the last part of it that exists. `ofKey`: the key's place rather than the value's. */
export function placeAt(root: DayNode, path: readonly PropertyKey[], ofKey = false): Place {
  let node = root;
  let place = root.place;
  for (const step of path) {
    if (node.kind === 'map') {
      const entry = node.entries.get(String(step));
      if (entry === undefined) return place;
      node = entry.node;
      place = ofKey ? entry.key : node.place;
    } else if (node.kind === 'list') {
      const item = node.items[Number(step)];
      if (item === undefined) return place;
      node = item;
      place = item.place;
    } else return place;
  }
  return place;
}

export function scalarNode(place: Place, value: unknown): DayNode {
  return { kind: 'scalar', place, value, source: String(value ?? '') };
}

export function mapNode(place: Place, entries: Iterable<readonly [string, DayNode]>): DayNode {
  return { kind: 'map', place, entries: new Map([...entries].map(([key, node]) => [key, { key: node.place, node }])) };
}

function idOf(node: DayNode): string | null {
  const id = node.kind === 'map' ? node.entries.get('id')?.node : undefined;
  return id?.kind === 'scalar' ? id.source.toLowerCase() : null;
}

/** `over` on top of `under`: maps key by key, lists of things with ids by id, everything else as `over` says. */
export function layered(under: DayNode, over: DayNode): DayNode {
  if (under.kind === 'map' && over.kind === 'map') {
    const entries = new Map(over.entries);
    for (const [key, entry] of under.entries) {
      const above = over.entries.get(key);
      entries.set(key, above === undefined ? entry : { key: above.key, node: layered(entry.node, above.node) });
    }
    return { kind: 'map', place: over.place, entries };
  }
  if (under.kind === 'list' && over.kind === 'list') {
    const below = under.items.map((item) => ({ id: idOf(item), item }));
    if (below.some((entry) => entry.id === null) || over.items.some((item) => idOf(item) === null)) return over;
    const items = over.items.map((item) => {
      const match = below.find((entry) => entry.id === idOf(item));
      return match === undefined ? item : layered(match.item, item);
    });
    const named = new Set(over.items.map(idOf));
    return {
      kind: 'list',
      place: over.place,
      items: [...items, ...below.filter((e) => !named.has(e.id)).map((e) => e.item)],
    };
  }
  return over;
}
