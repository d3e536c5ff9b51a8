import { deserialize, serialize } from 'node:v8';
import { describe, expect, it } from 'vitest';
import { type PackedCells, packCells, unpackCells } from '../../../src/batch/packedCells.ts';
import type { Cell } from '../../../src/model/swingRecord.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { analyseTrial } from '../../../src/pipeline/analyseTrial.ts';
import { storedRecordText } from '../../../src/tables/storedRecord.ts';
import { NOISY, truthCase } from '../../support/truthCases.ts';

const WHY = { code: 'sample-missing', needed: 'the markers of pelvis.turn around P1' };
const cell = (more: Partial<Cell>): Cell => ({
  quantity: 'pelvis.turn',
  position: 'P1',
  value: 0.25,
  plusMinus: 1e-3,
  order: 'YXZ',
  unit: 'deg',
  flags: [],
  why: null,
  ...more,
});
/** Another order of keys, that of values which a swing has once. */
const once = ({ value, plusMinus, flags, why, ...rest }: Cell): Cell => ({ ...rest, value, plusMinus, flags, why });

/** As through the store: packed, to bytes and back. */
function roundTrip(cells: readonly Cell[]): Cell[] {
  const packed = packCells(cells);
  expect(packed).not.toBeNull();
  return unpackCells(deserialize(serialize(packed)) as PackedCells);
}

describe('cells in columns', () => {
  it.each<[string, readonly Cell[]]>([
    ['none', []],
    ['a value', [cell({})]],
    ['a value that is missing', [cell({ value: null, plusMinus: null, why: WHY, order: null })]],
    ['an allowance, one that is null, none', [cell({ placement: 0.1 }), cell({ placement: null }), cell({})]],
    ['a rule, with and without an allowance', [cell({ rule: 'x' }), cell({ rule: 'x', placement: 0.1 })]],
    ['values of a swing', [once(cell({})), { ...once(cell({})), rule: 'x', placement: 0.1 }]],
    ['flags that differ', [cell({ flags: ['a', 'b'] }), cell({ flags: ['a,b'] }), cell({ flags: ['b', 'a'] })]],
    ['numbers that are easily lost', [cell({ value: -0, plusMinus: Number.NaN }), cell({ value: 5e-324 })]],
  ])('come back as they were, keys in their order: %s', (_name, cells) => {
    const back = roundTrip(cells);
    expect(back).toStrictEqual(cells);
    expect(back.map((one) => Object.keys(one))).toEqual(cells.map((one) => Object.keys(one)));
  });

  it('of a whole swing make the same stored record', () => {
    const { trial, plan } = truthCase(3, NOISY);
    const record = analyseTrial(trial, plan, createWorkspace());
    expect(storedRecordText({ ...record, cells: roundTrip(record.cells) })).toBe(storedRecordText(record));
    expect(record.cells.length).toBeGreaterThan(500);
  });

  it('made in any other way are kept as they are', () => {
    const { why, ...rest } = cell({});
    expect(packCells([rest as Cell])).toBeNull();
    expect(packCells([{ why, ...rest }])).toBeNull();
    expect(packCells([{ ...cell({}), more: 1 } as Cell])).toBeNull();
    expect(packCells([{ ...cell({}), placement: null, rule: 'x' }])).toBeNull();
  });

  it('with more different words than a column can count are kept as they are', () => {
    const cells = Array.from({ length: 65_536 }, (_, i) => cell({ quantity: `q${i}` }));
    expect(packCells(cells)).toBeNull();
    expect(packCells(cells.slice(0, 65_000))).not.toBeNull();
  });
});
