import { nearestOf } from '../base/text.ts';
import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import { JOINTS, type JointId } from '../model/joints.ts';
import { LIMB_SEGMENTS, TRUNK_SEGMENTS } from '../model/motion.ts';
import { ANGLE_ORDERS, type AngleOrder } from '../model/quantity.ts';

/** What an order without a name means. */
const TRUNK: readonly OrderedRotation[] = [...TRUNK_SEGMENTS, 'trunk', 'neck'];
const ROTATIONS: readonly OrderedRotation[] = [
  ...TRUNK,
  ...LIMB_SEGMENTS,
  ...(Object.keys(JOINTS) as JointId[]).filter((joint) => !TRUNK.includes(joint)),
];

/**
 * The value of --orders: `ZXY` for pelvis, thorax, head, trunk and neck, `thorax:ZXY` or `lead_knee:ZXY` for one segment or joint, several
 * joined by commas. Of joints the raw angles are given, on the lead side too: nothing is negated.
 * @throws RangeError with a sentence for the user
 */
export function parseOrders(text: string): readonly OrderRequest[] {
  const out = new Map<string, OrderRequest>();
  for (const part of text.split(',').map((piece) => piece.trim())) {
    if (part === '') continue;
    const [first, second, ...rest] = part.split(/[:=]/);
    if (rest.length > 0) throw new RangeError(`"${part}" is not an order; write ZXY or thorax:ZXY`);
    const order = orderOf(second ?? first ?? '');
    const segments = second === undefined ? TRUNK : [rotationOf(first ?? '')];
    for (const segment of segments) out.set(`${segment}:${order}`, { segment, order });
  }
  return [...out.values()];
}

function orderOf(text: string): AngleOrder {
  const found = ANGLE_ORDERS.find((order) => order === text.toUpperCase());
  if (found !== undefined) return found;
  const near = nearestOf(text, ANGLE_ORDERS);
  throw new RangeError(
    `"${text}" is none of the orders ${ANGLE_ORDERS.join(', ')}${near === null ? '' : `; did you mean ${near}?`}`,
  );
}

function rotationOf(text: string): OrderedRotation {
  const found = ROTATIONS.find((rotation) => rotation === text.toLowerCase());
  if (found !== undefined) return found;
  const near = nearestOf(text, ROTATIONS);
  const known = `${TRUNK.join(', ')} or of the limbs, such as lead_knee or trail_foot`;
  throw new RangeError(`"${text}" is none of ${known}${near === null ? '' : `; did you mean ${near}?`}`);
}

/** The value of --order-check: segments and joints, such as `thorax` or `trunk,lead_hip`. @throws RangeError with a sentence for the user */
export function parseOrderCheck(text: string): readonly OrderedRotation[] {
  const names = text
    .split(',')
    .map((piece) => piece.trim())
    .filter((piece) => piece !== '');
  return [...new Set(names.map(rotationOf))];
}
