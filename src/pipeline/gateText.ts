/** What a gate found, in words. */

import type { GateFinding } from '../compare/gateReadings.ts';
import { type GateLimit, type GateRuleId, gateRule } from '../model/gateRules.ts';
import type { Gate } from '../model/gates.ts';
import type { ReportSettings } from '../model/reportSettings.ts';
import type { Unit } from '../model/units.ts';
import { unitChange } from '../report/reportUnits.ts';
import { plain, unitText } from '../report/sentences/numbers.ts';
import { EN } from '../report/words/en.ts';

const LIMIT_DECIMALS = 3;
/** A limit of 3 mm is 0.118 in: noise just beyond it, 3.1 mm, must not read the same. */
const INCH_DECIMALS = 3;

/** A limit as the table or the day file writes it: '75', '0.3', '12.5'. */
function limitNumber(value: number, decimals: number): string {
  const text = plain(EN, value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** 'at most 75 m/s', '−15 to 60°' */
export function limitText(limit: GateLimit, unit: Unit, decimals = LIMIT_DECIMALS): string {
  const bare = unitText(unit);
  if (limit.kind === 'between') {
    return `${limitNumber(limit.low, decimals)} to ${limitNumber(limit.high, decimals)}${bare}`;
  }
  return `at ${limit.kind} ${limitNumber(limit.value, decimals)}${bare}`;
}

/** 'head speed 96.2 m/s, more than 75 m/s'; of a rule without a number what was found. */
export function findingText({ rule, found, of }: GateFinding, limit: GateLimit | null): string {
  if (found === null || limit === null) return of;
  const { unit, decimals } = gateRule(rule);
  return saidOf(rule, `${plain(EN, found, decimals)}${unitText(unit)}`, of, limit.kind, limitText(limit, unit));
}

/** As `findingText`, in the unit of a report: 'head speed 215.2 mph, more than 167.8 mph'. */
export function findingTextIn(settings: ReportSettings, finding: GateFinding, limit: GateLimit | null): string {
  const { rule, found, of } = finding;
  const { unit: own, decimals: ownDecimals } = gateRule(rule);
  const { unit, value } = unitChange(own, settings);
  if (found === null || limit === null || unit === own) return findingText(finding, limit);
  const decimals = unit === 'in' ? INCH_DECIMALS : ownDecimals;
  const changed: GateLimit =
    limit.kind === 'between'
      ? { ...limit, low: value(limit.low), high: value(limit.high) }
      : { ...limit, value: value(limit.value) };
  const shown = `${plain(EN, value(found), decimals)}${unitText(unit)}`;
  return saidOf(rule, shown, of, limit.kind, limitText(changed, unit, decimals));
}

function saidOf(rule: GateRuleId, shown: string, of: string, kind: GateLimit['kind'], limit: string): string {
  const said = `${gateRule(rule).short} ${shown}${of === '' ? '' : ` (${of})`}`;
  if (kind === 'between') return `${said}, outside ${limit}`;
  return `${said}, ${kind === 'most' ? 'more' : 'less'} than ${limit.replace(/^at (most|least) /, '')}`;
}

/** Why a gate keeps a swing out, for the reason of its trial: what was found, by which rule, what to do. */
export function rejectionText({ reasons, setBy, note }: Gate): string {
  if (setBy === 'day file') return note === '' ? 'rejected by hand in the day file' : `rejected by hand: ${note}`;
  const decisive = reasons.filter(({ level }) => level === 'reject');
  const parts = decisive.map(({ rule, text }) => `${text} (${rule}). ${gateRule(rule).whatToDo}`);
  return parts.join(' ').replace(/\.$/, '');
}
