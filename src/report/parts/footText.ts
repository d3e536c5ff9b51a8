import type { SwingRecord } from '../../model/swingRecord.ts';
import { fitMiddle } from '../drawing/textMetrics.ts';
import { counted, listed } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';

/** What the sheet was made from, in the words of its foot. */

const MOST_SETS = 5;

/** The swings on both sides of the comparison; all of the player's where neither side has one. */
function comparedRecords(view: PlayerView): readonly SwingRecord[] {
  const { group, reference } = view.comparison;
  const compared = new Set([...group.trials, ...reference.trials]);
  const records = view.records.filter((record) => compared.has(record.head.trial));
  return records.length === 0 ? view.records : records;
}

/** Said where the target line is nobody's statement (definitions 5); '' where it is set or given. */
function targetText(records: readonly SwingRecord[]): string {
  // sensors have no target line, which their own line says
  const assumed = records.filter(
    ({ head }) => head.source !== 'sensors' && head.facts.target.source === 'assumed',
  ).length;
  if (assumed === 0) return '';
  const some = assumed === records.length ? '' : ` in ${assumed} of ${counted(records.length, 'swing')}`;
  return `The target line was taken from the feet${some}: turns are relative to it, path is not given${some === '' ? '' : ' there'}`;
}

/** 'sets before and after together'; '' where all swings are of one set. */
function setsText(records: readonly SwingRecord[]): string {
  const sets = [...new Set([...records].sort((a, b) => a.head.order - b.head.order).map(({ head }) => head.set))];
  if (sets.length < 2) return '';
  const names = sets.map((set) => (set === '' ? 'without a name' : fitMiddle(set, 120, 'small')));
  const left = names.length - MOST_SETS;
  return `sets ${listed(left > 0 ? [...names.slice(0, MOST_SETS), `${left} more`] : names)} together`;
}

/** '2 for review, 1 outlying (details)'; '' where no swing in use is marked. */
function doubtsText({ outcomes }: PlayerView): string {
  const used = outcomes.filter(({ status }) => status === 'used');
  const marked = used.filter(({ gate }) => gate?.verdict === 'review').length;
  const apart = used.filter(({ outlying }) => outlying !== undefined).length;
  const texts = [marked === 0 ? '' : `${marked} for review`, apart === 0 ? '' : `${apart} outlying`];
  const said = texts.filter((text) => text !== '').join(', ');
  return said === '' ? '' : `${said} (details)`;
}

/** One line: target line, sets, trials, order, form, program; only what applies. */
export function madeFromText(view: PlayerView): string {
  const records = comparedRecords(view);
  const used = view.outcomes.filter((outcome) => outcome.status === 'used').length;
  return [
    targetText(records),
    setsText(records),
    `${counted(used, 'trial')} used${view.outcomes.length > used ? `, ${view.outcomes.length - used} not (reasons in the details)` : ''}`,
    doubtsText(view),
    view.comparison.orderConfounded
      ? 'club and order cannot be told apart: all swings of one came before the other’s'
      : '',
    view.records.some(({ head, form }) => head.source !== 'sensors' && form === 'reduced')
      ? 'reduced form: joint centres alone'
      : '',
    view.programVersion,
  ]
    .filter((text) => text !== '')
    .join(' · ');
}
