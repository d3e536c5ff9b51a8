/** Rewrites what is generated: pages of docs/, THIRD-PARTY.md, the script of a player's page. A test fails where they are not fresh. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { docsPages } from './docsPages.ts';
import { writePageScript } from './pageScript.ts';
import { writeThirdPartyPage } from './thirdParty.ts';

const ROOT = join(import.meta.dirname, '..');

for (const { path, text } of docsPages()) {
  mkdirSync(dirname(join(ROOT, path)), { recursive: true });
  writeFileSync(join(ROOT, path), text);
}
writeThirdPartyPage();
writePageScript();
