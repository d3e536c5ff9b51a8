import { quantityById } from '../../src/model/catalogue.ts';
import type { CheckpointResult } from '../../src/model/checkpoint.ts';
import { DEFAULT_CHECKPOINTS } from '../../src/model/checkpointDefaults.ts';

/** Results of the default rules for pictures: every state, with all that a result can say and with nothing. */
export function fixtureCheckpoints(): readonly CheckpointResult[] {
  return DEFAULT_CHECKPOINTS.map((checkpoint, i): CheckpointResult => {
    const { reading, rule } = checkpoint;
    const value = reading.kind === 'begins' ? 6.4 : -4.56 + 3 * (i % 4);
    const isMeasured = i % 5 !== 4;
    return {
      checkpoint:
        i === 1
          ? {
              ...checkpoint,
              name: 'a name of one’s own that is much too long for a single line of its column',
              note: '',
            }
          : checkpoint,
      state: isMeasured ? (i % 2 === 0 ? 'not-met' : 'met') : 'not-measured',
      severe: i === 0,
      unit: reading.kind === 'begins' ? 'position' : quantityById(checkpoint.quantity).unit,
      from: reading.kind === 'value' ? null : reading.from,
      position: reading.kind === 'value' ? reading.position : reading.to,
      value: isMeasured ? value : null,
      sd: isMeasured ? 1.25 : null,
      low95: isMeasured ? value - 1 : null,
      high95: isMeasured ? value + 1 : null,
      n: isMeasured ? 8 : 0,
      swingsMet: isMeasured && rule.kind === 'band' ? 8 - (i % 3) : null,
      valueReference: i === 2 ? null : -3.5,
      nReference: 8,
      withinScatter: i % 3 === 0,
      turn:
        reading.kind === 'change'
          ? { quantity: 'thorax.turn', at: -88, from: 3, referenceAt: -90, alone: -36.5 }
          : null,
      remarks: i % 4 === 1 ? ['2 of 8 swings lack it', 'the top is that of the lead arm, P4(arm)'] : [],
      reason: isMeasured ? '' : '8 of 8 driver and 8 of 8 irons left out: needs the left and right femoral epicondyles',
    };
  });
}
