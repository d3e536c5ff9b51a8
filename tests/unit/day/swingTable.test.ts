import { describe, expect, it } from 'vitest';
import { readSwingTable, type TableRequest } from '../../../src/day/swingTable.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);

const REQUEST: TableRequest = {
  swingId: null,
  player: 'who',
  group: 'club',
  values: 'a,b',
  by: null,
  of: 'driver',
  against: 'iron*',
  margin: null,
  primary: null,
};

const TABLE =
  'who,club,a,b,note\nwren,driver,1.5,2,x\nwren,iron5,-3,,y\nheron,iron7,4e1,.5,\n,driver,1,1,\nwren,wood3,9,9,\n';

const read = (text: string | Uint8Array, changes: Partial<TableRequest> = {}) =>
  readSwingTable(typeof text === 'string' ? utf8(text) : text, 't.csv', { ...REQUEST, ...changes });

/** 'wren driver 1.5 2' a swing, NaN as '.' */
const swings = (text: string | Uint8Array, changes: Partial<TableRequest> = {}) =>
  read(text, changes).table.swings.map(({ player, by, group, values }) =>
    [player, ...by, group, ...Array.from(values, (value) => (Number.isNaN(value) ? '.' : value))].join(' '),
  );

describe('a table of swings', () => {
  it('gives the swings of both sides, blanks as missing, rows without a player left out and told', () => {
    const { table, notes, problems } = read(TABLE);
    expect(table.columns).toEqual(['a', 'b']);
    expect(swings(TABLE)).toEqual(['wren driver 1.5 2', 'wren iron5 -3 .', 'heron iron7 40 0.5']);
    expect(table.swings.map(({ line }) => line)).toEqual([2, 3, 4]);
    expect(notes).toEqual([
      't.csv: 5 rows, UTF-8, commas, LF line ends',
      't.csv: 1 rows without a who or club are left out',
    ]);
    expect(problems).toEqual([]);
  });
  it('without a column of players is one player', () => {
    expect(swings(TABLE, { player: null })).toContain('all driver 1 1');
  });
  it.each([
    [
      'semicolons and decimal commas',
      'who;club;a;b\r\nwren;driver;1,5;-2,25\r\nwren;iron5;3;,5\r\n',
      'semicolons, CRLF line ends, decimal comma',
    ],
    ['tabs', 'who\tclub\ta\tb\nwren\tdriver\t1.5\t-2.25\nwren\tiron5\t3\t0.5\n', 'tabs, LF line ends'],
    [
      'commas, decimal commas in quotes',
      'who,club,a,b\nwren,driver,"1,5","-2,25"\nwren,iron5,3,"0,5"\n',
      'commas, LF line ends, decimal comma',
    ],
  ])('%s are recognised and said', (_, text, said) => {
    expect(swings(text)).toEqual(['wren driver 1.5 -2.25', 'wren iron5 3 0.5']);
    expect(read(text).notes[0]).toBe(`t.csv: 2 rows, UTF-8, ${said}`);
  });
  it('UTF-16 and Windows-1252 are read, with a minus sign of print', () => {
    const text = 'who;club;a;b\nwren;driver;\u22121;2\nw\u00fcrger;iron5;1;2\n';
    const wide = Uint8Array.from([...`\uFEFF${text}`].flatMap((c) => [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8]));
    expect(swings(wide)).toEqual(['wren driver -1 2', 'würger iron5 1 2']);
    const latin = Uint8Array.from([...text.replace('\u2212', '-')].map((c) => c.charCodeAt(0)));
    expect(read(latin).notes[0]).toContain('Windows-1252');
    expect(swings(latin)).toContain('würger iron5 1 2');
  });
  it('what is no number is left out, one line a column with the first place', () => {
    const text =
      'who,club,a,b\nwren,driver,fast,1\nwren,iron5,"1,5",NA\nwren,iron5,1.5,n/a\nwren,iron5,1e999,-\nwren,iron5,inf,?\n';
    const { problems } = read(text);
    expect(problems).toEqual(['t.csv:2: a: "fast" is no number; left out, and 3 more of this column']);
    expect(swings(text)).toEqual([
      'wren driver . 1',
      'wren iron5 . .',
      'wren iron5 1.5 .',
      'wren iron5 . .',
      'wren iron5 . .',
    ]);
    const comma = read('who,club,a,b\nwren,driver,"1,5",0.5\nwren,iron5,1,1\n');
    expect(comma.problems).toEqual(['t.csv:2: a: "1,5" is no number: the table has decimal points; left out']);
  });
  it('* stands for any letters in columns and groups; a column found so that holds no number is passed over', () => {
    const { table, notes } = read(TABLE, { values: '*' });
    expect(table.columns).toEqual(['a', 'b']);
    expect(notes).toContain('t.csv: passed over, no numbers: note');
    expect(swings(TABLE, { against: 'iron5,w*' })).toEqual(['wren driver 1.5 2', 'wren iron5 -3 .', 'wren wood3 9 9']);
  });
  it('keeps apart by columns, and takes a swing once for each', () => {
    const text =
      'who,club,a,b,view,id\nwren,driver,1,1,front,s1\nwren,driver,2,2,back,s1\nwren,driver,3,3,front,s1\nwren,iron5,4,4,front,\nwren,iron5,5,5,front,\n';
    const changes = { by: 'view', swingId: 'id' };
    expect(swings(text, changes)).toEqual([
      'wren front driver 1 1',
      'wren back driver 2 2',
      'wren front iron5 4 4',
      'wren front iron5 5 5',
    ]);
    expect(read(text, changes).problems).toEqual([
      't.csv:4: the swing s1 stands in line 2 already; the row is left out',
    ]);
  });
  it('what both sides name belongs to the narrower one', () => {
    const { plan } = read(TABLE, { of: '*', against: 'iron5' });
    expect(plan.of).toEqual({ label: 'other *', groups: ['driver', 'iron7', 'wood3'] });
    expect(plan.against).toEqual({ label: 'iron5', groups: ['iron5'] });
    expect(read(TABLE, { of: 'iron5', against: 'iron*' }).plan.against).toEqual({
      label: 'other iron*',
      groups: ['iron7'],
    });
  });
  it('margins are for all, for columns by name, as numbers or shares of the mean; the named win', () => {
    const margins = (margin: string | null) => read(TABLE, { margin }).plan.margins;
    expect(margins(null)).toEqual([null, null]);
    expect(margins('2')).toEqual([
      { kind: 'absolute', value: 2 },
      { kind: 'absolute', value: 2 },
    ]);
    expect(margins('b=.5,3%')).toEqual([
      { kind: 'share', value: 0.03 },
      { kind: 'absolute', value: 0.5 },
    ]);
    expect(margins('a=2')).toEqual([{ kind: 'absolute', value: 2 }, null]);
  });
  it('a row that is too long is left out and told', () => {
    const { problems, table } = read('who,club,a,b\nwren,driver,1,1,5\nwren,driver,2,2,\nwren,iron5,1,1\n');
    expect(problems).toEqual(['t.csv:2: 5 fields, the header has 4; the row is left out']);
    expect(table.swings.length).toBe(2);
  });
  it.each<[string, Partial<TableRequest>, string]>([
    ['', {}, '--table: t.csv is empty; its first line names the columns'],
    ['who,club,a,b\nx,"y', {}, '--table: t.csv:2: the table cannot be read'],
    [TABLE, { group: 'clubs' }, '--group: the table has no column clubs; did you mean club?'],
    [TABLE, { player: 'golfer' }, '--player: the table has no column golfer; columns are who, club, a, b, note'],
    [TABLE, { by: 'view,' }, '--by: "view," names nothing before or after a comma'],
    [TABLE, { values: 'c' }, '--values: the table has no column c; did you mean a?'],
    [TABLE, { values: 'hip*' }, '--values: no column of values fits hip*; columns are who, club'],
    [TABLE, { values: 'club' }, '--values: club already says whose swing it is'],
    ['who,club,a,b,a\n', { values: 'a' }, '--values: the column a stands there twice (fields 3 and 5)'],
    [
      TABLE,
      { of: 'drivr' },
      '--of: no row has drivr in the column club; did you mean driver?; there are driver, iron5, iron7, wood3',
    ],
    [TABLE, { against: 'driver' }, '--against: driver names the same swings as --of driver'],
    [TABLE, { margin: '0' }, '--margin: "0" is no margin; write 2, 3% or COLUMN=2 with numbers above 0'],
    [TABLE, { margin: '2,5' }, '--margin: "2,5" gives two margins for all columns'],
    [TABLE, { margin: 'c=2' }, '--margin: c is no column of values; did you mean a?'],
    [TABLE, { primary: 'note' }, '--primary: note is no column of values; they are a, b'],
  ])('%j with %j is refused', (text, changes, message) => {
    expect(() => read(text, changes)).toThrow(message);
  });
});
