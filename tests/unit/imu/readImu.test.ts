import { describe, expect, it } from 'vitest';
import { FormatError } from '../../../src/base/errors.ts';
import { isImuName, readImu } from '../../../src/imu/readImu.ts';
import { BIDS, bidsFiles, named } from '../../support/imuFiles.ts';

function codeOf(act: () => unknown): string {
  try {
    act();
  } catch (error) {
    if (error instanceof FormatError) return error.problem.code;
    throw error;
  }
  return '';
}

describe('the files of a recording', () => {
  it('one table per sensor, in the order given', () => {
    const one = readImu([named('swing7/hip.csv', 't,x\n0,1\n'), named('swing7/wrist.csv', 't,x\n0,2\n1,3\n')]);
    expect(one.kind).toBe('delimited');
    expect(one.bids).toBeNull();
    expect(one.tables.map(({ file, rows }) => [file, rows])).toEqual([
      ['hip.csv', 1],
      ['wrist.csv', 2],
    ]);
  });

  it('files of a folder that hold no numbers are left out, and it is said', () => {
    const one = readImu([named('d/readme.txt', 'A swing.\nGood one.\n'), named('d/hip.csv', 't,x\n0,1\n')]);
    expect(one.tables.length).toBe(1);
    expect(one.diagnostics).toEqual([
      {
        code: 'table-left-out',
        severity: 'warning',
        message: 'd/readme.txt is left out: no column holds numbers',
        offset: null,
      },
    ]);
  });

  it('a damaged table of a folder is not passed over', () => {
    const rows = Array.from({ length: 50 }, (_, i) => (i % 2 === 0 ? '1,2,3' : '1,2')).join('\n');
    const files = [named('d/hip.csv', 't,x\n0,1\n'), named('d/wrist.csv', `t,x,y\n${rows}\n1,2,3\n`)];
    expect(codeOf(() => readImu(files))).toBe('table-rows-unreadable');
  });

  it('none that is a table: refused with the reason of the first', () => {
    expect(codeOf(() => readImu([named('d/a.txt', 'words\n'), named('d/b.txt', 'words\n')]))).toBe(
      'table-without-numbers',
    );
    expect(codeOf(() => readImu([]))).toBe('recording-without-tables');
    expect(codeOf(() => readImu([named('a.json', '{}')]))).toBe('recording-without-tables');
  });

  it('Motion-BIDS is told by its names, and other files beside it are not read', () => {
    const one = readImu([...bidsFiles(), named('sub-01/motion/notes.txt', 'words')]);
    expect(one.kind).toBe('motion-bids');
    expect(one.diagnostics.map(({ code }) => code)).toEqual(['bids-other-files']);
  });

  it('two recordings at once, or a side-car without its recording, are refused', () => {
    const other = bidsFiles({ stem: `${BIDS.stem}b` });
    expect(codeOf(() => readImu([...bidsFiles(), ...other]))).toBe('bids-several-recordings');
    expect(codeOf(() => readImu(bidsFiles().slice(1)))).toBe('bids-recording-missing');
  });

  it('a name that only ends like Motion-BIDS is a plain table', () => {
    const one = readImu([named('my_motion.tsv', 't\tx\n0\t1\n')]);
    expect(one.kind).toBe('delimited');
    expect(one.tables[0]!.columns).toEqual(['t', 'x']);
  });

  it.each([
    ['a/b.csv', true],
    ['B.CSV', true],
    ['c.tsv', true],
    ['d.txt', true],
    ['e.c3d', false],
    ['csv', false],
    ['f.csv.gz', false],
  ])('isImuName(%s) is %s', (path, expected) => {
    expect(isImuName(path)).toBe(expected);
  });
});
