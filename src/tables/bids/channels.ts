/** What a swing's columns are in Motion-BIDS: places of its markers and joint centres, its angles. */
import { quantityById } from '../../model/catalogue.ts';
import type { Hand } from '../../model/dayPlan.ts';
import { jointOf } from '../../model/joints.ts';
import type { Quantity } from '../../model/quantity.ts';
import type { QuantitySeries, SwingSeries } from '../../model/swingSeries.ts';
import { TABLE_DECIMALS, toDisplay } from '../../model/units.ts';

export interface BidsColumn {
  readonly name: string;
  readonly component: 'x' | 'y' | 'z' | 'n/a';
  readonly type: 'POS' | 'JNTANG' | 'MISC';
  readonly tracked_point: string;
  readonly units: 'm' | 'deg';
  readonly reference_frame: string;
  readonly description: string;
  readonly decimals: number;
  readonly at: (frame: number) => number;
}

/** The frame of the places, as channels.json describes it. */
export const FRAME = 'player';
/** A micrometre. */
const PLACE_DECIMALS = 6;
const COMPONENTS = ['x', 'y', 'z'] as const;

/**
 * Places in metres in the player frame as the body has it: of a left-hander the one reflection is undone, so that Z is to the right again.
 * Angles between two parts of the body are JNTANG; those against the player frame, which is no part of a body, are MISC. Signs and names
 * are those of the tables.
 */
export function bidsColumns(series: SwingSeries, hand: Hand): readonly BidsColumn[] {
  const { frames } = series.clock;
  const markers = series.points.flatMap(({ landmark, label, data }) =>
    placeColumns(landmark, `marker "${label}"`, data, frames, hand),
  );
  const centres = series.segments.flatMap(({ segment, originPoint, origin }) => {
    const what = `origin of the ${segment.replaceAll('_', ' ')}`;
    return origin === null ? [] : placeColumns(originPoint, what, origin, frames, hand);
  });
  const angles = series.quantities.filter(({ unit }) => unit === 'deg').map(angleColumn);
  return [...markers, ...centres, ...angles];
}

function placeColumns(
  point: string,
  description: string,
  data: Float64Array,
  frames: number,
  hand: Hand,
): readonly BidsColumn[] {
  return COMPONENTS.map((component, c) => {
    const sign = component === 'z' && hand === 'left' ? -1 : 1;
    return {
      name: `${point}_${component}`,
      component,
      type: 'POS',
      tracked_point: point,
      units: 'm',
      reference_frame: FRAME,
      description,
      decimals: PLACE_DECIMALS,
      at: (frame) => sign * data[c * frames + frame]!,
    };
  });
}

function angleColumn({ quantity, order, values }: QuantitySeries): BidsColumn {
  const dot = quantity.lastIndexOf('.');
  const of = dot < 0 ? quantity : quantity.slice(0, dot);
  const asked = ['first', 'second', 'third'].indexOf(quantity.slice(dot + 1));
  const isAsked = asked >= 0;
  const row = isAsked ? null : quantityById(quantity);
  const isJoint = row === null ? jointOf(of as Parameters<typeof jointOf>[0]) !== null : isBetween(row);
  return {
    name: isAsked ? `${quantity}.${order}` : quantity,
    component: 'n/a',
    type: isJoint ? 'JNTANG' : 'MISC',
    tracked_point: of,
    units: 'deg',
    reference_frame: '',
    description:
      row === null
        ? `${quantity.slice(dot + 1)} intrinsic angle in the order ${order}`
        : `${row.term}; + ${row.plus}, - ${row.minus}${order === null ? '' : `; order ${order}`}`,
    decimals: TABLE_DECIMALS.deg,
    at: (frame) => toDisplay(values[frame]!, 'deg'),
  };
}

/** Whether an angle is between two parts of the body. */
function isBetween({ reading }: Quantity): boolean {
  return ['joint', 'bend', 'direction-in', 'turn-difference'].includes(reading.kind);
}
