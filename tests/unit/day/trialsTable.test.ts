import { describe, expect, it } from 'vitest';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';

const DAY = `swingbasis: 1
day: Range day
players: [{id: emu}]
clubs: [{id: dr, kind: driver}]
trials_csv: trials.csv
`;
const LISTING = ['a.c3d', 'b.c3d', 'ü.c3d'];

function read(bytes: Uint8Array, text = DAY) {
  return readDay(text, { file: 'day.yaml', listing: LISTING, trialsCsv: () => bytes });
}

const utf8 = (text: string) => new TextEncoder().encode(text);

function utf16(text: string, highFirst: boolean, mark: boolean): Uint8Array {
  const bytes: number[] = [];
  for (const unit of (mark ? '\uFEFF' : '') + text) {
    const code = unit.charCodeAt(0);
    bytes.push(...(highFirst ? [code >> 8, code & 255] : [code & 255, code >> 8]));
  }
  return Uint8Array.from(bytes);
}

const TABLE = 'file;club;use;rate_Hz;note\r\na.c3d;dr;yes;239,76;"one; two"\r\nb.c3d;dr;no;;für\r\n';

describe('a table of trials is read whatever wrote it, and what was recognised is said', () => {
  const latin = Uint8Array.from([...TABLE].map((character) => character.charCodeAt(0)));
  const cases: readonly (readonly [string, Uint8Array, string])[] = [
    ['UTF-8', utf8(TABLE), 'UTF-8'],
    ['UTF-8 with a mark', utf8(`\uFEFF${TABLE}`), 'UTF-8 with mark'],
    ['UTF-16 with a mark, low byte first', utf16(TABLE, false, true), 'UTF-16, low byte first'],
    ['UTF-16 with a mark, high byte first', utf16(TABLE, true, true), 'UTF-16, high byte first'],
    ['UTF-16 without a mark', utf16(TABLE, false, false), 'UTF-16, low byte first'],
    ['Windows-1252', latin, 'Windows-1252'],
  ];
  it.each(cases)('%s', (_, bytes, encoding) => {
    const { plan, problems, notes } = read(bytes);
    expect(problems).toEqual([]);
    expect(notes[0]).toBe(`trials.csv: 2 trials, ${encoding}, semicolons, CRLF line ends, decimal comma`);
    expect(plan?.trials.map((trial) => [trial.id, trial.club, trial.use, trial.rate_Hz, trial.note])).toEqual([
      ['a', 'dr', true, 239.76, 'one; two'],
      ['b', 'dr', false, null, 'für'],
    ]);
  });

  it.each([
    ['commas', ','],
    ['semicolons', ';'],
    ['tabs', '\t'],
  ])('%s', (name, separator) => {
    const { plan, notes } = read(utf8(`file,club,insist\na.c3d,dr,up hand\n`.replaceAll(',', separator)));
    expect(notes[0]).toBe(`trials.csv: 1 trials, UTF-8, ${name}, LF line ends`);
    expect(plan?.trials[0]).toMatchObject({ id: 'a', club: 'dr', insist: ['up', 'hand'] });
  });

  it('a first line sep=; is passed over, and lines still count from the top', () => {
    const { problems } = read(utf8('sep=;\r\nfile;club\r\na.c3d;dr\r\nc.c3d;dr\r\n'));
    expect(problems.map(renderProblemLine)).toEqual([
      'trials.csv:4:1: c.c3d is not in the data folder; did you mean a.c3d?',
    ]);
  });

  it('the euro sign and long dash of Windows-1252 are read (0x80, 0x96; WHATWG Encoding Standard, index windows-1252)', () => {
    const { plan } = read(Uint8Array.from([...utf8('file,note\na.c3d,'), 0x80, 0x96, 10]));
    expect(plan?.trials[0]?.note).toBe('€–');
  });
});

describe('problems of a table have the line of the table and the number of the field', () => {
  it.each([
    ['an unknown column', 'file,clubb\na.c3d,dr\n', ['trials.csv:1:2: "clubb" is not a column of trials; did you mean club?']],
    ['a column twice', 'file,club,club\na.c3d,dr,dr\n', ['trials.csv:1:3: the column club stands there twice']],
    ['no file column', 'club\ndr\n', ['trials.csv:1:1: the table of trials needs a column file (or pattern)', 'trials.csv:2:1: trials[1]: a trial needs either file or pattern']],
    ['an unknown club', 'file,club\n\na.c3d,dx\n', ['trials.csv:3:2: no club has the id dx; did you mean dr?']],
    ['a value that is no number', 'file,rate_Hz\na.c3d,fast\n', ['trials.csv:2:2: trials[1].rate_Hz: "fast" stands here; expected a number']],
    ['neither yes nor no', 'file,use\na.c3d,perhaps\n', ['trials.csv:2:2: trials[1].use: "perhaps": write yes or no']],
    ['an unknown fact', 'file,club\na.c3d,?\n', ['trials.csv:2:2: trials[1].club is still unknown (?): write its value, or remove the line where it may stay unknown']],
    ['a row that is too long', 'file,note\na.c3d,one,two\n', ['trials.csv:2:3: this row has 3 fields, the header 2; put quotes around a field with commas']],
    ['a quote that stays open', 'file,note\na.c3d,"one\n', ['trials.csv:2:1: the table cannot be read: Quote Not Closed: the parsing is finished with an opening quote at line 2']],
    ['an empty table', '', ['trials.csv:1:1: the table of trials is empty; its first line names the columns, such as file,player,club']],
  ])('%s', (_, text, lines) => {
    const { plan, problems } = read(utf8(text));
    expect(plan).toBeNull();
    expect(problems.map(renderProblemLine)).toEqual(lines);
  }); // biome-ignore format: one case a line

  it('a table that is not there, one that leaves the folder, and both kinds of trials are said in the day file', () => {
    const gone = readDay(DAY, {
      file: 'day.yaml',
      listing: LISTING,
      trialsCsv: () => {
        throw new Error('no such file');
      },
    });
    expect(gone.problems.map(renderProblemLine)).toEqual([
      'day.yaml:5:13: trials_csv: trials.csv cannot be read: no such file',
    ]);
    const out = read(utf8(''), DAY.replace('trials.csv', '../t.csv'));
    expect(out.problems[0]?.code).toBe('path-leaves-folder');
    const both = read(utf8('file\na.c3d\n'), `${DAY}trials: [{file: a.c3d}]\n`);
    expect(both.problems.map(renderProblemLine)).toEqual([
      'day.yaml:5:13: trials and trials_csv are both given; keep one',
    ]);
  });
});
