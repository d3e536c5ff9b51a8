import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import * as library from '../../../src/c3d/index.ts';
import { buildC3d, texts } from '../../support/c3dBuilder.ts';

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

  it('the worked example of docs/c3d-library.md runs as it is printed', async () => {
    const page = readFileSync(join(ROOT, 'docs/c3d-library.md'), 'utf8');
    const example = /```js\n([\s\S]*?)```/.exec(page)![1]!;
    const folder = mkdtempSync(join(tmpdir(), 'c3d-example-'));
    try {
      const spec = {
        points: 3,
        frames: 30,
        channels: 1,
        rotations: 1,
        fields: { 'POINT:LABELS': texts(['A', 'B', 'C7']) },
      };
      const fields = { ...spec.fields, 'SUBJECTS:NAMES': texts(['Somebody']) };
      writeFileSync(join(folder, 'trial.c3d'), buildC3d({ ...spec, fields }));
      const shown = ['height', 'missing', 'few', 'highest', 'platforms', 'poses', 'report', 'bytes'];
      const code = example
        .replace("'swingbasis/c3d'", JSON.stringify(pathToFileURL(join(SRC, 'c3d/index.ts')).href))
        .replaceAll(/'(trial|short)\.c3d'/g, (_, name) => JSON.stringify(join(folder, `${name}.c3d`)))
        .replaceAll('console.log(', 'void (');
      const path = join(folder, 'example.mjs');
      writeFileSync(path, `${code}\nexport { ${shown.join(', ')} };\n`);
      const result = await import(/* @vite-ignore */ pathToFileURL(path).href);
      // z of the third point is 2 + 2·frame in a built file.
      expect([...result.height].slice(0, 3)).toEqual([2, 4, 6]);
      expect([result.missing, result.few.labels, result.few.frames, result.highest]).toEqual([0, ['C7', 'B'], 10, 60]);
      expect([result.platforms, result.poses.labels]).toEqual([[], ['R1']]);
      expect(result.report.names.removed).toEqual(['SUBJECTS']);
      const short = library.readC3d(library.bytesSource(readFileSync(join(folder, 'short.c3d'))));
      expect([short.processor, short.form, short.frames, short.groups.has('SUBJECTS')]).toEqual([
        'mips',
        'integer',
        10,
        false,
      ]);
      expect(library.readC3d(library.bytesSource(result.bytes)).labels).toEqual(['A']);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
