/** What a gate found, in words. */

import type { GateFinding } from '../compare/gateReadings.ts';
import { type GateLimit, gateRule } from '../model/gateRules.ts';
import type { Gate } from '../model/gates.ts';
import type { Unit } from '../model/units.ts';
import { plain, withUnit } from '../report/sentences/numbers.ts';
import { EN } from '../report/words/en.ts';

/** A limit as the table or the day file writes it: '75', '0.3', '12.5'. */
function limitNumber(value: number): string {
  return plain(EN, value, 3).replace(/\.?0+$/, '');
}

/** 'at most 75 m/s', '−15 to 60°' */
export function limitText(limit: GateLimit, unit: Unit): string {
  const bare = withUnit(EN, 0, 0, unit).slice(1);
  if (limit.kind === 'between') return `${limitNumber(limit.low)} to ${limitNumber(limit.high)}${bare}`;
  return `at ${limit.kind} ${limitNumber(limit.value)}${bare}`;
}

/** 'head speed 96.2 m/s, more than 75 m/s'; of a rule without a number what was found. */
export function findingText({ rule, found, of }: GateFinding, limit: GateLimit | null): string {
  if (found === null || limit === null) return of;
  const { short, unit, decimals } = gateRule(rule);
  const said = `${short} ${withUnit(EN, found, decimals, unit)}${of === '' ? '' : ` (${of})`}`;
  if (limit.kind === 'between') return `${said}, outside ${limitText(limit, unit)}`;
  const bare = limitText(limit, unit).replace(/^at (most|least) /, '');
  return `${said}, ${limit.kind === 'most' ? 'more' : 'less'} than ${bare}`;
}

/** Why a gate keeps a swing out, for the reason of its trial: what was found, by which rule, what to do. */
export function rejectionText({ reasons, setBy, note }: Gate): string {
  if (setBy === 'day file') return note === '' ? 'rejected by hand in the day file' : `rejected by hand: ${note}`;
  const decisive = reasons.filter(({ level }) => level === 'reject');
  const parts = decisive.map(({ rule, text }) => `${text} (${rule}). ${gateRule(rule).whatToDo}`);
  return parts.join(' ').replace(/\.$/, '');
}
