import { madeFromText } from '../parts/footText.ts';
import { checkpointText, countText, stateText } from '../sentences/checkpoint.ts';
import { zeroText } from '../sentences/zero.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { join, type Markup, raw, tag } from './markup.ts';

/** Rules that the swing was read by, and what the page was made from. */

const STATE_SHAPES = {
  met: 'M2 6.4L5 9.4 10 2.6',
  'not-met': 'M2.4 2.4L9.6 9.6M2.4 9.6L9.6 2.4',
  'not-measured': 'M2.5 6H9.5',
} as const;

/** The checkpoints of the details, state by sign and word; nothing where no rule was read. */
export function checkpointsBlock({ comparison }: PlayerView, words: Words): Markup {
  const { page } = words;
  const { checkpoints, group, reference } = comparison;
  if (checkpoints.length === 0) return join([]);
  const rows = checkpoints.map((result) =>
    tag(
      'tr',
      {},
      tag(
        'td',
        { class: 'words' },
        tag(
          'svg',
          { class: 'sign state', viewBox: '0 0 12 12', 'aria-hidden': 'true' },
          raw(`<path d="${STATE_SHAPES[result.state]}"/>`),
        ),
        stateText(words, result),
      ),
      tag('th', { scope: 'row' }, result.checkpoint.name, tag('small', {}, result.checkpoint.source)),
      tag('td', { class: 'words' }, checkpointText(words, result, { reference: reference.label })),
    ),
  );
  return tag(
    'section',
    { class: 'coach' },
    tag('h2', {}, fill(page.checkpoints, { group: group.label })),
    tag('p', { class: 'hint' }, `${countText(words, checkpoints)}. ${page.checkpointsHint}`),
    scrolling(
      fill(page.checkpoints, { group: group.label }),
      tag(
        'table',
        { class: 'rules' },
        tag('thead', {}, headRow([page.state, page.rule, page.reading])),
        tag('tbody', {}, join(rows)),
      ),
    ),
  );
}

function headRow(texts: readonly string[]): Markup {
  return tag('tr', {}, join(texts.map((text) => tag('th', { scope: 'col' }, text))));
}

function scrolling(label: string, table: Markup): Markup {
  return tag('div', { class: 'wide', tabindex: 0, role: 'region', 'aria-label': label }, table);
}

/** Trials used and left out with their reasons, settings, notes. */
export function madeBlock(view: PlayerView, words: Words): Markup {
  const { page } = words;
  const { comparison, outcomes } = view;
  const used = outcomes.filter(({ status }) => status === 'used');
  const unused = outcomes.filter(({ status }) => status !== 'used');
  const facts: readonly (readonly [string, string])[] = [
    [page.madeFrom, madeFromText(words, view)],
    [page.zero, zeroText(words, comparison.part)],
    [page.smoothing, view.filterText],
    [page.orders, view.ordersText],
  ];
  const notUsed = fill(page.notUsed, { n: unused.length });
  return tag(
    'section',
    { class: 'coach' },
    tag('h2', {}, page.made),
    tag('h3', {}, notUsed),
    unused.length === 0
      ? tag('p', {}, page.nothingLeftOut)
      : scrolling(
          notUsed,
          tag(
            'table',
            { class: 'trials' },
            tag('thead', {}, headRow([page.trial, page.status, page.reason])),
            tag(
              'tbody',
              {},
              join(
                unused.map(({ trial, status, reason }) =>
                  tag(
                    'tr',
                    {},
                    tag('th', { scope: 'row' }, trial),
                    tag('td', { class: 'words' }, words.status[status]),
                    tag('td', { class: 'words' }, reason),
                  ),
                ),
              ),
            ),
          ),
        ),
    comparison.notes.length === 0
      ? null
      : join([tag('h3', {}, page.notes), tag('ul', {}, join(comparison.notes.map((note) => tag('li', {}, note))))]),
    tag('h3', {}, fill(page.used, { n: used.length })),
    tag('p', { class: 'names' }, used.map(({ trial }) => trial).join(' · ')),
    tag(
      'dl',
      {},
      join(
        facts
          .filter(([, text]) => text !== '')
          .map(([term, text]) => tag('div', {}, tag('dt', {}, term), tag('dd', {}, text))),
      ),
    ),
  );
}
