import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { PAGE_SCRIPT_PATH, pageScriptText } from '../../scripts/pageScript.ts';

it('the script and the style of a player’s page are those of their sources (npm run docs)', () => {
  expect(readFileSync(PAGE_SCRIPT_PATH, 'utf8')).toBe(pageScriptText());
});
