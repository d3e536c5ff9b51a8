/** Which row and cell a user means. */
import { nearestOf } from '../../base/text.ts';
import type { OrderedRotation } from '../../model/analysisPlan.ts';
import { CATALOGUE } from '../../model/catalogue.ts';
import { jointOf } from '../../model/joints.ts';
import type { SegmentId } from '../../model/motion.ts';
import type { Quantity, Reading } from '../../model/quantity.ts';
import type { Cell, SwingRecord } from '../../model/swingRecord.ts';

/** A name that stands for nothing; the message is a sentence for the user. */
export class ExplainError extends Error {}

/** A number of a swing and what the catalogue, or an extra order, says of it. */
export interface Asked {
  readonly cell: Cell;
  readonly row: Pick<Quantity, 'id' | 'label' | 'term' | 'plus' | 'minus' | 'definition' | 'decimals'>;
  readonly reading: Reading;
}

/**
 * The cell of a quantity at a position. `quantity` may carry an extra order, `thorax.first:ZXY`; `position` null: the one that a quantity
 * read once a swing has. @throws ExplainError
 */
export function askedCell(record: SwingRecord, quantity: string, position: string | null): Asked {
  const [name, order = null] = quantity.split(':') as [string, string?];
  const cells = record.cells.filter(
    (cell) => cell.quantity === name && (order === null || cell.order === order.toUpperCase()),
  );
  if (cells.length === 0) throw new ExplainError(unknownQuantity(record, quantity));
  const orders = new Set(cells.map((cell) => cell.order));
  if (orders.size > 1) {
    const ways = [...orders].map((one) => `${name}:${one}`).join(', ');
    throw new ExplainError(`${name} was asked for in ${orders.size} orders; write one of ${ways}`);
  }
  return { cell: cellAt(record, cells, name, position), ...rowOf(cells[0]!) };
}

function cellAt(record: SwingRecord, cells: readonly Cell[], name: string, position: string | null): Cell {
  const places = cells.map((cell) => cell.position);
  const only = places.length === 1 ? cells[0] : undefined;
  if (position === null && only !== undefined) return only;
  const there = `${name} of ${record.head.trial} is read at ${places.join(', ')}`;
  if (position === null) throw new ExplainError(`which position? ${there}`);
  const found = cells.find((cell) => cell.position.toLowerCase() === position.toLowerCase());
  if (found !== undefined) return found;
  throw new ExplainError(`${name} has no position ${position}${meant(position, places)}; ${there}`);
}

function unknownQuantity({ cells, head }: SwingRecord, quantity: string): string {
  const names = new Set(cells.map((cell) => cell.quantity));
  const [bare] = quantity.split(':') as [string];
  if (names.has(bare)) {
    const orders = new Set(cells.filter((cell) => cell.quantity === bare).map(({ order }) => order));
    return `${bare} of ${head.trial} is in the order ${[...orders].join(', ')}; process with --orders for others`;
  }
  if (CATALOGUE.some(({ id }) => id === bare)) {
    return `${head.trial} has no ${bare}: it is not read in a recording of this form (${head.source ?? 'markers'})`;
  }
  return `no quantity is called ${quantity}${meant(bare, names)}; docs/quantities.md lists all`;
}

/** '; did you mean thorax.turn?' or ''. */
export function meant(word: string, names: Iterable<string>): string {
  const near = nearestOf(word, names);
  return near === null ? '' : `; did you mean ${near}?`;
}

const COMPONENTS = ['first', 'second', 'third'] as const;

function rowOf(cell: Cell): Pick<Asked, 'row' | 'reading'> {
  const row = CATALOGUE.find(({ id }) => id === cell.quantity);
  if (row !== undefined) return { row, reading: row.reading };
  const [rotation, which] = cell.quantity.split('.') as [OrderedRotation, (typeof COMPONENTS)[number]];
  const component = COMPONENTS.indexOf(which) as 0 | 1 | 2;
  const { order } = cell;
  if (component < 0 || order === null) {
    throw new ExplainError(
      `this program does not know ${cell.quantity}; explain it with the version that processed it`,
    );
  }
  const joint = jointOf(rotation);
  const matrix = joint === null ? `R_G_${rotation}` : `R_${joint.proximal}_${joint.distal}`;
  const part = { order, component, sign: 1, unwrap: true } as const;
  return {
    row: {
      id: cell.quantity,
      label: `${rotation.replaceAll('_', ' ')}, ${which} angle`,
      term: `${which} of the three angles of ${matrix}`,
      plus: 'right-handed about its axis',
      minus: 'left-handed about its axis',
      definition: `The ${which} angle of ${matrix} in the order ${order}, each axis as the turns before left it; raw, nothing is negated; continuous from P1.`,
      decimals: 1,
    },
    reading:
      joint === null
        ? { kind: 'orientation', segment: rotation as SegmentId, ...part }
        : { kind: 'joint', ...joint, ...part },
  };
}
