import { LINK_NAMES, LINKS, type Link, ORDER_METHODS, type OrderMethod } from '../orderOfMotion.ts';
import type { Quantity } from '../quantity.ts';

const ONCE = {
  order: null,
  at: 'swing',
  change: false,
  form: 'any',
  curve: false,
  usesTarget: false,
  needsTarget: false,
} as const;

/** What is measured, in a label and in a definition. */
const METHOD_WORDS: Readonly<Record<OrderMethod, readonly [label: string, term: string]>> = {
  magnitude: ['', 'size of the angular velocity'],
  long_axis: [' about its long axis', 'angular velocity about the segment’s own long axis'],
  swing_plane: [' in the swing plane', 'angular velocity about the normal of the swing plane'],
};

const CLUB_TERM = 'size of the angular velocity of the shaft, without the twist about itself';

/** About its own long axis a club only twists: it has no part in that method. */
const METHODS_OF = (link: Link): readonly OrderMethod[] =>
  link === 'club' ? ORDER_METHODS.filter((method) => method !== 'long_axis') : ORDER_METHODS;

const SEARCH = 'between 50 ms before the top and P7';

function peakRows(link: Link, method: OrderMethod): Quantity[] {
  const [words, plain] = METHOD_WORDS[method];
  const term = link === 'club' && method === 'magnitude' ? CLUB_TERM : plain;
  return [
    {
      ...ONCE,
      id: `order.${link}.${method}.time`,
      label: `${LINK_NAMES[link]} fastest before impact${words === '' ? '' : `,${words}`}`,
      term: `time from the peak of the ${term} to P7`,
      unit: 's',
      plus: 'earlier',
      minus: 'later',
      definition: `Time from the peak of the ${term} (${SEARCH}) to P7; 0 where it still rises at impact. From rotations, never from differentiated angles.`,
      reading: { kind: 'order-of-motion', figure: 'time', link, method },
      margin: { kind: 'absolute', value: 0.01 },
      decimals: 3,
    },
    {
      ...ONCE,
      id: `order.${link}.${method}.speed`,
      label: `${LINK_NAMES[link]}, peak speed of turning${words === '' ? '' : `,${words}`}`,
      term: `peak of the ${term}`,
      unit: 'deg/s',
      plus: 'faster',
      minus: 'slower',
      definition: `Peak of the ${term} ${SEARCH}. From rotations, never from differentiated angles.`,
      reading: { kind: 'order-of-motion', figure: 'speed', link, method },
      margin: { kind: 'share', value: 0.03 },
      decimals: 0,
    },
  ];
}

function gainRow(link: Exclude<Link, 'pelvis'>): Quantity {
  return {
    ...ONCE,
    id: `order.${link}.gain`,
    label: `${LINK_NAMES[link]}, gain over the link before`,
    term: 'ratio of peak angular speeds, size of the angular velocity',
    unit: 'ratio',
    plus: 'gains more',
    minus: 'gains less',
    definition:
      'Peak angular speed over that of the nearest link before it, from the pelvis up, that has a peak in this swing.',
    reading: { kind: 'order-gain', link },
    margin: { kind: 'share', value: 0.03 },
    decimals: 2,
  };
}

/** Described, not judged (docs/decisions/0010). */
export const ORDER_QUANTITIES: readonly Quantity[] = [
  ...ORDER_METHODS.flatMap((method) =>
    LINKS.filter((link) => METHODS_OF(link).includes(method)).flatMap((link) => peakRows(link, method)),
  ),
  ...LINKS.flatMap((link) => (link === 'pelvis' ? [] : [gainRow(link)])),
];
