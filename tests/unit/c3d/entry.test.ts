import { readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import * as library from '../../../src/c3d/index.ts';
import { buildC3d } from '../../support/c3dBuilder.ts';

const ROOT = resolve(import.meta.dirname, '../../..');
const SRC = join(ROOT, 'src');

/** All files that are loaded with one, and every module named that is no file of the project. */
function graph(start: string): { files: string[]; foreign: string[] } {
  const files = new Set<string>();
  const foreign = new Set<string>();
  const waiting = [start];
  for (let path = waiting.pop(); path !== undefined; path = waiting.pop()) {
    if (files.has(path)) continue;
    files.add(path);
    for (const [, to] of readFileSync(path, 'utf8').matchAll(/(?:from|import\()\s*'([^']+)'/g)) {
      if (to!.startsWith('.')) waiting.push(resolve(dirname(path), to!));
      else foreign.add(to!);
    }
  }
  return { files: [...files].map((path) => relative(SRC, path).replaceAll('\\', '/')).sort(), foreign: [...foreign] };
}

describe('the entry point swingbasis/c3d', () => {
  it('loads nothing but base, numeric and c3d, no package and nothing of Node', () => {
    const { files, foreign } = graph(join(SRC, 'c3d/index.ts'));
    expect(files.length).toBeGreaterThan(12);
    expect(files.filter((file) => !/^(base|numeric|c3d)\//.test(file))).toEqual([]);
    expect(foreign).toEqual([]);
  });

  it('is in the exports of the package under the file that the build makes of it', () => {
    const { exports } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
    expect(exports['./c3d']).toEqual({ types: './dist/c3d/index.d.ts', default: './dist/c3d/index.js' });
  });

  it('reads, walks and writes', () => {
    const bytes = buildC3d({ points: 2, frames: 3 });
    const c = library.readC3d(library.bytesSource(bytes));
    let walked = 0;
    library.walkC3d(library.bytesSource(bytes), { onBlock: ({ frames }) => (walked += frames) });
    expect([c.frames, walked, typeof library.writeC3d]).toEqual([3, 3, 'function']);
    expect(() => library.readC3d(library.bytesSource(bytes.subarray(0, 100)))).toThrow(library.FormatError);
  });
});
