// A day: driver against irons, report and tables. node examples/compare-and-render.mjs OUT
// @ts-check
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { analyseDay, bytesSource, readDay, renderDay } from 'swingbasis';

const out = process.argv[2] ?? 'library-results';
const data = fileURLToPath(new URL('../samples/day', import.meta.url));
const listing = readdirSync(join(data, 'osprey')).map((name) => `osprey/${name}`);
const text = readFileSync(new URL('day.yaml', import.meta.url), 'utf8');
const { plan, problems } = readDay(text, { file: 'day.yaml', listing });
if (!plan) throw new Error(problems.map(({ message }) => message).join('\n'));

// what the program borrows from the world: where bytes come from and how they are summed
/** @type {import('swingbasis').DayIo} */
const io = {
  open: (path) => ({ ...bytesSource(readFileSync(join(data, path))), close() {} }),
  sha256(source) {
    const bytes = new Uint8Array(source.size);
    source.read(0, source.size, bytes);
    return createHash('sha256').update(bytes).digest('hex');
  },
  pause: async () => {},
  program: { name: 'library example', version: '1' },
  libraries: {},
};
const options = { orders: [], strict: false, curves: false };
const result = await analyseDay(plan, io, options);
const rows = result.comparisons.flatMap((one) => one.rows);
for (const { quantity, position, basis, difference, unit } of rows) {
  if (quantity !== 'thorax.side_bend' || basis !== 'value' || difference === null) continue;
  console.log(`${quantity} at ${position}: driver less irons ${difference.toFixed(1)} ${unit}`);
}
for await (const { path, text: parts } of renderDay(result, [], options)) {
  mkdirSync(dirname(join(out, path)), { recursive: true });
  writeFileSync(join(out, path), Buffer.concat([...parts].map((part) => Buffer.from(part))));
}
