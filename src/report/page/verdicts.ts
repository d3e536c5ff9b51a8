import type { Verdict } from '../../model/comparison.ts';
import type { Words } from '../words/words.ts';
import { join, type Markup, raw, tag } from './markup.ts';

/** The verdicts in the order of how loud they are; places in this list stand in the data of the page. */
export const VERDICTS: readonly Verdict[] = ['departs', 'differs-slightly', 'matches', 'undecided', 'none'];

/** Shapes of the signs, told by form and not by colour: a full disc, a half disc, a ring, a point. */
const SHAPES: Readonly<Record<Verdict, string>> = {
  departs: '<circle cx="6" cy="6" r="5" fill="currentColor"/>',
  'differs-slightly':
    '<circle cx="6" cy="6" r="4.3" fill="none" stroke="currentColor" stroke-width="1.4"/><path d="M6 1.7a4.3 4.3 0 0 0 0 8.6z" fill="currentColor"/>',
  matches: '<circle cx="6" cy="6" r="4.3" fill="none" stroke="currentColor" stroke-width="1.4"/>',
  undecided: '<circle cx="6" cy="6" r="1.6" fill="currentColor"/>',
  none: '',
};

/** The signs once, for `signOf` to point at. */
export function signShapes(): Markup {
  const shapes = VERDICTS.map((verdict, i) => `<symbol id="sign-${i}" viewBox="0 0 12 12">${SHAPES[verdict]}</symbol>`);
  return raw(`<svg class="shapes" aria-hidden="true" focusable="false">${shapes.join('')}</svg>`);
}

/** A sign that is read out as its words. */
export function signOf(words: Words, verdict: Verdict): Markup | null {
  if (verdict === 'none') return null;
  const place = VERDICTS.indexOf(verdict);
  return tag(
    'svg',
    { class: 'sign', role: 'img', 'aria-label': words.verdicts[verdict] },
    raw(`<use href="#sign-${place}"/>`),
  );
}

/** The key to the signs. */
export function signKey(words: Words): Markup {
  const shown = VERDICTS.filter((verdict) => verdict !== 'none');
  const items = shown.map((verdict, i) =>
    tag(
      'li',
      {},
      tag('svg', { class: 'sign', 'aria-hidden': 'true' }, raw(`<use href="#sign-${i}"/>`)),
      words.verdicts[verdict],
    ),
  );
  return tag('ul', { class: 'signs' }, join(items));
}
