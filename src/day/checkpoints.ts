/** A file of checkpoints to rules: pure, every problem at once, each with its line and column. */
import { CATALOGUE } from '../model/catalogue.ts';
import type { Checkpoint, CheckpointReading, CheckpointSet, CurvePosition } from '../model/checkpoint.ts';
import {
  CHECKPOINT_TEXT_KEYS,
  type CheckpointEntry,
  checkpointEntry,
  checkpointKeysAt,
  checkpointSchema,
} from '../model/checkpointSchema.ts';
import type { PositionId } from '../model/positions.ts';
import { POSITIONS } from '../model/positions.ts';
import { type Quantity, turnOf } from '../model/quantity.ts';
import { CURVE_POSITIONS } from '../model/swingRecord.ts';
import { decodeText } from './decodeText.ts';
import { type DayNode, type LocatedProblem, placeAt, plainOf } from './nodes.ts';
import { parseYaml } from './parseYaml.ts';
import { pathTrouble } from './patterns.ts';
import { isYes, suggestion } from './planContext.ts';
import { schemaProblems } from './schemaProblems.ts';

const FILE = { name: 'file of checkpoints', keysAt: checkpointKeysAt };

export interface CheckpointsReading {
  /** Null where there is any problem. */
  readonly set: CheckpointSet | null;
  readonly problems: readonly LocatedProblem[];
}

/** Reads a file of checkpoints. Never throws for bad content. */
export function readCheckpoints(text: string, file: string): CheckpointsReading {
  const problems: LocatedProblem[] = [];
  const root = parseYaml(text, file, FILE.name, problems);
  if (root === null) return { set: null, problems };
  const plain = plainOf(root, CHECKPOINT_TEXT_KEYS);
  const parsed = checkpointSchema.safeParse(plain);
  if (!parsed.success) problems.push(...schemaProblems(parsed.error, root, plain, FILE));
  const entries = (plain as { checkpoints?: unknown }).checkpoints;
  const seen = new Map<string, number>();
  const checkpoints = (Array.isArray(entries) ? entries : []).flatMap((entry, index) => {
    const one = checkpointEntry.safeParse(entry);
    if (!one.success) return [];
    const place = placeAt(root, ['checkpoints', index, 'name']);
    const name = one.data.name.toLowerCase();
    const first = seen.get(name);
    if (first === undefined) seen.set(name, place.line);
    else {
      const message = `the name ${one.data.name} is taken in line ${first}`;
      problems.push({ ...place, code: 'duplicate-id', message });
    }
    return [checkpointOf(one.data, index, root, problems)];
  });
  return { set: problems.length > 0 ? null : { file, checkpoints }, problems };
}

/** The file that a day names under `compare: checkpoints:`, read; null without one, or where it has problems, which are told. */
export function namedCheckpoints(
  root: DayNode,
  sources: { readonly checkpoints?: ((path: string, namedIn: string) => Uint8Array) | undefined },
  problems: LocatedProblem[],
): CheckpointSet | null {
  const compare = root.kind === 'map' ? root.entries.get('compare')?.node : undefined;
  const named = compare?.kind === 'map' ? compare.entries.get('checkpoints')?.node : undefined;
  if (named?.kind !== 'scalar' || named.source === '' || named.source === '?') return null;
  const say = (code: string, message: string) => problems.push({ ...named.place, code, message });
  const trouble = pathTrouble(named.source);
  if (trouble !== null) {
    say('path-leaves-folder', `compare.checkpoints: ${trouble}`);
    return null;
  }
  let bytes: Uint8Array;
  try {
    if (sources.checkpoints === undefined) throw new Error('no files are at hand');
    bytes = sources.checkpoints(named.source, named.place.file);
  } catch (error) {
    const message = `compare.checkpoints: ${named.source} cannot be read: ${(error as Error).message}; it lies beside the file that names it`;
    say('file-not-found', message);
    return null;
  }
  const reading = readCheckpoints(decodeText(bytes).text, named.source);
  problems.push(...reading.problems);
  return reading.set;
}

