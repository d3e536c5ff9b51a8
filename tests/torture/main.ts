/**
 * npm run torture -- [c3d] [cases] [seed]: damaged files by the hundred thousand; only a FormatError may be thrown.
 * npm run torture -- day [kills] [seed]: the sample day killed at random moments and resumed; 100 kills.
 * npm run torture -- spread [cases]: how often the stated ± holds the truth, by quantity and position; 2000 cases.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type HostileResult, runBoundaryCuts, runHostileCases } from '../support/c3dHostile.ts';
import { openData } from '../support/openData.ts';
import { measureSpread, outside } from '../support/spreadCoverage.ts';
import { tortureDay } from './kills.ts';

const [part = 'c3d', casesText = '200000', seedText = '1'] = process.argv.slice(2).filter((word) => word !== 'fuzz');
if (part === 'spread') process.exit(tortureSpread(Number(process.argv[3] ?? 2000)) ? 0 : 1);
if (part === 'day') process.exit((await tortureDay(Number(process.argv[3] ?? 100), Number(seedText))) === 0 ? 0 : 1);
if (part !== 'c3d') {
  console.error(`no torture is called ${part}; there are: c3d, day, spread`);
  process.exit(2);
}
const folder = openData('c3d');
const sources =
  folder === null
    ? undefined
    : readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile() && entry.name.endsWith('.c3d'))
        .sort((a, b) => (join(a.parentPath, a.name) < join(b.parentPath, b.name) ? -1 : 1))
        .map((entry) => new Uint8Array(readFileSync(join(entry.parentPath, entry.name))));
let failed = 0;
function report(name: string, result: HostileResult): void {
  const { selected, walked, rewritten, platforms, turned } = result;
  const ways = `${selected} selections, ${walked} walks, ${rewritten} rewritten, ${platforms} with force platforms, ${turned} with rotations`;
  const ends = `${result.read} read, ${result.refused} refused, ${result.faults.length} faults`;
  console.log(`${name}: ${result.cases} cases: ${ends} (${ways})`);
  for (const fault of result.faults.slice(0, 20)) console.log(`  ${JSON.stringify(fault)}`);
  failed += result.faults.length;
}
for (const [name, files] of [
  ['built files', undefined],
  ['open files', sources],
] as const) {
  if (name === 'open files' && files === undefined) continue;
  report(`${name}, cut at every parameter boundary`, runBoundaryCuts(files));
  report(`${name}, seed ${seedText}`, runHostileCases(Math.floor(Number(casesText) / 2), Number(seedText), files));
}
process.exit(failed === 0 ? 0 : 1);

/** True where no row lies outside 90–98 % by more than its counting error of 3 standard deviations. */
function tortureSpread(cases: number): boolean {
  const held = measureSpread(cases, 4);
  const found = outside(held, 3);
  const plain = outside(held, 0);
  console.log(
    `${held.size} quantities at positions, ${cases} cases: ${plain.length} outside 90–98 %, ${found.length} by more than chance`,
  );
  for (const line of plain) console.log(`  ${line}`);
  return found.length === 0;
}
