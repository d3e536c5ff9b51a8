import type { Words } from '../words/words.ts';
import { join, type Markup, tag } from './markup.ts';

/** What moves, empty until the script fills it; it is hidden where no script runs. */

interface Choice {
  readonly name: string;
  readonly label: string;
  readonly options?: readonly (readonly [value: string, text: string])[];
}

function select({ name, label, options = [] }: Choice, className = 'choice'): Markup {
  return tag(
    'label',
    { class: className },
    tag('span', {}, label),
    tag('select', { name }, join(options.map(([value, text]) => tag('option', { value }, text)))),
  );
}

/** Buttons of which one is pressed. */
function buttons(name: string, label: string, options: readonly (readonly [string, string])[]): Markup {
  return tag(
    'div',
    { class: 'buttons', role: 'group', 'aria-label': label, 'data-buttons': name },
    tag('span', { class: 'term', 'aria-hidden': 'true' }, label),
    join(
      options.map(([value, text], i) =>
        tag('button', { type: 'button', value, 'aria-pressed': i === 0 ? 'true' : 'false' }, text),
      ),
    ),
  );
}

/** Which swings are shown and how. */
export function choicesBlock({ page }: Words): Markup {
  return tag(
    'div',
    { class: 'choices live coach', hidden: true },
    select({ name: 'show', label: page.show }),
    select({ name: 'solid', label: page.solid }),
    select({ name: 'dashed', label: page.dashed }),
  );
}

/** The figure with its buttons, and beside it the curve. */
export function stageBlock({ page }: Words, hasFilm: boolean): Markup {
  const turns = [
    ['left', '←', page.turnLeft],
    ['right', '→', page.turnRight],
    ['up', '↑', page.turnUp],
    ['down', '↓', page.turnDown],
  ] as const;
  const scene = tag(
    'div',
    { class: 'scene' },
    tag('canvas', { tabindex: 0, role: 'img', 'aria-label': page.swing }),
    buttons('view', page.seenFrom, [
      ['front', page.front],
      ['line', page.line],
      ['above', page.above],
    ]),
    tag(
      'div',
      { class: 'buttons coach', role: 'group', 'aria-label': page.turn, 'data-turns': true },
      tag('span', { class: 'term', 'aria-hidden': 'true' }, page.turn),
      join(turns.map(([value, sign, name]) => tag('button', { type: 'button', value, 'aria-label': name }, sign))),
    ),
    tag(
      'div',
      { class: 'coach rows' },
      buttons('placing', page.placing, [
        ['over', page.over],
        ['beside', page.beside],
      ]),
      tag(
        'fieldset',
        { class: 'buttons' },
        tag('legend', {}, page.traces),
        join(
          (
            [
              ['head_point', page.traceClub],
              ['head_centre', page.traceHead],
              ['thorax_centre', page.traceThorax],
              ['pelvis_centre', page.tracePelvis],
            ] as const
          ).map(([value, text]) =>
            tag('label', {}, tag('input', { type: 'checkbox', name: 'trace', value }), ` ${text}`),
          ),
        ),
      ),
    ),
  );
  return tag(
    'div',
    { class: hasFilm ? 'stage live' : 'stage live alone', hidden: true },
    hasFilm ? scene : null,
    tag(
      'div',
      { class: 'large' },
      select({ name: 'large', label: page.largeCurve }),
      tag('div', { class: 'panel' }),
      tag('p', { class: 'at-note', hidden: true }),
    ),
  );
}

/** The slider with its positions; it stays in sight while figure, curves and table pass. */
export function scrubberBlock({ page }: Words): Markup {
  return tag(
    'div',
    { class: 'scrub live', hidden: true },
    tag('button', { type: 'button', class: 'play', 'aria-pressed': 'false', 'data-stop': page.pause }, page.play),
    tag(
      'div',
      { class: 'track' },
      tag('input', { type: 'range', min: 0, max: 80, step: 1, value: 0, 'aria-label': page.scrubber }),
      tag('div', { class: 'ticks' }),
    ),
    tag('output', {}),
  );
}

/** What the tables show: which quantities, in which units. */
export function tableChoices({ page }: Words): Markup {
  const { topics } = page;
  return tag(
    'div',
    { class: 'choices live', hidden: true },
    select(
      {
        name: 'topic',
        label: page.quantities,
        options: (['main', 'trunk', 'limbs', 'all'] as const).map((topic) => [topic, topics[topic]]),
      },
      'choice coach',
    ),
    select({
      name: 'speed',
      label: page.speedUnit,
      options: [
        ['m/s', 'm/s'],
        ['mph', 'mph'],
      ],
    }),
    select({
      name: 'length',
      label: page.lengthUnit,
      options: [
        ['mm', 'mm'],
        ['in', page.inch],
      ],
    }),
  );
}
