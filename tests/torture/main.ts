/**
 * npm run torture -- [c3d] [cases] [seed]: damaged files by the hundred thousand; only a FormatError may be thrown.
 * npm run torture -- day [kills] [seed]: the sample day killed at random moments and resumed; 100 kills.
 * npm run torture -- archive [kills] [seed]: changes of an archive killed at random moments; 50 kills.
 * npm run torture -- spread [cases]: how often the stated ± holds the truth, by quantity and by position of each; 2000 cases.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type HostileResult, runBoundaryCuts, runHostileCases } from '../support/c3dHostile.ts';
import { openData } from '../support/openData.ts';
import { byQuantity, measureSpread, outside } from '../support/spreadCoverage.ts';
import { tortureArchive, tortureDay } from './kills.ts';

const [part = 'c3d', casesText = '200000', seedText = '1'] = process.argv.slice(2).filter((word) => word !== 'fuzz');
if (part === 'spread') process.exit(tortureSpread(Number(process.argv[3] ?? 2000)) ? 0 : 1);
if (part === 'day') process.exit((await tortureDay(Number(process.argv[3] ?? 100), Number(seedText))) === 0 ? 0 : 1);
if (part === 'archive')
  process.exit((await tortureArchive(Number(process.argv[3] ?? 50), Number(seedText))) === 0 ? 0 : 1);
if (part !== 'c3d') {
  console.error(`no torture is called ${part}; there are: c3d, day, archive, spread`);
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

/** True where no quantity lies outside 90–98 %, and no quantity at one position by more than its counting error of 3 standard deviations. */
function tortureSpread(cases: number): boolean {
  const held = measureSpread(cases, 4, (done, soFar) => {
    if (done % 100 > 0) return;
    const [quantities, rows] = [outside(byQuantity(soFar), 0).length, outside(soFar, 0).length];
    console.error(
      `${done} of ${cases} recordings: ${quantities} quantities outside 90–98 %, ${rows} quantities at positions`,
    );
  });
  const quantities = byQuantity(held);
  const found = outside(quantities, 0);
  const rows = outside(held, 0);
  const byMore = outside(held, 3);
  console.log(`${cases} recordings of ${cases / 4} players; stated 95 % ± (noise part)`);
  console.log(`${quantities.size} quantities over all positions: ${found.length} outside 90–98 %`);
  for (const [name, { inside, of }] of quantities)
    console.log(`  ${name} ${((100 * inside) / of).toFixed(1)} % of ${of}`);
  console.log(`${held.size} quantities at positions: ${rows.length} outside, ${byMore.length} by more than chance`);
  for (const line of rows) console.log(`  ${line}`);
  return found.length + byMore.length === 0;
}
