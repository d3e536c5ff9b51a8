import { LINK_NAMES, type OrderMethod } from '../../../model/orderOfMotion.ts';

const METHODS: Readonly<Record<OrderMethod, string>> = {
  magnitude: 'whole turning speed',
  long_axis: 'about the long axis',
  swing_plane: 'in the swing plane',
};

/** The order of motion. */
export const ORDER = {
  links: LINK_NAMES,
  /** Of a lead arm everybody knows of. */
  shortLinks: { ...LINK_NAMES, lead_upper_arm: 'upper arm', lead_forearm: 'forearm', lead_hand: 'hand' },
  methods: METHODS,
  together: '{links} about together',
  /** Between links whose order is settled; `afterwards` beside ones that go together. */
  next: ', ',
  afterwards: ', then ',
  both: '{group} and {reference} move in one order: {order}.',
  side: '{label}: {order}.',
  isOpen: 'Whether the two really differ is open.',
  allAgree: 'All three ways of measuring give this order.',
  agrees: '{method} the order is the same.',
  methodsOpen: 'Whether another way of measuring would change the order is open.',
  methodsMatter: 'How it is measured matters here (details).',
  methodMatters: 'How it is measured matters here: {method} the order with the {label} would be {order}.',
  absent: 'No {links}: {cause}.',
  none: 'No order of motion: {cause}.',
  description: 'Fastest turning before impact: {times}.',
  gain: '{link} over {before}: {gains}',
  gains: 'Peak speed over that of the link before. {gains}.',
  inSwings: 'in {n} of {of} swings',
  atImpact: 'Still gaining speed at impact, counted as 0 ms: {links}.',
  title: 'Order of motion',
  titleOf: 'Order of motion, {method}',
  fastest: 'fastest turning',
  fastestBefore: 'fastest turning before impact',
  msBefore: 'ms before',
  impact: 'impact',
  terms: { gain: 'gain', atImpact: 'at impact', how: 'how' },
  how: 'Mark and line: when the link turns fastest between the top and impact, the mean of the swings with its 95 % interval; beside them the mean peak speed ± its standard deviation over the swings. Whole turning speed is the size of the angular velocity, of the club that of its shaft without the twist about itself; the other two are its parts about the long axis of the link and about the normal of the swing plane. The choice can change the order (Marsan and others 2019), so all are shown. Described, not judged: no order is called right.',
};
