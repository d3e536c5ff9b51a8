// Numbers in test names are rows of the design notes' table of problems people met with C3D files.
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { decodeText } from '../../../src/c3d/text.ts';
import { buildC3d, floats, ints, type RawRecord, text, texts } from '../../support/c3dBuilder.ts';
import { codes, problemOf, read, sample } from './helpers.ts';

const latin1 = (value: string): Uint8Array => Buffer.from(value, 'latin1');

describe('the chain of records', () => {
  it('row 4: more than 255 labels are continued in LABELS2 and LABELS3', () => {
    const names = Array.from({ length: 600 }, (_, i) => `M${i}`);
    const c = read({
      points: 600,
      frames: 1,
      fields: {
        'POINT:LABELS': texts(names.slice(0, 255), 5),
        'POINT:LABELS2': texts(names.slice(255, 510), 6),
        'POINT:LABELS3': texts(names.slice(510), 4),
      },
    });
    expect(c.labels).toEqual(names);
    expect(codes(c)).toEqual([]);
  });

  it('row 18: two groups of one name are merged, the first of two equal parameters holds', () => {
    const c = read({
      arrange: (records) => [
        ...records,
        { id: -10, name: 'NOTE', field: null },
        { id: 10, name: 'A', field: ints(1) },
        { id: -11, name: 'NOTE', field: null },
        { id: 11, name: 'A', field: ints(2) },
        { id: 11, name: 'B', field: ints(3) },
      ],
    });
    const note = c.groups.get('NOTE')!;
    expect([...note.parameters].map(([name, p]) => [name, p.numbers[0]])).toEqual([
      ['A', 1],
      ['B', 3],
    ]);
    expect(codes(c)).toEqual(['group-repeated', 'parameter-repeated']);
  });

  it('row 19: a gap in the group ids gives no group without a name', () => {
    const c = read({
      arrange: (r) => [...r, { id: -7, name: 'SEG', field: null }, { id: 7, name: 'N', field: ints(4) }],
    });
    expect([...c.groups.keys()]).toEqual(['POINT', 'SEG']);
    expect([...c.groups.values()].map((g) => g.id)).toEqual([1, 7]);
    expect(c.groups.get('SEG')!.parameters.get('N')!.numbers).toEqual([4]);
  });

  it('row 20: parameters before their group reach it', () => {
    const c = read({ arrange: (records) => [...records].reverse() });
    expect([c.labels, sample(c, 1, 4), codes(c)]).toEqual([['P1', 'P2'], [14, 16, 9, 0], []]);
  });

  it('parameters of an id that no group has are kept under its number', () => {
    const c = read({ arrange: (records) => [...records, { id: 9, name: 'LOST', field: ints(5) }] });
    expect(c.groups.get('#9')!.parameters.get('LOST')!.numbers).toEqual([5]);
    expect(codes(c)).toEqual(['parameter-without-group']);
  });

  it('row 21: the first two bytes of the section are ignored', () => {
    const bytes = buildC3d();
    bytes[512] = 0;
    bytes[513] = 0;
    expect(codes(readC3d(bytesSource(bytes)))).toEqual([]);
  });

  it('row 22: a wrong block count does not stop the walk', () => {
    const notes = Array.from(
      { length: 40 },
      (_, i): RawRecord => ({ id: 1, name: `NOTE${i}`, field: text('x'.repeat(60)) }),
    );
    const c = read({
      arrange: (records) => [...records.slice(0, 1), ...notes, ...records.slice(1)],
      declaredBlocks: 1,
    });
    expect([c.labels, codes(c)]).toEqual([['P1', 'P2'], ['parameter-blocks-wrong']]);
    expect(codes(read({ declaredBlocks: 0 }))).toEqual([]);
  });

  it('row 43: a last offset that leads past the data block ends the chain and its record is kept', () => {
    const c = read({
      arrange: (records) => records.map((r) => (r.name === 'UNITS' ? { ...r, next: 0x3f01 } : r)),
      terminator: false,
    });
    expect([c.units, codes(c)]).toEqual([['mm'], ['parameter-chain-past-end']]);
  });

  it('an offset of zero ends the chain without a word', () => {
    const c = read({ arrange: (records) => records.map((r) => (r.name === 'UNITS' ? { ...r, next: 0 } : r)) });
    expect([c.units, codes(c)]).toEqual([['mm'], []]);
  });

  it('row 25: a damaged chain keeps what came before; strict refuses at the damaged record', () => {
    const broken = { arrange: (records: RawRecord[]) => [...records, { id: 1, name: '\u0001\u0002', field: ints(1) }] };
    const c = read(broken);
    expect([c.labels, codes(c)]).toEqual([['P1', 'P2'], ['parameter-chain-broken']]);
    const problem = problemOf(() => read(broken, true));
    expect(problem.code).toBe('parameter-chain-broken');
    expect(problem.offset).toBe(c.diagnostics[0]!.offset);
    expect(problem.offset).toBeGreaterThan(516);
  });

  it('an offset into its own record is damage, not an endless loop', () => {
    const c = read({ arrange: (records) => records.map((r) => (r.name === 'FRAMES' ? { ...r, next: 1 } : r)) });
    expect(codes(c)).toContain('parameter-chain-broken');
    expect(c.frames).toBe(5);
  });

  it('values never reach into the next record: what fits is kept and told', () => {
    const c = read({
      arrange: (r) => [
        ...r.filter((one) => one.name !== 'UNITS'),
        { id: 1, name: 'UNITS', field: { type: 'char', dims: [4, 32], text: 'mm  m' }, description: null },
        { id: 1, name: 'LAST', field: ints(6) },
      ],
    });
    expect(c.units).toEqual(['mm']);
    expect(c.groups.get('POINT')!.parameters.get('LAST')!.numbers).toEqual([6]);
    expect(codes(c)).toEqual(['parameter-cut']);
  });

  it('seven dimensions of 255 cost no memory', () => {
    const dims = Array<number>(7).fill(255);
    const c = read({ arrange: (r) => [...r, { id: 1, name: 'HUGE', field: { type: 'float', dims, values: [1, 2] } }] });
    expect(c.groups.get('POINT')!.parameters.get('HUGE')!.numbers).toEqual([1, 2]);
    expect(codes(c)).toEqual(['parameter-cut']);
  });

  it('an unknown element type leaves its parameter out and goes on', () => {
    const odd: RawRecord = { id: 1, name: 'ODD', field: { ...ints(1), code: 3 } as RawRecord['field'] };
    const c = read({ arrange: (r) => [...r, odd, { id: 1, name: 'LAST', field: ints(6) }] });
    expect(c.groups.get('POINT')!.parameters.has('ODD')).toBe(false);
    expect(c.groups.get('POINT')!.parameters.get('LAST')!.numbers).toEqual([6]);
    expect(codes(c)).toEqual(['parameter-type-unknown']);
  });

  it('records that end before the length of their description are read', () => {
    const c = read({ arrange: (records) => records.map((r) => ({ ...r, description: null })) });
    expect([c.labels, codes(c)]).toEqual([['P1', 'P2'], ['parameter-without-description']]);
  });

  it('E24: a negative name length means locked; 0xF6 is a name of 10 characters', () => {
    // Source: c3d.org parameterformat.htm.
    const c = read({
      arrange: (r) => [...r, { id: 1, name: 'TEN_LETTER', field: ints(8), locked: true, description: 'why' }],
    });
    const found = c.groups.get('POINT')!.parameters.get('TEN_LETTER')!;
    expect(found).toMatchObject({ locked: true, numbers: [8], description: 'why', type: 'int16' });
    const bytes = buildC3d({ arrange: (r) => [...r, { id: 1, name: 'TEN_LETTER', field: ints(8), locked: true }] });
    expect(bytes[readC3d(bytesSource(bytes)).groups.get('POINT')!.parameters.get('TEN_LETTER')!.offset]).toBe(0xf6);
  });

  it('dimensions are kept and values come in storage order, first index fastest', () => {
    const c = read({
      fields: {
        'X:M': { type: 'float', dims: [2, 3], values: [1, 2, 3, 4, 5, 6] },
        'X:B': { type: 'byte', dims: [2], values: [0, 255] },
      },
    });
    const x = c.groups.get('X')!.parameters;
    expect([x.get('M')!.dimensions, x.get('M')!.numbers]).toEqual([
      [2, 3],
      [1, 2, 3, 4, 5, 6],
    ]);
    expect(x.get('B')!.numbers).toEqual([0, 255]);
  });
});

