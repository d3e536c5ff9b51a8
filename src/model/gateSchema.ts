/** The limits of the gates in a day file: one key a rule, declared by the table of rules. */
import * as z from 'zod';
import { GATE_RULE_IDS, type GateRule, type GateRuleId, gateRule } from './gateRules.ts';

const off = z.literal('off');

function settingOf({ level, limit, looksAt, unit }: GateRule) {
  const what = `${level}: ${looksAt}`;
  if (limit === null) return off.optional().describe(what);
  if (limit.kind === 'between') {
    const error = `give the lowest and the highest in ${unit}, as [${limit.low}, ${limit.high}], or off`;
    const pair = z.array(z.number()).refine((values) => values.length === 2 && values[0]! < values[1]!, { error });
    return z.union([pair, off], { error }).optional().describe(`${what}; lowest and highest, ${unit}`);
  }
  const error = `give a limit in ${unit}, or off`;
  return z
    .union([z.number().min(0), off], { error })
    .optional()
    .describe(`${what}; at ${limit.kind}, ${unit}`);
}

type Setting = ReturnType<typeof settingOf>;

export const gateSchema = z
  .strictObject(
    Object.fromEntries(GATE_RULE_IDS.map((id) => [id, settingOf(gateRule(id))])) as Record<GateRuleId, Setting>,
  )
  .describe('limits of the gates that differ from the table, or off (docs/gates.md)');
