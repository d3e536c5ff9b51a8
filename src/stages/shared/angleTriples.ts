/** Angles of one rotation put together: three for each rotation, in the order in which they are turned. */

import type { Quantity } from '../../model/quantity.ts';
import type { AngleTriple } from '../../model/swingSeries.ts';
import type { QuantityRow } from './quantityRows.ts';

const WORDS = ['first', 'second', 'third'] as const;
/** Mark of rows that stand for an angle no quantity is: no name of the catalogue has it. */
const NAMELESS = '#';

type RotationReading = Extract<Quantity['reading'], { kind: 'orientation' | 'joint' }>;

function rotationReading({ reading }: Pick<Quantity, 'reading'>): RotationReading | null {
  return reading.kind === 'orientation' || reading.kind === 'joint' ? reading : null;
}

function rotationOf(id: string): string {
  return id.slice(0, id.lastIndexOf('.'));
}

/** True of the rows that `withWholeTriples` adds. */
export function isThirdOfTriple(id: string): boolean {
  return id.includes(NAMELESS);
}

/**
 * The catalogue with a row for every angle that is missing to a joint's three (of the elbow the second, say). It has the sign of its
 * fellows: negated on the lead side from the second angle on (definitions 3).
 */
export function withWholeTriples(catalogue: readonly Quantity[]): readonly Quantity[] {
  const added: Quantity[] = [];
  const taken = new Set(catalogue.flatMap((row) => keyOf(row.id, rotationReading(row)) ?? []));
  for (const row of catalogue) {
    const reading = rotationReading(row);
    if (reading === null) continue;
    for (const component of [0, 1, 2] as const) {
      const id = `${rotationOf(row.id)}.${NAMELESS}${component}`;
      const isNegated = component > 0 && row.id.startsWith('lead_');
      const missing = { ...reading, component, sign: isNegated ? -1 : 1 } as RotationReading;
      const key = keyOf(id, missing)!;
      if (taken.has(key)) continue;
      taken.add(key);
      added.push({ ...row, id, reading: missing });
    }
  }
  return [...catalogue, ...added];
}

function keyOf(id: string, reading: RotationReading | null): string | null {
  return reading === null ? null : `${rotationOf(id)}:${reading.order}:${reading.component}`;
}

/** Three angles of each rotation of which all are read; `at` takes the frames out of a row's samples. Extra orders are raw. */
export function angleTriples(
  rows: readonly QuantityRow[],
  at: (values: Float64Array) => Float64Array,
): readonly AngleTriple[] {
  const groups = new Map<string, QuantityRow[]>();
  for (const row of rows) {
    if (rotationReading(row) === null || row.order === null || !row.values.ok) continue;
    const key = `${rotationOf(row.id)}:${row.order}:${isRaw(row) ? 'raw' : ''}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()].flatMap((group) => (group.length === 3 ? [tripleOf(group, at)] : []));
}

function isRaw({ id }: QuantityRow): boolean {
  return (WORDS as readonly string[]).includes(id.slice(id.lastIndexOf('.') + 1));
}

function tripleOf(group: readonly QuantityRow[], at: (values: Float64Array) => Float64Array): AngleTriple {
  const byComponent = [0, 1, 2].map((component) => group.find((row) => rotationReading(row)!.component === component)!);
  const columns = byComponent.map(({ values }) => (values.ok ? at(values.value.values) : new Float64Array(0)));
  const values = new Float64Array(3 * columns[0]!.length);
  columns.forEach((column, i) => {
    values.set(column, i * column.length);
  });
  const [first] = group as [QuantityRow];
  const [a, b, c] = byComponent.map(partOf) as [string, string, string];
  return { rotation: rotationOf(first.id), order: first.order!, parts: [a, b, c], values, raw: isRaw(first) };
}

/** `flexion`, or what of the rotation an angle without a name is. */
function partOf(row: QuantityRow): string {
  if (!isThirdOfTriple(row.id)) return row.id.slice(row.id.lastIndexOf('.') + 1);
  const { component, sign } = rotationReading(row)!;
  return `${sign === -1 ? 'minus ' : ''}${WORDS[component]} angle`;
}
