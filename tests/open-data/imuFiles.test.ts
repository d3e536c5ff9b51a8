import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readImu } from '../../src/imu/readImu.ts';
import { openData } from '../support/openData.ts';

/** Rows counted with wc -l, without the header; the columns are the first line of each file. */
const FILES: readonly (readonly [string, number, number])[] = [
  ['imu/rigid/broad-06-fast-rotation-30s.csv', 8570, 15],
  ['imu/body/hip.csv', 10_000, 11],
  ['imu/body/lower_back.csv', 10_000, 11],
  ['imu/body/upper_back.csv', 10_000, 11],
  ['imu/body/hand_left.csv', 10_000, 11],
];

describe.skipIf(openData(FILES[0]![0]) === null)('open recordings of sensors', () => {
  it.each(FILES)(
    '%s: %i rows of %i columns, every value bit for bit as a plain split and Number give it',
    (path, rows, columns) => {
      const bytes = readFileSync(openData(path)!);
      const { tables, diagnostics } = readImu([{ path, bytes }]);
      const table = tables[0]!;
      const [header, ...lines] = bytes.toString('latin1').trimEnd().split(/\r?\n/);
      expect(table.columns).toEqual(header!.split(','));
      expect([table.rows, table.columns.length]).toEqual([rows, columns]);
      expect(lines.length).toBe(rows);
      let differ = 0;
      for (const [r, line] of lines.entries()) {
        for (const [c, cell] of line.split(',').entries()) {
          if (!Object.is(table.values[c * rows + r], Number(cell))) differ += 1;
        }
      }
      expect(differ).toBe(0);
      expect(diagnostics).toEqual([]);
      expect(table.words).toEqual([]);
    },
  );

  it('the four sensors of a body are one recording of four tables', () => {
    const paths = FILES.slice(1).map(([path]) => path);
    const one = readImu(paths.map((path) => ({ path, bytes: readFileSync(openData(path)!) })));
    expect(one.tables.map(({ file }) => file)).toEqual([
      'hip.csv',
      'lower_back.csv',
      'upper_back.csv',
      'hand_left.csv',
    ]);
  });
});
