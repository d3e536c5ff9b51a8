/** Rewrites reports/example from the sample day: the committed golden output and the picture in the README. */
import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';

const ROOT = join(import.meta.dirname, '..');
const OUT = join(ROOT, 'reports', 'example');

rmSync(OUT, { recursive: true, force: true });
const run = spawnSync(process.execPath, [join(ROOT, 'bin', 'swingbasis'), 'demo', '--out', OUT], { stdio: 'inherit' });
rmSync(join(OUT, '.store'), { recursive: true, force: true });
process.exit(run.status ?? 2);
