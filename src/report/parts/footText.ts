import type { SwingRecord } from '../../model/swingRecord.ts';
import { fitMiddle } from '../drawing/textMetrics.ts';
import { counted, listed } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

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
function targetText(words: Words, records: readonly SwingRecord[]): string {
  // sensors have no target line, which their own line says
  const assumed = records.filter(
    ({ head }) => head.source !== 'sensors' && head.facts.target.source === 'assumed',
  ).length;
  if (assumed === 0) return '';
  const { target, targetInSome } = words.sheet.foot;
  return assumed === records.length
    ? target
    : fill(targetInSome, { n: assumed, swings: counted(words, records.length, 'swing') });
}

/** 'sets before and after together'; '' where all swings are of one set. */
function setsText(words: Words, records: readonly SwingRecord[]): string {
  const sets = [...new Set([...records].sort((a, b) => a.head.order - b.head.order).map(({ head }) => head.set))];
  if (sets.length < 2) return '';
  const { noName, sets: template } = words.sheet.foot;
  const names = sets.map((set) => (set === '' ? noName : fitMiddle(set, 120, 'small')));
  const left = names.length - MOST_SETS;
  return fill(template, {
    sets: listed(words, left > 0 ? [...names.slice(0, MOST_SETS), fill(words.more, { n: left })] : names),
  });
}

/** '2 for review, 1 outlying (details)'; '' where no swing in use is marked. */
function doubtsText({ sheet: { foot } }: Words, { outcomes }: PlayerView): string {
  const used = outcomes.filter(({ status }) => status === 'used');
  const marked = used.filter(({ gate }) => gate?.verdict === 'review').length;
  const apart = used.filter(({ outlying }) => outlying !== undefined).length;
  const texts = [
    marked === 0 ? '' : fill(foot.review, { n: marked }),
    apart === 0 ? '' : fill(foot.outlying, { n: apart }),
  ];
  const said = texts.filter((text) => text !== '').join(', ');
  return said === '' ? '' : fill(foot.doubts, { doubts: said });
}

/** One line: target line, sets, trials, order, form, program; only what applies. */
export function madeFromText(words: Words, view: PlayerView): string {
  const records = comparedRecords(view);
  const { foot } = words.sheet;
  const unused = view.outcomes.filter((outcome) => outcome.status !== 'used').length;
  const used = view.outcomes.filter((outcome) => outcome.status === 'used').length;
  return [
    targetText(words, records),
    setsText(words, records),
    fill(unused > 0 ? foot.usedNot : foot.used, { trials: counted(words, used, 'trial'), n: unused }),
    doubtsText(words, view),
    view.comparison.orderConfounded ? foot.confounded : '',
    view.records.some(({ head, form }) => head.source !== 'sensors' && form === 'reduced') ? foot.reduced : '',
    view.programVersion,
  ]
    .filter((text) => text !== '')
    .join(' · ');
}
