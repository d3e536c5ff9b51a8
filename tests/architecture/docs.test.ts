import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { docsPages } from '../../scripts/docsPages.ts';
import { daySchema, daySchemaJson } from '../../src/model/daySchema.ts';
import { FAULTS } from '../../src/model/faults.ts';

const ROOT = join(import.meta.dirname, '../..');

describe('generated pages are fresh (npm run docs)', () => {
  it.each(docsPages().map(({ path, text }) => [path, text]))('%s', (path, text) => {
    expect(existsSync(join(ROOT, path)), `${path} is missing: run npm run docs`).toBe(true);
    expect(readFileSync(join(ROOT, path), 'utf8')).toBe(text);
  });
});

describe('the page of diagnostics', () => {
  const tables = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' }).filter((path) =>
    path.endsWith('diagnosticCodes.ts'),
  );
  it.each(tables)('has every code of src/%s', (path) => {
    const codes = [...readFileSync(join(ROOT, 'src', path), 'utf8').matchAll(/^ {2}'?([a-z0-9-]+)'?: \{$/gm)].map(
      (m) => m[1],
    );
    expect(codes.length).toBeGreaterThan(2);
    const page = readFileSync(join(ROOT, 'docs/diagnostics.md'), 'utf8');
    expect(codes.filter((code) => !page.includes(`| \`${code}\` |`))).toEqual([]);
  });
});

describe('the faults of a recording', () => {
  it.each(['docs/diagnostics.md', 'docs/faults.md'])('are all in %s', (path) => {
    const page = readFileSync(join(ROOT, path), 'utf8');
    expect(Object.keys(FAULTS).filter((code) => !page.includes(`| \`${code}\` |`))).toEqual([]);
  });
});

describe('the page of the day file', () => {
  it('describes every key of the schema', () => {
    const page = docsPages().find((one) => one.path === 'docs/day-file.md')!.text;
    for (const key of Object.keys(daySchema.shape))
      expect(page).toMatch(new RegExp(`\\| \`${key}\` \\|[^\\n]*\\w[^\\n]*\\|\\n`));
    expect(page).not.toMatch(/\|\s+\|\n/);
  });
  it('and its schema for editors refuse the same unknown keys', () => {
    expect((daySchemaJson() as { additionalProperties?: unknown }).additionalProperties).toBe(false);
  });
});
