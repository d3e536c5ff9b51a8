/** Puts rows of the example's comparison table into the README: `npx tsx scripts/readmeRows.ts`, after `npm run example`. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const ROOT = join(import.meta.dirname, '..');
const README = join(ROOT, 'README.md');
const table = readFileSync(join(ROOT, 'reports/example/tables/comparison.csv'), 'utf8')
  .split('\r\n')
  .map((line) => line.split(','));
const header = table[0]!;
const lines = readFileSync(README, 'utf8').split('\n');
const head = lines.findIndex((line) => line.startsWith('| player | quantity | position |'));
const columns = lines[head]!.slice(2, -2).split(' | ');
const wanted = [
  ['plover', 'pelvis.forward_bend', 'P1', 'value'],
  ['plover', 'pelvis.forward_bend', 'P4', 'value'],
  ['plover', 'thorax.forward_bend', 'P5.5', 'value'],
  ['plover', 'club.attack', 'swing', 'value'],
];
const rows = wanted.map(([player, quantity, position, basis]) => {
  const row = table.find(
    (line) =>
      line[header.indexOf('player')] === player &&
      line[header.indexOf('quantity')] === quantity &&
      line[header.indexOf('position')] === position &&
      line[header.indexOf('basis')] === basis,
  );
  if (row === undefined) throw new Error(`no row ${player} ${quantity} ${position}`);
  return `| ${columns.map((column) => row[header.indexOf(column)]).join(' | ')} |`;
});
let end = head + 2;
while (lines[end]?.startsWith('|')) end += 1;
writeFileSync(README, [...lines.slice(0, head + 2), ...rows, ...lines.slice(end)].join('\n'));
