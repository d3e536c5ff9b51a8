import { describe, expect, it } from 'vitest';
import { FormatError, type FormatProblem } from '../../../src/base/errors.ts';
import { readImu } from '../../../src/imu/readImu.ts';
import type { ImuRecording, SensorTable } from '../../../src/imu/types.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { latin1, utf8, utf16 } from '../../support/imuFiles.ts';

function read(text: string | Uint8Array, path = 'day/hip.csv'): ImuRecording {
  return readImu([{ path, bytes: typeof text === 'string' ? utf8(text) : text }]);
}

function table(text: string | Uint8Array): SensorTable {
  return read(text).tables[0]!;
}

function column(of: SensorTable, name: string): number[] {
  const c = of.columns.indexOf(name);
  return [...of.values.subarray(c * of.rows, (c + 1) * of.rows)];
}

function codes(recording: ImuRecording): string[] {
  return recording.diagnostics.map(({ code }) => code);
}

function problem(text: string | Uint8Array): FormatProblem {
  try {
    read(text);
  } catch (error) {
    if (error instanceof FormatError) return error.problem;
    throw error;
  }
  throw new Error('the table was read');
}

const NaN_ = Number.NaN;
const PLAIN = 't,gyro_x,gyro_y\n0,1.5,-2\n0.01,2.5,-3\n0.02,3.5,-4\n';
const VALUES = [0, 0.01, 0.02, 1.5, 2.5, 3.5, -2, -3, -4];

describe('every form of the same table gives the same numbers', () => {
  const tab = PLAIN.replaceAll(',', '\t');
  const semicolon = PLAIN.replaceAll(',', ';');
  it.each<[string, string | Uint8Array]>([
    ['commas', PLAIN],
    ['semicolons', semicolon],
    ['tabs', tab],
    ['blanks', PLAIN.replaceAll(',', ' ')],
    ['runs of blanks, before and behind too', PLAIN.replaceAll(',', '   ').replaceAll('\n', ' \n  ')],
    ['blanks and tabs mixed', PLAIN.replaceAll(',', ' \t')],
    ['commas with blanks', PLAIN.replaceAll(',', ' , ')],
    ['semicolons and decimal commas', semicolon.replaceAll('.', ',')],
    ['tabs and decimal commas', tab.replaceAll('.', ',')],
    ['a delimiter at the end of every row', PLAIN.replaceAll('\n', ',\n')],
    ['a delimiter at the end of every row but the header', PLAIN.replaceAll('\n', ',\n').replace('y,', 'y')],
    ['CRLF', PLAIN.replaceAll('\n', '\r\n')],
    ['CR', PLAIN.replaceAll('\n', '\r')],
    ['no line end at the end', PLAIN.trimEnd()],
    ['blank lines between', PLAIN.replaceAll('\n', '\n\n')],
    ['quoted cells', PLAIN.replaceAll(/[^,\n]+/g, '"$&"')],
    ['comments above the header', `# made by hand\n  # 3 rows\n${PLAIN}`],
    ['a hundred comments above the header', `${'# a comment\n'.repeat(100)}${PLAIN}`],
    ['comments between the rows', PLAIN.replace('\n0.02', '\n# pause\n0.02')],
    ['lines of another width above the header', `Recording\nof a hip, twice\n\n${PLAIN}`],
    ['a mark of UTF-8', utf8(`\ufeff${PLAIN}`)],
    ['UTF-16, low byte first', utf16(PLAIN, false, true)],
    ['UTF-16, high byte first', utf16(PLAIN, true, true)],
    ['UTF-16 without its mark', utf16(PLAIN, false, false)],
  ])('%s', (_, text) => {
    const one = table(text);
    expect(one.columns).toEqual(['t', 'gyro_x', 'gyro_y']);
    expect([...one.values]).toEqual(VALUES);
    expect(one.rows).toBe(3);
    expect(one.file).toBe('hip.csv');
    expect(one.words).toEqual([]);
  });

  it('commas between integers stay delimiters even where a tab or semicolon stands in a name', () => {
    expect([...table('a;b,c\n1,2\n3,4\n5,6\n').values]).toEqual([1, 3, 5, 2, 4, 6]);
  });
});

