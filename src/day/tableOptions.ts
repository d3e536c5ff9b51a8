import { nearestOf } from '../base/text.ts';
import type { MarginRule } from '../model/quantity.ts';
import type { TableSide } from '../model/swingTable.ts';

/** What the options of a table of swings say: names, patterns, sides, margins. */

/** An option that names nothing of the table; the message is a sentence for the user. */
export class TableOptionError extends Error {
  constructor(option: string, message: string) {
    super(`${option}: ${message}`);
  }
}

/** Names, comma between them. @throws TableOptionError */
export function namesIn(option: string, text: string): readonly string[] {
  const words = text.split(',').map((word) => word.trim());
  if (words.includes('')) throw new TableOptionError(option, `"${text}" names nothing before or after a comma`);
  return words;
}

/** `*` stands for any letters. */
export function patternOf(word: string): RegExp {
  return new RegExp(`^${word.replace(/[.+?^$(){}|[\]\\]/g, '\\$&').replaceAll('*', '.*')}$`, 'su');
}

/** How many values of a column a message lists. */
const MOST_LISTED = 30;

/**
 * Both sides by values of the group column, of which `groups` has one a row; what both name belongs to the narrower side.
 * @throws TableOptionError where a name stands for nothing or both stand for the same
 */
export function sidesOf(
  { of, against }: { readonly of: string; readonly against: string },
  groups: readonly string[],
  column: string,
): { readonly of: TableSide; readonly against: TableSide } {
  const known = [...new Set(groups)].sort();
  const a = groupsNamed('--of', of, known, column);
  const b = groupsNamed('--against', against, known, column);
  const both = a.groups.filter((group) => b.groups.includes(group));
  if (both.length === 0) return { of: a, against: b };
  if (both.length === a.groups.length && both.length === b.groups.length) {
    throw new TableOptionError('--against', `${against} names the same swings as --of ${of}; name others`);
  }
  return both.length === b.groups.length ? { of: others(a, both), against: b } : { of: a, against: others(b, both) };
}

function others({ label, groups }: TableSide, except: readonly string[]): TableSide {
  return { label: `other ${label}`, groups: groups.filter((group) => !except.includes(group)) };
}

function groupsNamed(option: string, text: string, known: readonly string[], column: string): TableSide {
  const words = namesIn(option, text);
  const groups = words.flatMap((word) => {
    const pattern = patternOf(word);
    const hits = known.filter((group) => pattern.test(group));
    if (hits.length > 0) return hits;
    const near = nearestOf(word, known);
    const listed = known.slice(0, MOST_LISTED).join(', ');
    const more = known.length > MOST_LISTED ? ` and ${known.length - MOST_LISTED} more` : '';
    const meant = near === null ? '' : `; did you mean ${near}?`;
    throw new TableOptionError(
      option,
      `no row has ${word} in the column ${column}${meant}; there are ${listed}${more}`,
    );
  });
  return { label: words.join(', '), groups: [...new Set(groups)] };
}

/**
 * The margin of each column: `2` for all, `3%` of the mean of the two group means, `hip*=2` for those that fit; what names a column wins,
 * the later of two. Null where none is set. @throws TableOptionError
 */
export function marginsOf(text: string | null, columns: readonly string[]): readonly (MarginRule | null)[] {
  if (text === null) return columns.map(() => null);
  const named = new Map<string, MarginRule>();
  let all: MarginRule | null = null;
  for (const word of namesIn('--margin', text)) {
    const equals = word.lastIndexOf('=');
    const rule = marginOf(word.slice(equals + 1).trim());
    if (rule === null) {
      throw new TableOptionError('--margin', `"${word}" is no margin; write 2, 3% or COLUMN=2 with numbers above 0`);
    }
    if (equals < 0) {
      if (all !== null)
        throw new TableOptionError('--margin', `"${text}" gives two margins for all columns; write COLUMN=VALUE`);
      all = rule;
      continue;
    }
    const name = word.slice(0, equals).trim();
    const hits = columns.filter((column) => patternOf(name).test(column));
    if (hits.length === 0) {
      const near = nearestOf(name, columns);
      const hint = near === null ? `they are ${columns.join(', ')}` : `did you mean ${near}?`;
      throw new TableOptionError('--margin', `${name} is no column of values; ${hint}`);
    }
    for (const column of hits) named.set(column, rule);
  }
  return columns.map((column) => named.get(column) ?? all);
}

function marginOf(text: string): MarginRule | null {
  const share = text.endsWith('%');
  const digits = share ? text.slice(0, -1).trim() : text;
  const value = /^\+?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(digits) ? Number(digits) : Number.NaN;
  if (!(value > 0 && Number.isFinite(value))) return null;
  return share ? { kind: 'share', value: value / 100 } : { kind: 'absolute', value };
}
