import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import { TABLES } from '../../../src/tables/allTables.ts';
import { TABLE_COMPARISON } from '../../../src/tables/comparison.ts';
import { csvText, numberColumn, textColumn } from '../../../src/tables/csv.ts';
import { type DataPackage, dataPackage } from '../../../src/tables/dataPackage.ts';
import { SESSIONS } from '../../../src/tables/sessions.ts';
import type { TableField } from '../../../src/tables/tableSchema.ts';
import { fixtureCheckpoints } from '../../support/checkpointFixture.ts';
import { comparisonOf, outcomeOf, ROW, recordOf, seriesOf } from './fixture.ts';

const everything = dataPackage(
  'all',
  [...TABLES, SESSIONS, { ...TABLE_COMPARISON, name: 'of-table' }],
  ['csv', 'parquet'],
);
const fieldsOf = (pack: DataPackage): TableField[] => pack.resources.flatMap(({ schema }) => [...schema.fields]);

/** Columns of which something is not said: what they are, or of a number its unit. */
function undescribed(pack: DataPackage): string[] {
  return pack.resources.flatMap(({ name, schema: { fields } }) => {
    const texts = new Set(fields.filter(({ type }) => type === 'string').map((field) => field.name));
    const says = (column: string | undefined): boolean => column === undefined || texts.has(column);
    const isSaid = ({ type, title, description, unit, unitColumn, quantityColumn, orderColumn }: TableField): boolean =>
      title !== '' &&
      description.trim() !== '' &&
      (type === 'string' || (unit === undefined) !== (unitColumn === undefined)) &&
      [unitColumn, quantityColumn, orderColumn].every(says);
    return fields.filter((field) => !isSaid(field)).map((field) => `${name}.${field.name}`);
  });
}

describe('the descriptor of the tables', () => {
  it('describes every column of every table, and units that go by row have their column', () => {
    expect(undescribed(everything)).toEqual([]);
    expect(fieldsOf(everything).length).toBeGreaterThan(300);
  });
  it('sees a column that is not described, and one whose unit stands nowhere', () => {
    const columns = [textColumn('a', '', () => null), numberColumn('b', 'by row', 'a size', () => null, 2)];
    expect(undescribed(dataPackage('x', [{ name: 't', about: 'A row.', columns }], ['csv']))).toEqual(['t.a', 't.b']);
  });
  it('has unit, sign and order of every quantity of the catalogue', () => {
    expect(everything.quantities.map(({ name }) => name)).toEqual(CATALOGUE.map(({ id }) => id));
    for (const { title, description, unit, positive, negative } of everything.quantities)
      expect([title, description, unit, positive, negative]).not.toContain('');
    // definitions 2: turn first, + toward the target
    expect(everything.quantities.find(({ name }) => name === 'pelvis.turn')).toMatchObject({
      unit: 'deg',
      order: 'YXZ',
      positive: 'opened toward the target',
    });
    const value = everything.resources[0]!.schema.fields.find(({ name }) => name === 'value');
    expect(value).toMatchObject({ unitColumn: 'unit', quantityColumn: 'quantity', orderColumn: 'order' });
  });
  it('keeps the rules of Data Package, Data Resource and Table Schema', () => {
    // specs.frictionlessdata.io, version 1, from memory: names are lower-case letters, digits, . _ - and /, one a resource;
    // paths are relative and do not climb; field names are unique; missing values are strings
    const { name, resources } = everything;
    const names = resources.map((resource) => resource.name);
    for (const one of [name, ...names]) expect(one).toMatch(/^[-a-z0-9._/]+$/);
    expect(new Set(names).size).toBe(names.length);
    expect(new Set(resources.map(({ path }) => path)).size).toBe(names.length);
    for (const { path, schema } of resources) {
      expect(path).toMatch(/^[^/\\~:][^\\:]*$/);
      expect(path.split('/')).not.toContain('..');
      const fields = schema.fields.map((field) => field.name);
      expect(new Set(fields).size).toBe(fields.length);
      expect(schema.missingValues).toEqual(['']);
    }
    expect(new Set(fieldsOf(everything).map(({ type }) => type))).toEqual(new Set(['string', 'number', 'integer']));
  });
  it('is true of the fields: a number is a number and an integer an integer', () => {
    const sources = {
      records: [recordOf('a')],
      comparisons: [{ ...comparisonOf('auk', [ROW]), checkpoints: fixtureCheckpoints() }],
      outcomes: [outcomeOf('a', { record: recordOf('a') })],
      repeatability: [],
      seriesOf,
    };
    const forms = { string: /(?:)/, number: /^(-?\d+(\.\d+)?)?$/, integer: /^(-?\d+)?$/ };
    for (const table of TABLES) {
      const rows = parse(
        table.write(sources, (one, all) => [...csvText(one, all())].join('')),
        {
          columns: true,
          record_delimiter: '\r\n',
        },
      ) as Record<string, string>[];
      const { fields } = everything.resources.find(({ name }) => name === table.name)!.schema;
      const wrong = rows.flatMap((row) => fields.filter(({ name, type }) => !forms[type].test(row[name]!)));
      expect(wrong, table.name).toEqual([]);
    }
  });
});
