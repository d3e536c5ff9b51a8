// What is in a C3D file: node examples/read-file.mjs [FILE]
// @ts-check
import { readFileSync } from 'node:fs';
import { bytesSource, readC3d } from 'swingbasis';

const path = process.argv[2] ?? new URL('../samples/day/wren/1-driver-1.c3d', import.meta.url);
const file = readC3d(bytesSource(readFileSync(path)), { file: String(path) });

console.log(`${file.labels.length} points, ${file.frames} frames at ${file.rate_Hz} Hz, in ${file.units}`);
for (const { severity, code, message } of file.diagnostics) console.log(severity, code, message);

// coordinates are columns: xyz[(3 · point + axis) · frames + frame]; a point is missing where word4 is negative
file.labels.slice(0, 3).forEach((label, point) => {
  const at = [0, 1, 2].map((axis) => file.xyz[(3 * point + axis) * file.frames]?.toFixed(1));
  console.log(`${label} in the first frame: ${at.join(', ')}`);
});
