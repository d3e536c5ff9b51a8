/** A segment or joint in all orders of axes. */
export const ORDERS = {
  title: '{name}: all orders of axes, {group} against {reference}',
  block: '{quantity}, difference in °',
  others: 'Orders without these angles: verdict of each of the three',
  main: '{order} (main)',
  key: 'Framed: another verdict than in the main order, thick where departs is gained or lost. Grey: swings within 10° of the singular position.',
  /** A segment or joint by its id. */
  rotation: (id: string): string => id.replaceAll('_', ' '),
  because: 'order of axes of {name}: {reason}',
  nothing: 'order of axes of {name}: no verdict that could be set against other orders',
  count:
    'order of axes of {name}: {n} of {of} verdicts at the positions ({order}) would be another in some other order away from its singular position{departs}',
  departs: ', {n} of them with departs gained or lost',
  change: '{what} {verdict}; {others}',
  other: '{verdict} in {orders}',
};