/** Says what is wrong with an entry, at a key of it. */
type Say = (key: string | readonly PropertyKey[], code: string, message: string) => void;

function checkpointOf(entry: CheckpointEntry, index: number, root: DayNode, problems: LocatedProblem[]): Checkpoint {
  const say: Say = (key, code, message) => {
    const path = ['checkpoints', index, ...(typeof key === 'string' ? [key] : key)];
    problems.push({ ...placeAt(root, path), code, message });
  };
  const quantity = CATALOGUE.find(({ id }) => id === entry.quantity);
  if (quantity === undefined) {
    const near = suggestion(
      entry.quantity,
      CATALOGUE.map(({ id }) => id),
    );
    say('quantity', 'unknown-quantity', `no quantity is called ${entry.quantity}${near}`);
  }
  const reading = readingOf(entry, quantity ?? null, say);
  const { band } = entry;
  if ((band === undefined) === (entry.against === undefined)) {
    const which =
      band === undefined
        ? 'needs a band, such as {low: -2, high: 3}, or against: reference'
        : 'has both band and against; keep one';
    say([], band === undefined ? 'missing-key' : 'both-given', `the checkpoint ${entry.name} ${which}`);
  }
  if (band !== undefined) checkBand(band, reading, say);
  else checkAgainst(reading, quantity ?? null, say);
  return {
    name: entry.name,
    quantity: entry.quantity,
    reading,
    rule:
      band === undefined
        ? { kind: 'reference' }
        : {
            kind: 'band',
            low: band.low ?? null,
            high: band.high ?? null,
            severeLow: band.severe_low ?? null,
            severeHigh: band.severe_high ?? null,
          },
    clubs: entry.clubs ?? null,
    note: entry.note ?? '',
    source: entry.source ?? '',
  };
}

const READINGS = ['position', 'change', 'begins_to_fall', 'begins_to_rise'] as const;

/** What the entry looks at; what does not fit is told, and something that does not matter any more is given back. */
function readingOf(entry: CheckpointEntry, quantity: Quantity | null, say: Say): CheckpointReading {
  const withoutTurn = isYes(entry.without_turn, false);
  if (withoutTurn && entry.change === undefined)
    say('without_turn', 'bad-value', 'without_turn belongs to a change; give change, such as [P1, P4]');
  else if (withoutTurn && quantity !== null && turnOf(quantity) === null)
    say('without_turn', 'bad-value', `${quantity.id} is no side bend or forward bend of pelvis, chest or head`);
  const given = READINGS.filter((key) => entry[key] !== undefined);
  if (given.length > 1) {
    say(given[1]!, 'both-given', `${entry.name}: ${given.join(' and ')} are given; keep one`);
    return { kind: 'value', position: 'swing' };
  }
  const key = given[0];
  if (quantity?.at === 'swing') {
    const isPlain = key === undefined || (key === 'position' && entry.position === 'swing');
    if (!isPlain) say(key, 'bad-value', `${quantity.id} has one value per swing; leave ${key} out`);
    return { kind: 'value', position: 'swing' };
  }
  if (key === undefined) {
    if (quantity !== null) {
      const needs = `needs position, change, begins_to_fall or begins_to_rise; ${quantity.id} is given at ${quantity.at.join(', ')}`;
      say([], 'missing-key', `the checkpoint ${entry.name} ${needs}`);
    }
    return { kind: 'value', position: 'swing' };
  }
  if (key === 'position') {
    checkPosition(entry.position!, quantity, key, say);
    return { kind: 'value', position: entry.position as PositionId };
  }
  const [from, to] = entry[key] as [string, string];
  if (key === 'change') {
    if (from === 'P1' && quantity !== null && !quantity.at.includes('P1')) {
      say(key, 'bad-position', `${quantity.id} is counted from P1 already; write position: ${to}`);
      return { kind: 'value', position: to as PositionId };
    }
    const sound = checkPosition(from, quantity, [key, 0], say);
    if (checkPosition(to, quantity, [key, 1], say) && sound) checkOrder(from, to, POSITIONS, key, say);
    if (quantity?.reading.kind === 'inclination-direction')
      say('quantity', 'bad-value', `${quantity.id} is a direction: its change says nothing; read it at a position`);
    return { kind: 'change', from: from as PositionId, to: to as PositionId, withoutTurn };
  }
  checkCurve(from, to, quantity, key, say);
  const way = key === 'begins_to_fall' ? 'falls' : 'rises';
  return { kind: 'begins', way, from: from as CurvePosition, to: to as CurvePosition };
}

