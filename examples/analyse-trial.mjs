// The angles of the chest in one swing: node examples/analyse-trial.mjs
// @ts-check
import { readFileSync } from 'node:fs';
import { analyseTrial, bytesSource, createWorkspace, intake, readC3d, readDay, toDisplay } from 'swingbasis';

// A day file says whose swing it is, and which way the target lies; every setting it leaves out gets its default.
const FILE = 'wren/1-driver-1.c3d';
const { plan, problems } = readDay(
  `swingbasis: 1
day: one swing
lab: {up: +Z, target: +X, units: mm}
players: [{id: wren, hand: right, sex: female, height_m: 1.68, mass_kg: 62}]
clubs: [{id: driver, kind: driver}]
trials: [{file: ${FILE}, player: wren, club: driver}]
`,
  { file: 'day.yaml', listing: [FILE] },
);
const [trial, player, club] = [plan?.trials[0], plan?.players[0], plan?.clubs[0]];
if (!trial || !player || !club) throw new Error(problems.map(({ message }) => message).join('\n'));

const ws = createWorkspace();
const file = readC3d(bytesSource(readFileSync(new URL(`../samples/day/${FILE}`, import.meta.url))));
const taken = intake(file, { trial, player, club }, ws).value;
if (!taken.ok) throw new Error(`cannot be used: ${taken.why.needed}`);

const { filter, gaps, faults } = trial;
const choices = { player, club, calibration: null, filter, gaps, faults, orders: [], sensors: null, sha256: '' };
const record = analyseTrial(taken.value, choices, ws);

for (const { quantity, position, value, unit } of record.cells) {
  if (!quantity.startsWith('thorax.') || position !== 'P4' || value === null) continue;
  console.log(`${quantity} at ${position}: ${toDisplay(value, unit).toFixed(1)} ${unit}`);
}
