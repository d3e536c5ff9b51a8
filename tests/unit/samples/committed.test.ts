import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../../samples/generator/demoDay.ts';

const samples = new URL('../../../samples/', import.meta.url);

describe('the demo day', () => {
  it('is made again byte for byte by the generator, and nothing else is listed', () => {
    const manifest = JSON.parse(readFileSync(new URL('truth/manifest.json', samples), 'utf8')) as {
      files: { path: string; bytes: number; sha256: string }[];
    };
    const listed = new Map(manifest.files.map((file) => [file.path, file]));
    let total = 0;
    for (const made of demoFiles()) {
      const sha256 = createHash('sha256').update(made.bytes).digest('hex');
      const committed = createHash('sha256')
        .update(readFileSync(new URL(made.path, samples)))
        .digest('hex');
      expect(committed, made.path).toBe(sha256);
      total += made.bytes.length;
      if (made.path === 'truth/manifest.json') continue;
      expect(listed.get(made.path), made.path).toEqual({ path: made.path, bytes: made.bytes.length, sha256 });
      listed.delete(made.path);
    }
    expect([...listed.keys()]).toEqual([]);
    // The repository stays small: under 40 MB.
    expect(total).toBeLessThan(40_000_000);
  });
});
