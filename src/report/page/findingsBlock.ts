import type { Findings } from '../findings.ts';
import { noteText, positionNotes, practiceItems } from '../sentences/coachText.ts';
import { positionOrder } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { join, type Markup, tag } from './markup.ts';
import type { PagePosition } from './pageData.ts';

/** Of the findings, how many a player's view shows beside the first. */
const FOR_PLAYER = 2;

/** The findings of the sheet as text; a position in them leads the slider there. */
export function findingsBlock(
  view: PlayerView,
  findings: Findings,
  positions: readonly PagePosition[],
  words: Words,
): Markup {
  const { page } = words;
  const departures = findings.further.map(({ position, text, short }, i) => ({
    position,
    line: tag(
      'li',
      { class: i < FOR_PLAYER ? '' : 'coach' },
      leadTo(position, positions),
      ' ',
      tag('span', { class: 'coach' }, text),
      tag('span', { class: 'player' }, short),
    ),
  }));
  const coachNotes = positionNotes(words, view).map(({ position, text }) => ({
    position,
    line: tag('li', { class: 'note' }, leadTo(position, positions), ' ', tag('span', {}, text)),
  }));
  const further = [...departures, ...coachNotes]
    .sort((a, b) => positionOrder(a.position) - positionOrder(b.position))
    .map(({ line }) => line);
  const left = findings.furtherLeft;
  const notes: readonly (readonly [string, string, boolean])[] = [
    [page.setUp, findings.setUp, false],
    [page.slightly, findings.slightly, true],
    [page.matches, findings.matches, true],
    [page.limbs, findings.limbs, true],
    [page.open, findings.undecided, true],
    [page.note, noteText(words, view.note), false],
  ];
  const shown = notes.filter(([, text]) => text !== '');
  return tag(
    'section',
    { id: 'findings', 'aria-label': page.findings },
    tag('p', { class: 'headline' }, findings.headline),
    join(findings.support.map((text) => tag('p', { class: 'support coach' }, text))),
    further.length === 0 ? null : tag('ul', { class: 'further' }, join(further)),
    left === 0 ? null : tag('p', { class: 'support coach' }, fill(page.andMore, { n: left })),
    shown.length === 0
      ? null
      : tag(
          'dl',
          {},
          join(
            shown.map(([term, text, forCoach]) =>
              tag('div', { class: forCoach ? 'coach' : '' }, tag('dt', {}, term), tag('dd', {}, text)),
            ),
          ),
        ),
    practiceList(view, words),
  );
}

/** What the coach wants practised, in the coach's own words; nothing where nothing is written. */
function practiceList(view: PlayerView, words: Words): Markup | null {
  const items = practiceItems(words, view);
  if (items.length === 0) return null;
  return tag(
    'div',
    { class: 'practice' },
    tag('h2', {}, words.page.practice),
    tag('ol', {}, join(items.map((text) => tag('li', {}, text)))),
  );
}

function leadTo(position: string, positions: readonly PagePosition[]): Markup {
  const at = (wanted: string): number | null => positions.find(({ id }) => id === wanted)?.step ?? null;
  const step = at(position) ?? (position === 'P4' ? at('P4(arm)') : null);
  return step === null ? tag('b', {}, position) : tag('a', { href: '#swing', 'data-go': step }, position);
}
