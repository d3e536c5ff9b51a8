import { quantityById } from '../../model/catalogue.ts';
import type { Change, SessionComparison, SessionRow } from '../../model/sessions.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { counted, listed, percent, signedWithUnit } from './numbers.ts';
import { byPlace } from './sessionOrder.ts';
import { labelOf, placedLabel, positionPhrase } from './words.ts';

/** Two days in sentences made from the numbers. */

/** 'pelvis forward bend at P4' */
export function rowName(words: Words, { quantity, position, basis }: SessionRow): string {
  const what = placedLabel(words, quantity, position);
  return basis === 'change' ? fill(words.sinceP1, { what }) : what;
}

/** '56 % closed (95 % interval 40 % to 71 %)'; beyond all of it, or less than none, is said as it is. */
export function closedText(words: Words, { closed }: SessionRow): string {
  if (closed.value === null || closed.low95 === null || closed.high95 === null) return '';
  return fill(words.sessions.closed, {
    share: percent(words, closed.value),
    low: percent(words, closed.low95),
    high: percent(words, closed.high95),
  });
}

/** Rows of the primary family, in the order of the swing. */
export function primaryRows({ rows }: SessionComparison): readonly SessionRow[] {
  return rows.filter(({ family }) => family === 'primary').sort(byPlace);
}

function narrowed({ gap, before, after }: SessionRow): boolean {
  return gap.verdict === 'departs' && Math.abs(after.gap.value ?? 0) < Math.abs(before.gap.value ?? 0);
}

/** The finding in one sentence: the largest certain gap of the first day, and what became of it. */
export function sessionHeadline(words: Words, comparison: SessionComparison): string {
  const { sessions } = words;
  if (comparison.reason !== '') return fill(sessions.noComparison, { reason: comparison.reason });
  const { label: reference } = comparison.reference.after;
  const gaps = primaryRows(comparison).filter(({ before }) => before.verdict === 'departs');
  const size = ({ before, gap }: SessionRow): number => Math.abs(before.gap.value ?? 0) / (gap.margin ?? 1);
  const [lead] = [...gaps].sort((a, b) => size(b) - size(a));
  if (lead === undefined) {
    return fill(sessions.noGap, { date: comparison.before, reference });
  }
  const { decimals } = quantityById(lead.quantity);
  const phrase = lead.position === 'swing' ? sessions.wholeSwing : positionPhrase(words, lead.position);
  const from = signedWithUnit(words, lead.before.gap.value ?? 0, decimals, lead.unit);
  const to =
    lead.after.gap.value === null
      ? sessions.notMeasured
      : signedWithUnit(words, lead.after.gap.value, decimals, lead.unit);
  const closed = closedText(words, lead);
  return fill(sessions.gap, {
    phrase,
    quantity: labelOf(words, lead.quantity),
    reference,
    from,
    to,
    closed: closed === '' ? '' : `: ${closed}`,
  });
}

/** Further sentences: all gaps of the first day, new ones, what group and reference did themselves. */
export function sessionSupport(words: Words, comparison: SessionComparison): readonly string[] {
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
    const { gapParts } = words.sessions;
    const parts = [
      [count(narrowed), gapParts.narrowed],
      [count((row) => row.gap.verdict === 'departs' && !narrowed(row)), gapParts.widened],
      [count(({ gap }) => gap.verdict === 'matches'), gapParts.unchanged],
      [count(({ gap }) => !['departs', 'matches'].includes(gap.verdict)), gapParts.uncertain],
    ] as const;
    const told = parts.filter(([n]) => n > 0).map(([n, what]) => fill(what, { n }));
    sentences.push(
      fill(words.sessions.gaps, {
        gaps: counted(words, gaps.length, 'primary gap'),
        date: comparison.before,
        parts: listed(words, told),
      }),
    );
  }
  if (news.length > 0) {
    const rows = listed(
      words,
      news.slice(0, 3).map((row) => rowName(words, row)),
    );
    const { news: some, newsMore } = words.sessions;
    sentences.push(fill(news.length > 3 ? newsMore : some, { date: comparison.after, rows }));
  }
  for (const side of ['group', 'reference'] as const) {
    const text = changesText(
      words,
      primary.map((row) => row[side]),
    );
    if (text !== '') sentences.push(fill(words.sessions.side, { label: comparison[side].after.label, changes: text }));
  }
  return sentences;
}

/** '2 of 12 primary values changed beyond margin and re-application, 10 unchanged'; zeroed on static trials they have no re-application. */
function changesText(words: Words, changes: readonly Change[]): string {
  const told = changes.filter(({ verdict }) => verdict !== 'none');
  const { changes: said, beyondReapplication, firstChange, nextChange } = words.sessions;
  const departs = told.some(({ reapplication }) => reapplication > 0) ? beyondReapplication : said.departs;
  const values = counted(words, told.length, 'primary value');
  return (['departs', 'differs-slightly', 'matches', 'undecided'] as const)
    .map((verdict) => ({ verdict, n: told.filter((change) => change.verdict === verdict).length }))
    .filter(({ n }) => n > 0)
    .map(({ verdict, n }, i) =>
      fill(i === 0 ? firstChange : nextChange, { n, values, change: verdict === 'departs' ? departs : said[verdict] }),
    )
    .join(', ');
}
