import { describe, expect, it } from 'vitest';
import { csvHeader, csvText, numberColumn, type Table, textColumn } from '../../../src/tables/csv.ts';
import { packedTable, packRows } from '../../../src/tables/packedRows.ts';
import { parquetBytes } from '../../../src/tables/parquet.ts';
import { sheetOf } from '../../../src/tables/xlsx.ts';

interface Row {
  readonly name: string | null;
  readonly size: number | null;
}

const TABLE: Table<Row> = {
  name: 'rows',
  about: 'rows',
  columns: [
    textColumn('name', 'a text', ({ name }) => name),
    numberColumn('size', 'mm', 'a size', ({ size }) => size, 1),
    numberColumn('count', '', 'a count', ({ size }) => size, 0),
  ],
};
const ROWS: readonly Row[] = [
  { name: 'wren', size: 1.25 },
  { name: '=1+1, "two"\r\nlines', size: -0 },
  { name: null, size: null },
  { name: '', size: Number.NaN },
  { name: 'é\ud800', size: 1e9 / 3 },
];

/** Rows as another thread has them, in two parts. */
const parts = [ROWS.slice(0, 2), ROWS.slice(2)].map((rows) => structuredClone(packRows(TABLE, () => rows, true)));
const cells = parts.flatMap((part) => part.cells!);
const packed = packedTable(TABLE);

describe('packed rows', () => {
  it('are the lines of the CSV file', () => {
    const text = csvHeader(TABLE) + parts.map((part) => part.text).join('');
    expect(text).toBe([...csvText(TABLE, ROWS)].join(''));
    expect([...csvText(packed, cells)].join('')).toBe(text);
  });

  it('give the bytes of the other formats that the rows themselves give', () => {
    expect(parquetBytes(packed, cells)).toEqual(parquetBytes(TABLE, ROWS));
    expect(sheetOf(packed, cells)).toEqual(sheetOf(TABLE, ROWS));
  });

  it('have cells only where a format needs them', () => {
    expect(packRows(TABLE, () => ROWS, false).cells).toBeNull();
    expect(packRows(TABLE, () => ROWS, false).text).toBe(parts.map((part) => part.text).join(''));
  });
});