describe('header and units', () => {
  it('without a header the columns are called by their number, and it is said', () => {
    const one = read('0,1.5\n0.01,2.5\n');
    expect(one.tables[0]!.columns).toEqual(['col_1', 'col_2']);
    expect([...one.tables[0]!.values]).toEqual([0, 0.01, 1.5, 2.5]);
    expect(codes(one)).toEqual(['header-missing']);
  });

  it('a header in the last comment is taken', () => {
    const one = read('# a recording\n# t,gyro_x\n0,1.5\n0.01,2.5\n');
    expect(one.tables[0]!.columns).toEqual(['t', 'gyro_x']);
    expect(codes(one)).toEqual(['header-from-comment']);
  });

  it('units in brackets behind the name, where they are units', () => {
    const one = table(
      't [s],gyro x (deg/s),acc (m/s²),acc[0],gyro (left),mag [µT],q [w]\n0,1,2,3,4,5,6\n1,1,2,3,4,5,6\n',
    );
    expect(one.columns).toEqual(['t', 'gyro x', 'acc', 'acc[0]', 'gyro (left)', 'mag', 'q [w]']);
    expect(one.units).toEqual(['s', 'deg/s', 'm/s²', '', '', 'µT', '']);
  });

  it('a row of units under the header, in Windows-1252 as well', () => {
    const one = table(latin1('t;gyro;acc;sensor\n[s];\xb0/s;m/s\xb2;\n0;1,5;2;hip\n1;1,5;2;hip\n'));
    expect(one.units).toEqual(['s', '°/s', 'm/s²', '']);
    expect(one.columns).toEqual(['t', 'gyro', 'acc', 'sensor']);
    expect(one.rows).toBe(2);
  });

  it('two rows of names are joined, and it is said; units may follow', () => {
    const one = read('hip,hip,wrist,wrist\ngx,gy,gx,gy\ndeg/s,deg/s,deg/s,deg/s\n0,1,2,3\n1,2,3,4\n');
    expect(one.tables[0]!.columns).toEqual(['hip gx', 'hip gy', 'wrist gx', 'wrist gy']);
    expect(one.tables[0]!.units).toEqual(['deg/s', 'deg/s', 'deg/s', 'deg/s']);
    expect(codes(one)).toEqual(['header-rows-joined']);
  });

  it('a column without a name gets one, and names that repeat are told', () => {
    const one = read(',gx,gx\n0,1,2\n1,2,3\n');
    expect(one.tables[0]!.columns).toEqual(['col_1', 'gx', 'gx']);
    expect(codes(one)).toEqual(['column-names-repeated']);
  });
});

