import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareCounted } from '../../../src/base/text.ts';
import { matchesPattern, pathTrouble, tidyPath } from '../../../src/day/patterns.ts';

/** The same language as a regular expression: slow, obvious. */
function byExpression(pattern: string, path: string): boolean {
  const source = pattern
    .split('/')
    .map((part, index, all) => {
      if (part === '**') return index === all.length - 1 ? '[^/]+(?:/[^/]+)*' : '(?:[^/]+/)*';
      const name = [...part].map((c) =>
        c === '*' ? '[^/]*' : c === '?' ? '[^/]' : c.replace(/[.^$+()[\]{}|\\]/g, '\\$&'),
      );
      return name.join('') + (index === all.length - 1 ? '' : '/');
    })
    .join('');
  return new RegExp(`^${source}$`).test(path);
}

describe('patterns', () => {
  it.each([
    ['*.c3d', 'a.c3d', true],
    ['*.c3d', 'x/a.c3d', false],
    ['**/*.c3d', 'a.c3d', true],
    ['**/*.c3d', 'x/y/a.c3d', true],
    ['x/**', 'x/y/a.c3d', true],
    ['x/**', 'x', false],
    ['d?.c3d', 'd1.c3d', true],
    ['d?.c3d', 'd10.c3d', false],
    ['a*b*c', 'aXbYbc', true],
    ['[a].c3d', 'a.c3d', false],
  ])('%s and %s: %s', (pattern, path, expected) => {
    expect(matchesPattern(pattern, path)).toBe(expected);
  });

  it('agree with the same language written as a regular expression', () => {
    const name = fc.string({ unit: fc.constantFrom('a', 'b', '*', '?', '.'), minLength: 1, maxLength: 5 });
    const plain = fc.string({ unit: fc.constantFrom('a', 'b', '.'), minLength: 1, maxLength: 5 });
    const patterns = fc.array(fc.oneof(name, fc.constant('**')), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(patterns, fc.array(plain, { minLength: 1, maxLength: 4 }), (pattern, path) => {
        // '**' beside other characters in one name is no folder wildcard but two stars
        expect(matchesPattern(pattern.join('/'), path.join('/'))).toBe(byExpression(pattern.join('/'), path.join('/')));
      }),
      { seed: 1, numRuns: 2000 },
    );
  });

  it('a path below the folder is no trouble, and is tidied', () => {
    expect(pathTrouble('./a//b..c.c3d')).toBeNull();
    expect(tidyPath('./a//b..c.c3d')).toBe('a/b..c.c3d');
    expect(pathTrouble('C:/a')).not.toBeNull();
    expect(pathTrouble('a/../b')).not.toBeNull();
  });

  it('numbers in names are counted', () => {
    expect(['s10', 's2', 's1b', 's1', 't', 's'].sort(compareCounted)).toEqual(['s', 's1', 's1b', 's2', 's10', 't']);
  });
});
