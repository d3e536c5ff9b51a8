import { describe, expect, it } from 'vitest';
import { parseFormats } from '../../../src/tables/formats.ts';

describe('the formats of --tables', () => {
  it.each([
    ['', ['csv']],
    ['parquet', ['csv', 'parquet']],
    ['xlsx,parquet', ['csv', 'parquet', 'xlsx']],
    [' Parquet , csv,csv', ['csv', 'parquet']],
    ['C3D,xlsx', ['csv', 'xlsx', 'c3d']],
    ['bids,c3d', ['csv', 'c3d', 'bids']],
  ])('%j: CSV is always among them, in one order', (text, formats) => {
    expect(parseFormats(text, true)).toEqual(formats);
  });
  it('an unknown one is named with what there is and what may be meant', () => {
    expect(() => parseFormats('csv,parket', false)).toThrow(
      new RangeError('"parket" is none of the formats csv, parquet, xlsx; did you mean parquet?'),
    );
    expect(() => parseFormats('c3', true)).toThrow(/formats csv, parquet, xlsx, c3d, bids; did you mean c3d\?$/);
  });
  it('a comparison has no trials to copy, and says which command has', () => {
    expect(() => parseFormats('c3d', false)).toThrow(
      new RangeError('"c3d" copies the trials of a day: process writes it, a comparison has csv, parquet, xlsx'),
    );
  });
});
