import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runDay } from '../../../src/batch/runDay.ts';

const DATA = join(import.meta.dirname, '../../../samples/day/plover');
const QUIET = { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} };

const DAY = `swingbasis: 1
day: d
lab: {up: +Z, target: +X, units: mm}
players: [{id: emu, hand: right}]
clubs: [{id: driver, kind: driver, face_centre_mm: [46.067, -15.125, 13.003]}]
trials:
  - {file: 0-static.c3d, role: static}
  - {file: 1-driver-1.c3d, club: driver}
compare: {checkpoints: rules/own.yaml}
`;
const RULES = `swingbasis: 1
checkpoints:
  - {name: "upward, well", quantity: club.attack, band: {low: 3}, note: "=own"}
  - {name: as the irons, quantity: thorax.turn, position: P4, against: reference}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'checkpoints-'));
  mkdirSync(join(folder, 'rules'));
  writeFileSync(join(folder, 'day.yaml'), DAY);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = () =>
  runDay(
    {
      dayFile: join(folder, 'day.yaml'),
      data: DATA,
      out: join(folder, 'out'),
      lab: null,
      curves: false,
      strict: false,
      orders: [],
    },
    QUIET,
  );

describe('a day with checkpoints of its own, its captures elsewhere', () => {
  it('without the file is refused, with the line that names it', async () => {
    const refused = await run();
    expect(refused.ok).toBe(false);
    if (!refused.ok) {
      expect(refused.problems).toHaveLength(1);
      expect(refused.problems[0]).toMatch(/day\.yaml:9:24: compare\.checkpoints: rules\/own\.yaml cannot be read: /);
    }
  });

  it('reads the file beside the day file, and run.json names it with its SHA-256', async () => {
    writeFileSync(join(folder, 'rules/own.yaml'), RULES);
    expect((await run()).ok).toBe(true);
    const sha256 = createHash('sha256').update(RULES).digest('hex');
    const record = JSON.parse(readFileSync(join(folder, 'out/run.json'), 'utf8')) as {
      checkpoints: unknown;
      inputs: { path: string }[];
    };
    expect(record.checkpoints).toEqual({ set: 'file', file: 'rules/own.yaml', sha256 });
    expect(record.inputs).toContainEqual({ path: 'rules/own.yaml', bytes: RULES.length, sha256 });
    const rows = parse(readFileSync(join(folder, 'out/tables/checkpoints.csv')), { columns: true }) as Record<
      string,
      string
    >[];
    expect(rows.map((row) => [row['checkpoint'], row['state'], row['note'], row['source']])).toEqual([
      ['upward, well', 'met', "'=own", ''],
      ['as the irons', 'not-measured', '', ''],
    ]);
    // one swing, and no irons to compare it with
    expect(rows[0]!['remarks']).toBe('one swing: its scatter is not known');
    expect(rows[1]!['reason']).toBe('no comparison with the irons');
  });
});
