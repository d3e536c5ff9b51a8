import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { thirdPartyPage } from '../../scripts/thirdParty.ts';

const ROOT = join(import.meta.dirname, '../..');

it('THIRD-PARTY.md lists what the lock file installs, and nothing under a copyleft licence', () => {
  const page = readFileSync(join(ROOT, 'THIRD-PARTY.md'), 'utf8');
  expect(page).toBe(thirdPartyPage());
  expect(page).toMatch(/\| yaml \| /);
  expect(page).toMatch(/Optional[\s\S]*\| @duckdb\/node-api \| [\s\S]*\| @duckdb\/node-bindings \| /);
  expect(page).not.toMatch(/\bA?GPL/);
});

it('the lock file carries no registry addresses', () => {
  expect(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')).not.toMatch(/"resolved"/);
});
