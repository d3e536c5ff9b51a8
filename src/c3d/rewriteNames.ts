/** Names of people and makers among the parameters: which they are, and taking them out. */
import { type EditableGroups, parts, put } from './parameterEdit.ts';
import type { C3dParameter } from './types.ts';

/** Words of a group's or parameter's name (split at underscores, plural s and numbers off) that stand for a person, a maker or a place. */
const WORDS = new Set([
  ...['SUBJECT', 'PATIENT', 'PERSON', 'PLAYER', 'GOLFER', 'ATHLETE', 'ACTOR', 'PARTICIPANT', 'CLIENT', 'OPERATOR'],
  ...['CLINICIAN', 'PHYSICIAN', 'THERAPIST', 'EXAMINER', 'COACH', 'OWNER', 'AUTHOR', 'USER', 'CREATOR'],
  ...[
    'MANUFACTURER',
    'MAKER',
    'VENDOR',
    'COMPANY',
    'SOFTWARE',
    'PRODUCT',
    'SERIAL',
    'LABORATORY',
    'HOSPITAL',
    'CLINIC',
  ],
  ...['BIRTHDATE', 'BIRTHDAY', 'BIRTH', 'DOB', 'SURNAME', 'FIRSTNAME', 'LASTNAME', 'FULLNAME'],
]);

function isName(name: string): boolean {
  return name.split(/[_\s.-]+/).some((word) => {
    const bare = word.replace(/\d+$/, '');
    return WORDS.has(bare) || (bare.endsWith('S') && WORDS.has(bare.slice(0, -1)));
  });
}

/** Groups that the format description defines (from memory); any other may be named for who made the file. */
const FORMAT_GROUPS = new Set([
  ...['POINT', 'ANALOG', 'FORCE_PLATFORM', 'ROTATION', 'TRIAL', 'EVENT', 'EVENT_CONTEXT'],
  ...['SUBJECTS', 'MANUFACTURER', 'PROCESSING', 'DATA_BLOCKS', 'SEG'],
]);

/** Groups that say how the data lie. */
const NEEDED = new Set(['POINT', 'ANALOG', 'ROTATION']);

/** Lists of point labels: a subject's name may stand before a colon in each. */
const LABEL_LISTS = ['LABELS', 'ANGLES', 'FORCES', 'MOMENTS', 'POWERS', 'SCALARS'];

export interface RemovedNames {
  /** Groups as NAME, single parameters as GROUP:NAME; never their content. */
  readonly removed: readonly string[];
  /** Lists of labels of which prefixes were taken off, as GROUP:NAME. */
  readonly prefixed: readonly string[];
  /** How many descriptions of groups and parameters were emptied. */
  readonly descriptions: number;
  /** Groups that stay although the format does not define them: their own names, or what they hold, may tell who made the file. */
  readonly otherGroups: readonly string[];
}

export const NO_NAMES: RemovedNames = { removed: [], prefixed: [], descriptions: 0, otherGroups: [] };

/**
 * Leaves whole groups out, parameters included; returns those that were there.
 * @throws RangeError for a group that the file does not have or that the data need
 */
export function dropGroups(groups: EditableGroups, names: readonly string[]): string[] {
  for (const name of names) {
    if (NEEDED.has(name)) throw new RangeError(`the group ${name} cannot be left out: it says how the data lie`);
    if (!groups.delete(name)) throw new RangeError(`no group is named "${name}"`);
  }
  return [...names];
}

/**
 * Removes groups and parameters named for people, makers or places, prefixes "name:" of point labels, and the free descriptions of
 * groups and parameters. Labels themselves and lists such as POINT:DESCRIPTIONS stay, and so do groups named for a maker, which no list
 * of words can know: `otherGroups` names them.
 */
export function removeNames(groups: EditableGroups): RemovedNames {
  const removed: string[] = [];
  const prefixed: string[] = [];
  let descriptions = 0;
  for (const [key, group] of groups) {
    if (isName(group.name)) {
      groups.delete(key);
      removed.push(group.name);
      continue;
    }
    for (const [name, p] of group.parameters) {
      if (isName(p.name)) {
        group.parameters.delete(name);
        removed.push(`${group.name}:${name}`);
      } else if (p.description !== '') {
        group.parameters.set(name, { ...p, description: '' });
        descriptions += 1;
      }
    }
    if (group.description !== '') {
      groups.set(key, { ...group, description: '' });
      descriptions += 1;
    }
  }
  for (const list of LABEL_LISTS) {
    for (const part of parts(groups, 'POINT', list)) {
      const bare = withoutPrefixes(part);
      if (bare === null) continue;
      put(groups, bare);
      prefixed.push(`POINT:${part.name}`);
    }
  }
  const otherGroups = [...groups.keys()].filter((name) => !FORMAT_GROUPS.has(name));
  return { removed, prefixed, descriptions, otherGroups };
}

/** Null where no label has a prefix. */
function withoutPrefixes(p: C3dParameter): C3dParameter | null {
  if (p.type !== 'char' || !p.text.some((text) => text.includes(':'))) return null;
  const text = p.text.map((label) => label.slice(label.lastIndexOf(':') + 1).trim());
  const { raw, ...rest } = p;
  return { ...rest, text };
}
