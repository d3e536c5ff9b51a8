/** Rewrites the generated pages: docs/ and THIRD-PARTY.md. A test fails where they are not fresh. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { docsPages } from './docsPages.ts';
import { writeThirdPartyPage } from './thirdParty.ts';

const ROOT = join(import.meta.dirname, '..');

for (const { path, text } of docsPages()) {
  mkdirSync(dirname(join(ROOT, path)), { recursive: true });
  writeFileSync(join(ROOT, path), text);
}
writeThirdPartyPage();
