import type { Findings } from '../findings.ts';
import { noteText } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import { fill, type Words } from '../words/words.ts';
import { join, type Markup, tag } from './markup.ts';
import type { PagePosition } from './pageData.ts';

/** Of the findings, how many a player's view shows beside the first. */
const FOR_PLAYER = 2;

/** The findings of the sheet as text; a position in them leads the slider there. */
export function findingsBlock(
  view: PlayerView,
  findings: Findings,
  positions: readonly PagePosition[],
  { page }: Words,
): Markup {
  const further = findings.further.map(({ position, text, short }, i) =>
    tag(
      'li',
      { class: i < FOR_PLAYER ? '' : 'coach' },
      leadTo(position, positions),
      ' ',
      tag('span', { class: 'coach' }, text),
      tag('span', { class: 'player' }, short),
    ),
  );
  const left = findings.furtherLeft;
  const notes: readonly (readonly [string, string, boolean])[] = [
    [page.setUp, findings.setUp, false],
    [page.slightly, findings.slightly, true],
    [page.matches, findings.matches, true],
    [page.limbs, findings.limbs, true],
    [page.open, findings.undecided, true],
    [page.note, noteText(view.note), false],
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
  );
}

function leadTo(position: string, positions: readonly PagePosition[]): Markup {
  const step = positions.find(({ id }) => id === position)?.step ?? null;
  return step === null ? tag('b', {}, position) : tag('a', { href: '#swing', 'data-go': step }, position);
}
