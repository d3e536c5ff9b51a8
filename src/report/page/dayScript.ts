/// <reference lib="dom" />
/** The filter of the page of a day. Without this script everything is shown. */

import { fill } from '../words/fill.ts';

const filter = document.querySelector<HTMLElement>('.filter');
const lists = [...(filter?.querySelectorAll('select') ?? [])];

/** Hides what is marked as another player's or as swung with other clubs; what bears no mark stays. */
function show(): void {
  for (const element of document.querySelectorAll<HTMLElement>('[data-player], [data-club]')) {
    element.hidden = lists.some(({ name, value }) => {
      const marks = element.dataset[name];
      return value !== '' && marks !== undefined && !marks.split(' ').includes(value);
    });
  }
  const findings = [...document.querySelectorAll<HTMLElement>('dl > dt')];
  const shown = findings.filter((term) => !term.hidden).length;
  const said = filter?.querySelector('output');
  const template = filter?.dataset['shown'] ?? '';
  if (said != null) said.textContent = fill(template, { n: shown, of: findings.length });
}

if (filter !== null) {
  filter.hidden = false;
  filter.addEventListener('change', show);
  show();
}
