import { EN } from './en.ts';
import type { Words } from './words.ts';

/** Some of the words of `T`, however deep; lists and functions are whole. */
export type Partly<T> = T extends string | readonly unknown[] | ((...given: never[]) => unknown)
  ? T
  : { readonly [K in keyof T]?: Partly<T[K]> };

type Table = Readonly<Record<string, unknown>>;

function isTable(value: unknown): value is Table {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function over(base: Table, own: Table): Table {
  const keys = [...new Set([...Object.keys(base), ...Object.keys(own)])];
  return Object.fromEntries(
    keys.map((key) => {
      const [low, high] = [base[key], own[key]];
      return [key, isTable(low) && isTable(high) ? over(low, high) : (high ?? low)];
    }),
  );
}

/** The words of a language with the English ones where it has none of its own. */
export function completed(own: Partly<Words>): Words {
  return over(EN, own) as Words;
}
