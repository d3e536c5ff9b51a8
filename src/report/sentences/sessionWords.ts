import { quantityById } from '../../model/catalogue.ts';
import type { Verdict } from '../../model/comparison.ts';
import type { Change, SessionComparison, SessionRow } from '../../model/sessions.ts';
import { counted, listed, percent, signedWithUnit } from './numbers.ts';
import { byPlace } from './sessionOrder.ts';
import { positionPhrase } from './words.ts';

/** Two days in sentences made from the numbers. */

/** 'pelvis forward bend at P4' */
export function rowName({ quantity, position, basis }: SessionRow): string {
  const { label } = quantityById(quantity);
  const at = position === 'swing' ? label : `${label} at ${position}`;
  return basis === 'change' ? `${at}, since P1` : at;
}

/** '56 % closed (95 % interval 40 % to 71 %)'; beyond all of it, or less than none, is said as it is. */
export function closedText({ closed }: SessionRow): string {
  if (closed.value === null || closed.low95 === null || closed.high95 === null) return '';
  return `${percent(closed.value)} closed (95 % interval ${percent(closed.low95)} to ${percent(closed.high95)})`;
}

/** Rows of the primary family, in the order of the swing. */
export function primaryRows({ rows }: SessionComparison): readonly SessionRow[] {
  return rows.filter(({ family }) => family === 'primary').sort(byPlace);
}

function narrowed({ gap, before, after }: SessionRow): boolean {
  return gap.verdict === 'departs' && Math.abs(after.gap.value ?? 0) < Math.abs(before.gap.value ?? 0);
}

/** The finding in one sentence: the largest certain gap of the first day, and what became of it. */
export function sessionHeadline(comparison: SessionComparison): string {
  if (comparison.reason !== '') return `No comparison of the two days: ${comparison.reason}.`;
  const { label } = comparison.reference.after;
  const gaps = primaryRows(comparison).filter(({ before }) => before.verdict === 'departs');
  const size = ({ before, gap }: SessionRow): number => Math.abs(before.gap.value ?? 0) / (gap.margin ?? 1);
  const [lead] = [...gaps].sort((a, b) => size(b) - size(a));
  if (lead === undefined) {
    return `On ${comparison.before} no primary quantity departed from the ${label}: there was no certain gap to close.`;
  }
  const { label: name, decimals } = quantityById(lead.quantity);
  const at = lead.position === 'swing' ? 'In the whole swing' : positionPhrase(lead.position);
  const from = signedWithUnit(lead.before.gap.value ?? 0, decimals, lead.unit);
  const to = lead.after.gap.value === null ? 'not measured' : signedWithUnit(lead.after.gap.value, decimals, lead.unit);
  const closed = closedText(lead);
  return `${at} the gap of ${name} to the ${label} went from ${from} to ${to}${closed === '' ? '' : `: ${closed}`}.`;
}

/** Further sentences: all gaps of the first day, new ones, what group and reference did themselves. */
export function sessionSupport(comparison: SessionComparison): readonly string[] {
  if (comparison.reason !== '') return [];
  const primary = primaryRows(comparison);
  const gaps = primary.filter(({ before }) => before.verdict === 'departs');
  const news = primary.filter(
    ({ before, after, gap }) =>
      before.verdict !== 'departs' && after.verdict === 'departs' && gap.verdict === 'departs',
  );
  const sentences: string[] = [];
  if (gaps.length > 0) {
    const count = (test: (row: SessionRow) => boolean): number => gaps.filter(test).length;
    const parts = [
      [count(narrowed), 'narrowed beyond the margin'],
      [count((row) => row.gap.verdict === 'departs' && !narrowed(row)), 'widened'],
      [count(({ gap }) => gap.verdict === 'matches'), 'unchanged'],
      [count(({ gap }) => !['departs', 'matches'].includes(gap.verdict)), 'not certain either way'],
    ] as const;
    const told = parts.filter(([n]) => n > 0).map(([n, what]) => `${n} ${what}`);
    sentences.push(`Of ${counted(gaps.length, 'primary gap')} of ${comparison.before} ${listed(told)}.`);
  }
  if (news.length > 0)
    sentences.push(
      `New on ${comparison.after}: ${listed(news.slice(0, 3).map(rowName))}${news.length > 3 ? ' and more' : ''}.`,
    );
  for (const side of ['group', 'reference'] as const) {
    const text = changesText(primary.map((row) => row[side]));
    if (text !== '') sentences.push(`The ${comparison[side].after.label}: ${text}.`);
  }
  return sentences;
}

const CHANGE_WORDS: readonly (readonly [Verdict, string])[] = [
  ['departs', 'changed beyond the margin'],
  ['differs-slightly', 'changed, less than that'],
  ['matches', 'unchanged'],
  ['undecided', 'not certain'],
];

/** '2 of 12 primary values changed beyond margin and re-application, 10 unchanged'; zeroed on static trials they have no re-application. */
function changesText(changes: readonly Change[]): string {
  const told = changes.filter(({ verdict }) => verdict !== 'none');
  const parts = CHANGE_WORDS.map(
    ([verdict, words]) => [told.filter((change) => change.verdict === verdict).length, words] as const,
  ).filter(([n]) => n > 0);
  const text = parts
    .map(([n, words], i) => (i === 0 ? `${n} of ${counted(told.length, 'primary value')} ${words}` : `${n} ${words}`))
    .join(', ');
  return told.some(({ reapplication }) => reapplication > 0)
    ? text.replace('the margin', 'margin and re-application')
    : text;
}
