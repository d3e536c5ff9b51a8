import { describe, expect, it } from 'vitest';
import { parseFormats } from '../../../src/tables/formats.ts';

describe('the formats of --tables', () => {
  it.each([
    ['', ['csv']],
    ['parquet', ['csv', 'parquet']],
    ['xlsx,parquet', ['csv', 'parquet', 'xlsx']],
    [' Parquet , csv,csv', ['csv', 'parquet']],
  ])('%j: CSV is always among them, in one order', (text, formats) => {
    expect(parseFormats(text)).toEqual(formats);
  });
  it('an unknown one is named with what there is and what may be meant', () => {
    expect(() => parseFormats('csv,parket')).toThrow(
      new RangeError('"parket" is none of the formats csv, parquet, xlsx; did you mean parquet?'),
    );
  });
});
