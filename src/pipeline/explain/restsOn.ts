/** Which positions and which parts of the motion a number rests on. */
import type { ClubFigureId } from '../../model/delivery.ts';
import type { Link } from '../../model/orderOfMotion.ts';
import { linksBefore } from '../../model/orderOfMotion.ts';
import type { Moment, MomentMethod, PositionId } from '../../model/positions.ts';
import type { Reading } from '../../model/quantity.ts';
import { partsOf } from '../../model/readingParts.ts';
import type { Cell, SwingRecord } from '../../model/swingRecord.ts';
import { isMotionReading, isUnwrapped } from '../../stages/shared/readSeries.ts';

/** In the order of use. `P1` stands with what is measured from it, continuous from it or zeroed at it. */
export function positionsOf({ position, flags }: Cell, reading: Reading): readonly PositionId[] {
  if (position === 'swing') return onceFrom(reading);
  const fromP1 =
    reading.kind === 'displacement' || isContinuous(reading) || flags.some((flag) => flag.endsWith('at-P1'));
  return fromP1 && position !== 'P1' ? [position, 'P1'] : [position];
}

function isContinuous(reading: Reading): boolean {
  return isMotionReading(reading) && isUnwrapped(reading);
}

function onceFrom(reading: Reading): readonly PositionId[] {
  switch (reading.kind) {
    case 'time':
      return [reading.from, reading.to];
    case 'time-ratio':
      return [...new Set([...reading.of, ...reading.over])];
    case 'order-of-motion':
    case 'order-gain':
      return ['P4', 'P7'];
    case 'club':
      if (reading.figure.includes('after')) return ['P7', 'P8'];
      return reading.figure.startsWith('plane') ? ['P6', 'P7'] : ['P7'];
    default:
      return [];
  }
}

/** Names of poses, points and lines; of a time those by which its positions were found. */
export function partNames(reading: Reading, rule: string | null, moments: SwingRecord['moments']): readonly string[] {
  switch (reading.kind) {
    case 'time':
    case 'time-ratio':
      return [...new Set(onceFrom(reading).flatMap((position) => foundBy(moments[position])))];
    case 'club':
      return clubParts(reading.figure);
    case 'order-of-motion':
      return [linkPart(reading.link)];
    case 'order-gain': {
      const before = linksBefore(reading.link).find((link) => rule === `over the ${link.replaceAll('_', ' ')}`);
      return before === undefined ? [linkPart(reading.link)] : [linkPart(reading.link), linkPart(before)];
    }
    case 'ball-place':
      return [...partsOf(reading).map(({ id }) => id), 'ball'];
    default:
      return partsOf(reading).map(({ id }) => id);
  }
}

/** What each method looks at; of events, triggers, sounds and shocks no part of the motion. */
function foundBy(moment: Moment | undefined): readonly string[] {
  if (moment?.found !== true) return [];
  const { method } = moment;
  const arm = /^(lead|trail)-arm/.exec(method);
  if (arm !== null) return [`${arm[1]}_arm`];
  const forearm = /^(lead|trail)-forearm/.exec(method);
  if (forearm !== null) return [`${forearm[1]}_forearm`];
  if (method.startsWith('shaft')) return ['shaft'];
  if (method === 'ball-contact') return ['head_point', 'ball'];
  return OF_HEAD.has(method) ? ['head_point'] : [];
}

const OF_HEAD: ReadonlySet<MomentMethod> = new Set(['stillness', 'slowest', 'velocity-step', 'address-place']);

function linkPart(link: Link): string {
  return link === 'club' ? 'shaft' : link;
}

function clubParts(figure: ClubFigureId): readonly string[] {
  if (figure === 'lie' || figure === 'shaft-lean') return ['shaft'];
  return figure.startsWith('low-point') ? ['head_point', 'ball'] : ['head_point'];
}
