import type { PositionId } from '../../../model/positions.ts';

/** Names of positions, and how a sentence begins that is about one. */
export const POSITIONS: Readonly<Record<PositionId, { readonly name: string; readonly phrase: string }>> = {
  P1: { name: 'address', phrase: 'At address (P1)' },
  P2: { name: 'shaft level going back', phrase: 'With the shaft level going back (P2)' },
  P3: { name: 'lead arm level going back', phrase: 'With the lead arm level going back (P3)' },
  P4: { name: 'top', phrase: 'At the top (P4)' },
  'P4(arm)': { name: 'top of the lead arm', phrase: 'At the top of the lead arm, P4(arm),' },
  P5: { name: 'lead arm level coming down', phrase: 'With the lead arm level coming down (P5)' },
  'P5.5': { name: 'halfway from P5 to P6', phrase: 'Late in the downswing (P5.5)' },
  P6: { name: 'shaft level coming down', phrase: 'With the shaft level coming down (P6)' },
  P7: { name: 'impact', phrase: 'At impact (P7)' },
  P8: { name: 'shaft level after impact', phrase: 'With the shaft level after impact (P8)' },
  P9: { name: 'trail arm level after impact', phrase: 'With the trail arm level after impact (P9)' },
  P10: { name: 'finish', phrase: 'At the finish (P10)' },
};
