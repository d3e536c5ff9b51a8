/** What names of files and folders say to a draft: roles, movements, clubs, players. */
import { isReservedName } from '../model/daySchema.ts';
import type { Movement } from '../model/sensors.ts';

export interface RoleGuess {
  readonly role: 'swing' | 'static' | 'functional' | 'calibration';
  readonly movement: Movement | null;
  readonly why: string;
}

const ROLE_WORDS: readonly {
  readonly words: string;
  readonly role: RoleGuess['role'];
  readonly movement: Movement | null;
}[] = [
  { words: 'hang|hanging|pendulum|plumb', role: 'calibration', movement: null },
  { words: 'bow|hinge|hip-hinge|forward-bend', role: 'functional', movement: 'bow' },
  { words: 'tilt|pelvic-tilt|pelvictilt', role: 'functional', movement: 'pelvic-tilt' },
  { words: 'turn|twist|trunk-turn', role: 'functional', movement: 'turn' },
  { words: 'still|static|stand|standing|neutral|pose|npose|tpose', role: 'static', movement: null },
];

/** The last part of a path; of a folder (with or without its slash) its own name. */
export function lastPart(path: string): string {
  const plain = path.replace(/\/$/, '');
  return plain.slice(plain.lastIndexOf('/') + 1);
}

const KINDS = ['driver', 'wood', 'hybrid', 'iron', 'wedge', 'putter'] as const;

/** The role that the last part of a trial's id speaks of, or null: a word of its own, or one with a club written onto it. */
export function roleOfName(id: string): RoleGuess | null {
  const name = lastPart(id).toLowerCase();
  for (const { words, role, movement } of ROLE_WORDS) {
    const found = new RegExp(`(^|[^a-z])(${words})([^a-z]|$|${KINDS.join('|')})`).test(name);
    if (found) return { role, movement, why: 'by its name' };
  }
  return null;
}

export interface NamedClub {
  readonly id: string;
  readonly kind: string;
}

/** A club that a name speaks of: a kind with a number before or after it ("iron7", "7 iron"). Wood and iron only as words of their own or with the number written onto them. */
export function clubIn(name: string): NamedClub | null {
  const plain = name.replace(/([a-z])([A-Z])/g, '$1_$2').toLowerCase();
  for (const kind of KINDS) {
    const word =
      kind === 'wood' || kind === 'iron' ? `(?:(?<![a-z])${kind}(?!(?!s(?![a-z]))[a-z])|${kind}(?=[0-9]))` : kind;
    const found = new RegExp(`(?:(\\d{1,2})[ _-]?)?${word}(?:[ _-]?(\\d{1,2})(?![0-9]))?`).exec(plain);
    if (found === null) continue;
    const number = kind === 'iron' || kind === 'wood' || kind === 'hybrid' ? (found[2] ?? found[1] ?? '') : '';
    return { id: `${kind}${number}`, kind };
  }
  return null;
}

const NO_PLAYER: ReadonlySet<string> = new Set([
  ...ROLE_WORDS.flatMap(({ words }) => words.split(/[|-]/)),
  ...KINDS.flatMap((kind) => [kind, `${kind}s`]),
]);

/** The first folder of a path, made an id; `player1` where there is none, or its name is wholly one of roles and clubs. */
export function playerOf(path: string): string {
  const slash = path.indexOf('/');
  const folder = slash < 0 ? '' : path.slice(0, slash);
  const words = folder.toLowerCase().match(/[a-z]+/g) ?? [];
  if (words.length > 0 && words.every((word) => NO_PLAYER.has(word))) return 'player1';
  return idFrom(folder, 'player1');
}

function idFrom(text: string, otherwise: string): string {
  const id = text
    .replace(/[^A-Za-z0-9_-]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40);
  return id === '' || isReservedName(id) ? otherwise : id;
}

export function quoted(text: string): string {
  return JSON.stringify(oneLine(text));
}

export function yamlText(text: string): string {
  return /^[A-Za-z][A-Za-z0-9_/.-]*$/.test(text) && !/^(true|false|null|yes|no|on|off|y|n)$/i.test(text)
    ? text
    : JSON.stringify(text);
}

export function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}