describe('cells', () => {
  it('empty, n/a, NaN and null are missing without a word about it', () => {
    const one = read('t,a,b\n0,,n/a\n1,NaN,nan\n2, ,N/A\n3,"",null\n4,-nan,"n/a"\n5,1,2\n');
    expect(column(one.tables[0]!, 'a')).toEqual([NaN_, NaN_, NaN_, NaN_, NaN_, 1]);
    expect(column(one.tables[0]!, 'b')).toEqual([NaN_, NaN_, NaN_, NaN_, NaN_, 2]);
    expect(one.diagnostics).toEqual([]);
  });

  it('a column of words is kept as words in the order of their first row', () => {
    const bytes = latin1('t,sensor,a\n0,H\xfcfte,1\n0,wrist,2\n1,"H\xfcfte",3\n1,,4\n2,"a ""b"", c",5\n3,n/a,6\n');
    const one = table(bytes);
    expect(one.words).toEqual([
      { column: 1, words: ['Hüfte', 'wrist', 'a "b", c'], index: Int32Array.of(0, 1, 0, -1, 2, -1) },
    ]);
    expect(column(one, 'a')).toEqual([1, 2, 3, 4, 5, 6]);
    expect(column(one, 'sensor')).toEqual([NaN_, NaN_, NaN_, NaN_, NaN_, NaN_]);
  });

  it('more words than are told apart by their bytes', () => {
    const rows = Array.from({ length: 200 }, (_, i) => `${i},w${i % 70}`);
    const one = table(`t,word\n${rows.join('\n')}\n`);
    expect(one.words[0]!.words.length).toBe(70);
    expect([...one.words[0]!.index]).toEqual(rows.map((_, i) => i % 70));
  });

  it('words that begin late in a column without numbers make it a column of words', () => {
    const rows = Array.from({ length: 5000 }, (_, i) => `${i},${i === 150 ? 'start' : ''}`);
    const one = table(`t,event\n${rows.join('\n')}\n`);
    expect(one.words[0]!.words).toEqual(['start']);
    expect(one.words[0]!.index[150]).toBe(0);
    expect(one.words[0]!.index[151]).toBe(-1);
  });

  it('a few cells that are no numbers become NaN, with their count and the first place', () => {
    const rows = Array.from({ length: 100 }, (_, i) => `${i},${i === 7 || i === 9 ? 'ERR' : i}`);
    const text = `t,gyro\n${rows.join('\n')}\n`;
    const one = read(text);
    expect(column(one.tables[0]!, 'gyro')[7]).toBeNaN();
    expect(column(one.tables[0]!, 'gyro')[8]).toBe(8);
    expect(one.diagnostics).toEqual([
      {
        code: 'cells-not-numbers',
        severity: 'warning',
        message: "day/hip.csv, line 9, column gyro (2): 2 cells are no numbers, first 'ERR'; counted as missing",
        offset: text.indexOf('ERR'),
      },
    ]);
  });

  it.each(['inf', '-Infinity', '1e999', '0x10', '1.2.3', '1,5', '12:30', '1 5'])('"%s" is no number', (cell) => {
    const rows = Array.from({ length: 30 }, (_, i) => `${i};${i === 7 ? cell : `${i}.5`}`);
    const one = read(`t;gyro\n${rows.join('\n')}\n`);
    expect(codes(one)).toEqual(['cells-not-numbers']);
    expect(column(one.tables[0]!, 'gyro')[7]).toBeNaN();
  });

  it('more than a tenth of a column: refused with file, line, column, found, expected and a way out', () => {
    const rows = Array.from({ length: 100 }, (_, i) => `${i},${i > 1 && i % 8 === 0 ? 'ERR' : i}`);
    const text = `t,gyro\n${rows.join('\n')}\n`;
    expect(problem(text)).toEqual({
      file: 'day/hip.csv',
      code: 'table-cells-unreadable',
      offset: text.indexOf('ERR'),
      path: ['line 10', 'column gyro (2)'],
      found: "12 of 100 cells are no numbers; the first is 'ERR'",
      expected: 'numbers',
      wayOut: 'Export the file again; check the decimal mark and the delimiter.',
    });
  });
});

