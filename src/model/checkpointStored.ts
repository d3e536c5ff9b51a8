/** Checkpoints read back from run.json. */
import * as z from 'zod';
import { CATALOGUE } from './catalogue.ts';
import type { CheckpointSet } from './checkpoint.ts';
import { POSITIONS } from './positions.ts';
import { CURVE_POSITIONS } from './swingRecord.ts';
import { CLUB_KINDS } from './swingSelector.ts';

const position = z.enum(POSITIONS);
const onCurve = z.enum(CURVE_POSITIONS);
const limit = z.number().nullable();

export const storedCheckpoints: z.ZodType<CheckpointSet> = z.object({
  file: z.string().nullable(),
  checkpoints: z.array(
    z.object({
      name: z.string(),
      quantity: z.enum(CATALOGUE.map(({ id }) => id)),
      reading: z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('value'), position: z.union([position, z.literal('swing')]) }),
        z.object({ kind: z.literal('change'), from: position, to: position, withoutTurn: z.boolean() }),
        z.object({ kind: z.literal('begins'), way: z.enum(['falls', 'rises']), from: onCurve, to: onCurve }),
      ]),
      rule: z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('band'), low: limit, high: limit, severeLow: limit, severeHigh: limit }),
        z.object({ kind: z.literal('reference') }),
      ]),
      clubs: z.array(z.enum(CLUB_KINDS)).nullable(),
      note: z.string(),
      source: z.string(),
    }),
  ),
});
