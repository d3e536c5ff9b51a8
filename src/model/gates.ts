/** What the gates say of a swing, and the limits that hold for it. */
import type { ClubKind } from './dayPlan.ts';
import type { FaultCode } from './faults.ts';
import { type GateLevel, type GateLimit, type GateRuleId, gateRule } from './gateRules.ts';

/** Kept faults that spoil the whole trial. */
export const FAULTS_OF_WHOLE_TRIAL: ReadonlySet<FaultCode> = new Set<FaultCode>([
  'sides-exchanged',
  'units-contradict',
  'static-of-another-player',
]);

/** A limit of the day file: one number, low and high, or off. */
export type GateSetting = number | readonly [number, number] | 'off';
export type GateSettings = Readonly<Partial<Record<GateRuleId, GateSetting>>>;

/** The limit of a rule for a kind of club, the day file's where it sets one; 'off': not asked; null: nothing to measure. */
export function limitOf(id: GateRuleId, kind: ClubKind | null, settings: GateSettings): GateLimit | 'off' | null {
  const setting = settings[id];
  const { limit } = gateRule(id);
  if (setting === 'off') return 'off';
  if (limit === null) return null;
  if (typeof setting === 'object') return { kind: 'between', low: setting[0], high: setting[1] };
  if (typeof setting === 'number' && limit.kind !== 'between') return { kind: limit.kind, value: setting };
  if (!('byClub' in limit)) return limit;
  return kind === null ? 'off' : { kind: limit.kind, value: limit.byClub[kind] };
}

/** True where a value lies beyond a limit; the limit itself passes. */
export function isBeyond(value: number, limit: GateLimit): boolean {
  if (limit.kind === 'between') return value < limit.low || value > limit.high;
  return limit.kind === 'most' ? value > limit.value : value < limit.value;
}

export interface GateReason {
  readonly rule: GateRuleId;
  readonly level: GateLevel;
  /** In the unit of the rule; null where there is nothing to measure. */
  readonly found: number | null;
  readonly limit: GateLimit | null;
  /** What was found against what, a sentence without a full stop. */
  readonly text: string;
}

export type GateVerdict = 'accept' | GateLevel;

/** What the rules and the day file say of one swing. */
export interface Gate {
  readonly verdict: GateVerdict;
  /** Rules that were tripped, in the order of the table, also where a person decided otherwise. */
  readonly reasons: readonly GateReason[];
  readonly setBy: 'rules' | 'day file';
  /** The day file's own words where it decided; else ''. */
  readonly note: string;
}