describe('rows', () => {
  it('a few rows of another width are left out, with their count and the first place', () => {
    const rows = Array.from({ length: 50 }, (_, i) => `${i},${i},${i}`);
    rows[20] = '20,20';
    rows[30] = '30,30,30,30';
    rows.push('50,5');
    const text = `t,a,b\n${rows.join('\n')}`;
    const one = read(text);
    expect(one.tables[0]!.rows).toBe(48);
    expect(column(one.tables[0]!, 't')).toEqual(rows.map((_, i) => i).filter((i) => ![20, 30, 50].includes(i)));
    expect(column(one.tables[0]!, 'b')).toEqual(column(one.tables[0]!, 't'));
    expect(one.diagnostics).toEqual([
      {
        code: 'rows-of-another-width',
        severity: 'warning',
        message: 'day/hip.csv: 3 rows are left out of 51: line 22 has 2 cells, the others 3 cells',
        offset: text.indexOf('20,20'),
      },
    ]);
  });

  it('bad cells of a row that is left out are not counted', () => {
    const rows = Array.from({ length: 50 }, (_, i) => `${i},${i},${i}`);
    rows[20] = '20,ERR';
    expect(codes(read(`t,a,b\n${rows.join('\n')}`))).toEqual(['rows-of-another-width']);
  });

  it('more than a tenth of them: refused', () => {
    const rows = Array.from({ length: 50 }, (_, i) => (i % 5 === 4 ? `${i},${i}` : `${i},${i},${i}`));
    expect(problem(`t,a,b\n${rows.join('\n')}`)).toMatchObject({
      code: 'table-rows-unreadable',
      path: ['line 6'],
      found: '10 of 50 rows do not have 3 cells; the first is line 6 with 2 cells',
      expected: '3 cells in every row',
    });
  });

  it.each<[string, string | Uint8Array, string]>([
    ['an empty file', '', 'table-without-numbers'],
    ['blank lines only', '\n\n \n', 'table-without-numbers'],
    ['a header only', 't,gyro_x\n', 'table-without-numbers'],
    ['comments only', '# a\n# b\n', 'table-without-numbers'],
    ['words only', 'name,place\nhip,sacrum\nwrist,arm\n', 'table-without-numbers'],
    ['prose', 'This folder holds a day.\nNothing else is in it.\n', 'table-without-numbers'],
    ['a workbook', Uint8Array.of(80, 75, 3, 4, 20, 0, 6, 0, 8, 0, 0, 0, 33, 0), 'table-not-text'],
    ['a line without an end', `1,2,3${',1'.repeat(600_000)}`, 'table-not-text'],
  ])('%s is refused', (_, text, code) => {
    expect(problem(text).code).toBe(code);
  });
});

describe('what is written is read', () => {
  const random = createRandom(7);
  const DELIMITERS = [',', ';', '\t', ' '];
  const ENDS = ['\n', '\r\n', '\r'];
  it('500 seeded tables in every delimiter, decimal mark, line end and encoding: the same bits', () => {
    for (let i = 0; i < 500; i++) {
      const columns = 2 + random.int(6);
      const rows = 1 + random.int(40);
      const delimiter = DELIMITERS[random.int(4)]!;
      const comma = (delimiter === ';' || delimiter === '\t') && random.int(2) === 0;
      const end = ENDS[random.int(3)]!;
      const expected = new Float64Array(columns * rows);
      const lines = [Array.from({ length: columns }, (_, c) => `name_${c}`).join(delimiter)];
      for (let r = 0; r < rows; r++) {
        const cells: string[] = [];
        for (let c = 0; c < columns; c++) {
          const kind = random.int(8);
          // The first column and row have decimals, so that the decimal mark shows; the first row has numbers.
          const value =
            kind === 0 && r > 0 && c > 0
              ? NaN_
              : kind === 1 && c > 0
                ? random.int(2000) - 1000
                : 40 * random.normal() + 0.5;
          expected[c * rows + r] = value;
          const text = Number.isNaN(value)
            ? delimiter === ' '
              ? 'NaN'
              : ['', 'n/a', 'NaN'][random.int(3)]!
            : String(value);
          cells.push(comma ? text.replace('.', ',') : text);
        }
        lines.push(cells.join(delimiter));
      }
      const text = lines.join(end) + (random.int(2) === 0 ? end : '');
      const bytes = [utf8, latin1, (t: string) => utf8(`\ufeff${t}`), (t: string) => utf16(t, true, true)][
        random.int(4)
      ]!(text);
      const one = table(bytes);
      if (one.rows !== rows || one.columns.length !== columns || !same(one.values, expected)) {
        expect({ text, values: [...one.values] }).toEqual({ text, values: [...expected] });
      }
    }
  });
});

function same(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => Object.is(value, b[i]));
}
