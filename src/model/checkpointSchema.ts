/** A file of checkpoints, declared once: validation and the reference page come from here. */
import * as z from 'zod';
import { keysIn, type SchemaNode } from './daySchema.ts';
import { CLUB_KINDS } from './swingSelector.ts';

const positionName = z.string().min(1);

const pair = (example: string) =>
  z.array(positionName).length(2, { error: `give two positions, the earlier first, as ${example}` });

const limit = (of: string) => z.number().optional().describe(of);

export const checkpointEntry = z.strictObject({
  name: z.string().min(1).max(80).describe('what the rule is called in the report'),
  quantity: z.string().min(1).describe('name of the quantity (docs/quantities.md)'),
  position: positionName
    .optional()
    .describe('where the value is read; not needed for a quantity with one value per swing'),
  change: pair('[P1, P4]').optional().describe('instead: the value at the second position less that at the first'),
  without_turn: z
    .union([z.boolean(), z.enum(['yes', 'no'])], { error: 'write yes or no' })
    .optional()
    .describe('yes: of a change of a bend, what turning alone would give is taken off (default no)'),
  begins_to_fall: pair('[P4, P8]')
    .optional()
    .describe(
      'instead: where between two of P1 to P9 the quantity is largest, as a number: 6.2 is a fifth of the time from P6 to P7',
    ),
  begins_to_rise: pair('[P4, P8]').optional().describe('instead: where it is smallest'),
  band: z
    .strictObject({
      low: limit('smallest value that meets the rule, in the unit of the quantity'),
      high: limit('largest value that meets it'),
      severe_low: limit('below this the rule is not met by far'),
      severe_high: limit('above this the rule is not met by far'),
    })
    .optional()
    .describe('the limits, which belong to the band'),
  against: z
    .literal('reference')
    .optional()
    .describe(
      'instead of a band, with the value reference (the swings compared with, by default the irons): met unless the quantity departs',
    ),
  clubs: z.array(z.enum(CLUB_KINDS)).min(1).optional().describe('kinds of club that the rule is about (default all)'),
  note: z.string().max(300).optional().describe('free text, printed beside it'),
  source: z.string().max(120).optional().describe('where the rule is from, printed beside it'),
});

export const checkpointSchema = z.strictObject({
  swingbasis: z
    .literal(1, { error: 'the first line is swingbasis: 1 (the version of this format)' })
    .describe('version of this format'),
  checkpoints: z.array(checkpointEntry).min(1).describe('the rules, in the order of the report'),
});

export type CheckpointEntry = z.output<typeof checkpointEntry>;

/** Keys whose value, or each item of it, is text even where YAML reads a number. */
export const CHECKPOINT_TEXT_KEYS: ReadonlySet<string> = new Set(['name', 'note', 'source']);

/** The schema as JSON, for the reference page. */
export function checkpointSchemaJson(): SchemaNode {
  return z.toJSONSchema(checkpointSchema, { io: 'input' }) as SchemaNode;
}

/** Keys that are allowed at a path of the file. */
export function checkpointKeysAt(path: readonly PropertyKey[]): readonly string[] {
  return keysIn(checkpointSchemaJson(), path);
}
