import type { PlayerComparison } from '../model/comparison.ts';
import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import type { SessionComparison } from '../model/sessions.ts';
import type { Trend } from '../model/trend.ts';
import type { SessionView } from './sessionSheet.ts';
import type { PlayerView } from './views.ts';
import { wordsOf } from './words/languages.ts';
import type { Words } from './words/words.ts';

/** A view in its language: its words, and the names of the two sides as the language says them. */
export interface Spoken<V> {
  readonly words: Words;
  readonly view: V;
}

/** What of a view has to do with its language. */
export type InLanguage = Pick<PlayerView, 'comparison' | 'inTableUnits' | 'settings'>;

/** The words of the view's settings; of a view without settings English. */
export function spoken<V extends InLanguage>(view: V): Spoken<V> {
  const words = wordsOf((view.settings ?? DEFAULT_REPORT).language);
  const { inTableUnits } = view;
  return {
    words,
    view: {
      ...view,
      comparison: sidesIn(words, view.comparison),
      ...(inTableUnits === undefined ? {} : { inTableUnits: sidesIn(words, inTableUnits) }),
    },
  };
}

function sidesIn(words: Words, comparison: PlayerComparison): PlayerComparison {
  const { group, reference } = comparison;
  return {
    ...comparison,
    group: { ...group, label: words.side(group.label) },
    reference: { ...reference, label: words.side(reference.label) },
  };
}

/** As `spoken`, of two days of one player. */
export function spokenSession(view: SessionView): Spoken<SessionView> {
  const words = wordsOf((view.settings ?? DEFAULT_REPORT).language);
  return { words, view: { ...view, comparison: daysIn(words, view.comparison) } };
}

function daysIn(words: Words, comparison: SessionComparison): SessionComparison {
  const { group, reference } = comparison;
  const named = (side: typeof group): typeof group => ({
    before: { ...side.before, label: words.side(side.before.label) },
    after: { ...side.after, label: words.side(side.after.label) },
  });
  return { ...comparison, group: named(group), reference: named(reference) };
}

/** A season with the names of its sides as the language says them, those of its last day against its first with them. */
export function spokenTrend(words: Words, trend: Trend): Trend {
  const { group, reference } = trend.labels;
  return {
    ...trend,
    labels: { ...trend.labels, group: words.side(group), reference: words.side(reference) },
    last: trend.last === null ? null : daysIn(words, trend.last),
  };
}
