import { createHash } from 'node:crypto';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { TABLES, type TableSources } from '../../../src/tables/allTables.ts';
import { csvText, numberColumn, type Table, textColumn } from '../../../src/tables/csv.ts';
import { sheetOf, workbookBytes } from '../../../src/tables/xlsx.ts';
import { fixtureCheckpoints } from '../../support/checkpointFixture.ts';
import { readWorkbook } from '../../support/xlsxSlowReader.ts';
import { comparisonOf, outcomeOf, ROW, recordOf, seriesOf } from './fixture.ts';

const SOURCES: TableSources = {
  records: [recordOf('a'), recordOf('b')],
  comparisons: [{ ...comparisonOf('auk', [ROW]), checkpoints: fixtureCheckpoints() }],
  outcomes: [outcomeOf('a', { record: recordOf('a'), reason: '=1+1' }), outcomeOf('s', { role: 'static' })],
  repeatability: [],
  seriesOf,
};

interface Line {
  readonly text: string;
  readonly size: number | null;
}

const SMALL: Table<Line> = {
  name: 'small',
  about: 'Two kinds of column.',
  columns: [
    textColumn('text', 'a text', ({ text }) => text),
    numberColumn('size', 'mm', 'a size', ({ size }) => size, 2),
  ],
};

describe('the workbook, read back by a plain reader', () => {
  it('has a sheet for each table, names and units on top in view, and the fields of the CSV', async () => {
    const sheets = TABLES.map((table) => table.write(SOURCES, (one, rows) => sheetOf(one, rows())));
    const back = readWorkbook(await workbookBytes(sheets));
    expect(back.map(({ name }) => name)).toEqual(TABLES.map(({ name }) => name));
    for (const [i, { name, rows, frozenRows, formulas }] of back.entries()) {
      const { columns, write } = TABLES[i]!;
      expect([frozenRows, formulas], name).toEqual([2, 0]);
      expect(rows[0], name).toEqual(columns.map((column) => column.name));
      expect(
        columns.map((_, j) => rows[1]![j] ?? ''),
        name,
      ).toEqual(columns.map(({ unit }) => unit));
      const text = write(SOURCES, (one, all) => [...csvText(one, all())].join(''));
      const fields = parse(text, { from_line: 2, record_delimiter: '\r\n' }) as string[][];
      const shown = (field: string, j: number): string | number | null => {
        if (field === '') return null;
        return columns[j]!.kind === 'text' ? field.replace(/^'(?=[=+\-@\t])/, '') : Number(field);
      };
      const wanted = fields.map((row) => row.map(shown));
      expect(
        rows.slice(2).map((row) => columns.map((_, j) => row[j] ?? null)),
        name,
      ).toEqual(wanted);
    }
  });

  it.each([
    '=1+1',
    '+1',
    '@x',
    ' spaces ',
    'a\tb\nc\r\nd',
    '<&>"\'',
    'bell \u0007 and null \u0000',
    '_x0041_',
    'delete \u007F, not a character \uFDD0',
    'ü 🏌',
    '007',
  ])('%j is read back as it is, as text', async (text) => {
    const back = readWorkbook(await workbookBytes([sheetOf(SMALL, [{ text, size: null }])]));
    expect(back[0]!.rows[2]![0]).toBe(text);
    expect(back[0]!.formulas).toBe(0);
  });

  it('has no half of a pair of code units, and no text longer than a cell holds', async () => {
    const lines = [`a\uD83Cb`, 'x'.repeat(40_000)].map((text) => ({ text, size: 1 }));
    const { rows } = readWorkbook(await workbookBytes([sheetOf(SMALL, lines)]))[0]!;
    expect(rows[2]![0]).toBe('a\uFFFDb');
    // 32,767 characters: limit of the common spreadsheet programs, from memory
    expect(rows[3]![0]).toBe(`${'x'.repeat(32_766)}…`);
  });

  it('says so where a table has more rows than a sheet holds, and holds none of them', () => {
    const lines = Array.from({ length: 9 }, (_, i): Line => ({ text: 't', size: i }));
    expect(sheetOf(SMALL, lines, 11).data).toHaveLength(11);
    expect(sheetOf(SMALL, lines, 10).data.slice(2)).toEqual([
      ['9 rows are more than a sheet holds; they are in small.csv'],
    ]);
  });

  it('has the same bytes at any time, in any zone, on every Node version', async () => {
    const rows = Array.from({ length: 500 }, (_, i): Line => ({ text: `t${i % 7}`, size: i / 7 }));
    const bytes = await workbookBytes([sheetOf(SMALL, rows)]);
    // APPNOTE 4.4.6: time and date of the first entry are bytes 10 to 13; 1 January 1980, 0 h is 0 and 0x21
    expect([...bytes.subarray(10, 14)]).toEqual([0, 0, 0x21, 0]);
    // no outside source: the bytes of the first run, so that another Node version that packs otherwise is seen
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(
      'f18e142126522d484f08f84426fd305620ba73774bb43ad8dd40708df2db9a80',
    );
  });
});