describe('text', () => {
  it('row 38: UTF-8 is read, Latin-1 is the fall-back and is told, nothing throws', () => {
    const utf8 = read({
      fields: {
        'POINT:DESCRIPTIONS': texts(
          ['Schläger', 'Fuß'].map((t) => t),
          9,
        ),
      },
    });
    expect(utf8.descriptions.length).toBe(2);
    const c = read({
      points: 1,
      fields: { 'POINT:DESCRIPTIONS': { type: 'char', dims: [8, 1], text: latin1('Schläger') } },
    });
    expect([c.descriptions, codes(c)]).toEqual([['Schläger'], ['text-not-utf8']]);
    const good = read({
      points: 1,
      fields: { 'POINT:DESCRIPTIONS': { type: 'char', dims: [9, 1], text: 'Schläger' } },
    });
    expect([good.descriptions, codes(good)]).toEqual([['Schläger'], []]);
  });

  it('is cut at a zero byte and loses blanks at its ends', () => {
    expect(decodeText(latin1('  M1\0junk')).text).toBe('M1');
    expect(decodeText(latin1('\0\0\0\0')).text).toBe('');
    expect(decodeText(new Uint8Array(0)).text).toBe('');
  });

  it('a degree sign in Latin-1 and a byte-order mark in UTF-8 survive', () => {
    expect(decodeText(Uint8Array.of(0xb0))).toEqual({ text: '°', latin1: true });
    expect(decodeText(Buffer.from('°', 'utf8'))).toEqual({ text: '°', latin1: false });
  });
});

