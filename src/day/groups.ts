import type { TrialPlan } from '../model/dayPlan.ts';
import type { DayFile } from '../model/daySchema.ts';
import { NamedSwingsError, namedSides } from '../model/namedSwings.ts';
import { type GroupComparison, MAIN } from '../model/swingSelector.ts';
import type { PlanContext } from './planContext.ts';

/** Endings that sheets have of their own. */
const TAKEN = /^(details|sensors(-\d+)?)$|-details$/;

/** The comparisons that the day file asks for beside driver against irons; names that stand for nothing are reported. */
export function groupPlans(
  day: DayFile,
  trials: readonly TrialPlan[],
  context: PlanContext,
): readonly GroupComparison[] {
  const clubs = day.clubs ?? [];
  const swings = trials.filter(({ role, use }) => role === 'swing' && use);
  const out: GroupComparison[] = [];
  for (const [index, { of, against, name }] of (day.compare?.groups ?? []).entries()) {
    const at = (key: string) => context.place(['compare', 'groups', index, key]);
    try {
      const sides = namedSides(of, against, { clubs, swings });
      const own = name?.toLowerCase() === MAIN ? MAIN : (name ?? nameOf(of, against));
      const trouble = nameTrouble(own, out, day);
      if (trouble !== null) {
        const wayOut = name === undefined ? 'give the comparison a name' : 'choose another';
        context.problem(at(name === undefined ? 'of' : 'name'), 'duplicate-id', `${trouble}; ${wayOut}`);
      }
      out.push({ name: own, ...sides });
    } catch (error) {
      if (!(error instanceof NamedSwingsError)) throw error;
      if (context.unfinished) continue;
      context.problem(at(error.side), 'bad-value', error.message);
    }
  }
  return out;
}

/** 'iron5-against-iron': letters, digits and hyphens of what was written. */
function nameOf(of: string, against: string): string {
  const plain = (text: string): string => text.replace(/[^A-Za-z0-9_-]+/g, '-').replace(/^-+|-+$/g, '');
  return `${plain(of).slice(0, 15)}-against-${plain(against).slice(0, 15)}`;
}

/** Why the sheets of this comparison would take the names of others. */
function nameTrouble(name: string, before: readonly GroupComparison[], day: DayFile): string | null {
  const lower = name.toLowerCase();
  if (lower === MAIN) return before.some((one) => one.name === MAIN) ? `the name ${name} is taken` : null;
  if (TAKEN.test(lower)) return `the name ${name} belongs to sheets of another kind`;
  if (before.some((one) => one.name.toLowerCase() === lower)) return `the name ${name} is taken`;
  const ids = day.players.map(({ id }) => id.toLowerCase());
  const other = ids.find((id) => ids.some((own) => id.startsWith(`${own}-`) && id.endsWith(`-${lower}`)));
  return other === undefined
    ? null
    : `with the name ${name} a sheet would share a file with that of the player ${other}`;
}
