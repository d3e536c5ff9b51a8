/** What the schema finds, as sentences: what was found, what is expected, what was probably meant. */
import type * as z from 'zod';
import { nearestOf } from '../base/text.ts';
import { keysAt } from '../model/daySchema.ts';
import { type DayNode, type LocatedProblem, placeAt } from './nodes.ts';

const TYPE_WORDS: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  array: 'a list',
  object: 'settings of the form key: value',
  record: 'settings of the form key: value',
  boolean: 'yes or no',
};

/** `trials[2].club` */
export function pathText(path: readonly PropertyKey[]): string {
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') text += `[${step + 1}]`;
    else text += text === '' ? String(step) : `.${String(step)}`;
  }
  return text;
}

function valueAt(root: unknown, path: readonly PropertyKey[]): unknown {
  let value = root;
  for (const step of path) {
    if (typeof value !== 'object' || value === null) return undefined;
    value = (value as Record<PropertyKey, unknown>)[step];
  }
  return value;
}

function shown(value: unknown): string {
  if (value === null || value === undefined) return 'nothing';
  if (typeof value === 'string') return `"${value}"`;
  if (Array.isArray(value)) return 'a list';
  return typeof value === 'object' ? 'settings' : String(value);
}

/** What kind of file is validated: its name in sentences, and the keys allowed at a path. */
export interface FileKind {
  readonly name: string;
  readonly keysAt: (path: readonly PropertyKey[]) => readonly string[];
}

const DAY_FILE: FileKind = { name: 'day file', keysAt };

/** Problems of one validation, each at its line and column. */
export function schemaProblems(
  error: z.ZodError,
  root: DayNode,
  plain: unknown,
  file: FileKind = DAY_FILE,
): readonly LocatedProblem[] {
  return error.issues.flatMap((issue) => problemsOf(issue, root, plain, file));
}

function problemsOf(issue: z.core.$ZodIssue, root: DayNode, plain: unknown, file: FileKind): readonly LocatedProblem[] {
  const path = issue.path;
  const name = pathText(path);
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => {
      const known = file.keysAt(path);
      const near = nearestOf(key, known);
      const hint = near === null ? `keys here are ${known.join(', ')}` : `did you mean ${near}?`;
      const where = name === '' ? `in a ${file.name}` : `in ${name}`;
      return {
        ...placeAt(root, [...path, key], true),
        code: 'unknown-key',
        message: `"${key}" is not a key ${where}; ${hint}`,
      };
    });
  }
  if (issue.code === 'invalid_union') {
    const meant = issue.errors.filter((branch) =>
      branch.every((inner) => inner.path.length > 0 || inner.code === 'unrecognized_keys'),
    );
    if (meant.length === 1) {
      return meant[0]!.flatMap((inner) => problemsOf({ ...inner, path: [...path, ...inner.path] }, root, plain, file));
    }
  }
  const value = valueAt(plain, path);
  const place = placeAt(root, path);
  if (value === undefined && issue.code !== 'custom') {
    const parent = path.slice(0, -1);
    const key = String(path[path.length - 1] ?? '');
    const where = parent.length === 0 ? `the ${file.name}` : pathText(parent);
    const what = key === 'swingbasis' ? 'its version: begin it with swingbasis: 1' : key;
    return [{ ...placeAt(root, parent), code: 'missing-key', message: `${where} needs ${what}` }];
  }
  return [
    { ...place, code: 'bad-value', message: `${name === '' ? `the ${file.name}` : name}: ${sentence(issue, value)}` },
  ];
}

function sentence(issue: z.core.$ZodIssue, value: unknown): string {
  if (issue.code === 'invalid_type') {
    return `${shown(value)} stands here; expected ${TYPE_WORDS[issue.expected] ?? issue.expected}`;
  }
  if (issue.code === 'invalid_value' && !issue.message.startsWith('the first line')) {
    const values = issue.values.map(String);
    const near = typeof value === 'string' ? nearestOf(value, values) : null;
    return `${shown(value)} is none of ${values.join(', ')}${near === null ? '' : `; did you mean ${near}?`}`;
  }
  if (issue.code === 'too_small') {
    if (issue.origin === 'array')
      return issue.exact === true ? issue.message : 'the list is empty; at least one entry is needed';
    if (issue.origin === 'string') return 'the text is empty';
    return `${shown(value)} is too small; expected ${issue.inclusive === false ? 'more than' : 'at least'} ${issue.minimum}`;
  }
  if (issue.code === 'too_big') {
    if (issue.origin === 'array') return issue.message;
    if (issue.origin === 'string') return `the text is too long; at most ${issue.maximum} characters`;
    return `${shown(value)} is too large; expected at most ${issue.maximum}`;
  }
  return typeof value === 'object' || value === undefined ? issue.message : `${shown(value)}: ${issue.message}`;
}