describe('what is made of parameters', () => {
  it('row 30: type groups, numbered continuations and groups named by TYPE_GROUPS separate model outputs', () => {
    const c = read({
      fields: {
        'POINT:ANGLES': texts(['LHip', 'RHip']),
        'POINT:ANGLES2': texts(['LKnee']),
        'POINT:SCALARS': texts(['s']),
        'POINT:TYPE_GROUPS': { type: 'char', dims: [9, 2, 2], text: 'ANGLES   ANGLE    REACTIONSREACTION ' },
        'POINT:REACTIONS': texts(['F1']),
      },
    });
    expect([...c.typeGroups]).toEqual([
      ['ANGLES', ['LHip', 'RHip', 'LKnee']],
      ['SCALARS', ['s']],
      ['REACTIONS', ['F1']],
    ]);
  });

  it('screen axes are given as stored, and null where there are none', () => {
    expect(read({}).screen).toBeNull();
    expect(read({ fields: { 'POINT:X_SCREEN': text('-X'), 'POINT:Y_SCREEN': text('+Z') } }).screen).toEqual({
      x: '-X',
      y: '+Z',
    });
  });

  it('labels are as many as points: blank where missing, those beyond left to the parameter', () => {
    const few = read({ points: 3, fields: { 'POINT:LABELS': texts(['a']) } });
    expect([few.labels, codes(few)]).toEqual([['a', '', ''], ['labels-fewer-than-points']]);
    const many = read({ points: 1, fields: { 'POINT:LABELS': texts(['a', 'b', 'c']) } });
    expect([many.labels, codes(many)]).toEqual([['a'], ['labels-more-than-points']]);
    expect(many.groups.get('POINT')!.parameters.get('LABELS')!.text).toEqual(['a', 'b', 'c']);
  });

  it('row 34: one unit for all, one per point, or a blank one where there is none', () => {
    expect(read({}).units).toEqual(['mm']);
    expect(read({ fields: { 'POINT:UNITS': texts(['mm', 'deg']) } }).units).toEqual(['mm', 'deg']);
    expect(read({ fields: { 'POINT:UNITS': null } }).units).toEqual(['']);
  });

  it('a file with no parameters at all is read from its header', () => {
    const c = read({ records: [], form: 'integer', scale: 0.5, frames: 8 });
    expect([c.frames, c.points, c.rate_Hz, c.form, c.labels, c.units]).toEqual([8, 2, 100, 'integer', ['', ''], ['']]);
    expect(codes(c)).toEqual(['no-parameters', 'rate-from-header', 'point-scale-missing', 'labels-fewer-than-points']);
  });

  it('one code is told twenty times at most, then counted', () => {
    const odd = Array.from(
      { length: 30 },
      (_, i): RawRecord => ({ id: 1, name: `ODD${i}`, field: { ...floats(1), code: 7 } as RawRecord['field'] }),
    );
    const c = read({ arrange: (r) => [...r, ...odd] });
    expect(c.diagnostics).toHaveLength(21);
    expect(c.diagnostics[20]!.message).toBe('… and 10 more of these');
  });
});