function checkPosition(
  name: string,
  quantity: Quantity | null,
  key: string | readonly PropertyKey[],
  say: Say,
): boolean {
  const at: readonly string[] = quantity === null || quantity.at === 'swing' ? POSITIONS : quantity.at;
  if (at.includes(name)) return true;
  const near = suggestion(name, at);
  const what = quantity === null ? `positions are ${at.join(', ')}` : `${quantity.id} is given at ${at.join(', ')}`;
  say(key, 'bad-position', `${what}, not at ${name}${near}`);
  return false;
}

function checkOrder(from: string, to: string, order: readonly string[], key: string, say: Say): void {
  if (order.indexOf(from) < order.indexOf(to)) return;
  say(
    key,
    'bad-position',
    `${key} goes from the earlier position to the later: [${to}, ${from}], not [${from}, ${to}]`,
  );
}

function checkCurve(from: string, to: string, quantity: Quantity | null, key: string, say: Say): void {
  const names: readonly string[] = CURVE_POSITIONS;
  [from, to].forEach((name, index) => {
    if (!names.includes(name))
      say([key, index], 'bad-position', `${key} goes from one of ${names.join(', ')} to a later one; ${name} is none`);
  });
  if (names.includes(from) && names.includes(to)) checkOrder(from, to, names, key, say);
  if (quantity?.curve === false)
    say('quantity', 'bad-value', `${quantity.id} has no curve; give a position or a change`);
}

function checkBand(band: NonNullable<CheckpointEntry['band']>, reading: CheckpointReading, say: Say): void {
  const { low, high, severe_low, severe_high } = band;
  if (low === undefined && high === undefined) say('band', 'missing-key', 'a band needs low, high or both');
  const limits = [severe_low, low, high, severe_high].filter((value) => value !== undefined);
  if (limits.some((value, i) => i > 0 && value < limits[i - 1]!))
    say(
      'band',
      'bad-value',
      `the limits come in the order severe_low, low, high, severe_high; found ${limits.join(', ')}`,
    );
  if (reading.kind !== 'begins') return;
  const [from, to] = [Number(reading.from.slice(1)), Number(reading.to.slice(1))];
  const outside = limits.find((value) => value < from || value > to);
  if (outside !== undefined)
    say(
      'band',
      'bad-value',
      `${outside} lies outside ${reading.from} to ${reading.to}; limits of a beginning are numbers of positions, 5.5 for P5.5`,
    );
}

/** The comparison has rows of values, and of changes since P1 of quantities that are compared so. */
function checkAgainst(reading: CheckpointReading, quantity: Quantity | null, say: Say): void {
  if (reading.kind === 'begins') {
    say('against', 'bad-value', 'a beginning is not compared with the reference; give it a band');
  } else if (reading.kind === 'change' && reading.from !== 'P1') {
    say('change', 'bad-value', `the comparison knows changes since P1 only; write [P1, ${reading.to}] or give a band`);
  } else if (reading.kind === 'change' && quantity?.change === false) {
    say('change', 'bad-value', `${quantity.id} is not compared as change since P1; give its position or a band`);
  }
}
