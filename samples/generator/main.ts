/** `npm run samples`: writes samples/day and samples/truth anew; the same bytes every time. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { demoFiles } from './demoDay.ts';

const samples = fileURLToPath(new URL('..', import.meta.url));
for (const folder of ['day', 'truth']) rmSync(join(samples, folder), { recursive: true, force: true });
let files = 0;
let bytes = 0;
for (const file of demoFiles()) {
  const path = join(samples, file.path);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, file.bytes);
  files += 1;
  bytes += file.bytes.length;
}
console.log(`${files} files, ${(bytes / 1_000_000).toFixed(1)} MB in ${samples}`);
