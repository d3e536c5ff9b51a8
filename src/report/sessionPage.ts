import { startPage } from './htmlPage.ts';
import { CAUTIONS } from './playerSheet.ts';
import { sessionHeadline, sessionSupport } from './sentences/sessionWords.ts';
import { type SessionView, sessionTitle } from './sessionSheet.ts';

/** File of a sheet below the output folder. */
export function sessionSheetFile({ comparison }: SessionView): string {
  return `players/${comparison.player}-${comparison.before}-${comparison.after}.svg`;
}

/** The page of several days: every player's finding, then the sheets. The same views give the same bytes. */
export function renderSessionPage(
  views: readonly SessionView[],
  notes: readonly string[],
  programVersion: string,
): string {
  const dates = [...new Set(views.flatMap(({ comparison }) => [comparison.before, comparison.after]))].sort();
  const { body, make, finish } = startPage(`Sessions of ${dates.join(', ')}`);
  const anchor = ({ comparison }: SessionView): string => `${comparison.player}-${comparison.after}`;
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, 'What has changed between sessions'),
      make('p', { class: 'day' }, dates.join(' · ')),
      make(
        'dl',
        {},
        ...views.flatMap((view) => [
          make(
            'dt',
            {},
            make('a', { href: `#${anchor(view)}` }, `${view.comparison.player}, ${view.comparison.after}`),
          ),
          make('dd', {}, sessionHeadline(view.comparison)),
        ]),
      ),
    ),
    make(
      'main',
      {},
      ...views.map((view) =>
        make(
          'section',
          { class: 'player sheet', id: anchor(view) },
          make('h2', {}, sessionTitle(view.comparison)),
          make('img', {
            src: sessionSheetFile(view),
            alt: [sessionHeadline(view.comparison), ...sessionSupport(view.comparison)].join(' '),
            width: '1123',
            height: '794',
          }),
          make(
            'p',
            { class: 'links' },
            make('a', { href: sessionSheetFile(view) }, `Sheet of ${view.comparison.player}`),
            ' · ',
            make('a', { href: 'tables/sessions.csv' }, 'all rows'),
          ),
          make(
            'details',
            { class: 'words' },
            make('summary', {}, 'In words'),
            make(
              'ul',
              {},
              ...[
                sessionHeadline(view.comparison),
                ...sessionSupport(view.comparison),
                ...view.comparison.notes.map((text) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}.`),
              ].map((text) => make('li', {}, text)),
            ),
          ),
        ),
      ),
    ),
    make(
      'footer',
      { class: 'text' },
      ...(notes.length === 0 ? [] : [make('ul', {}, ...notes.map((text) => make('li', {}, text)))]),
      make('p', { class: 'foot' }, CAUTIONS),
      make('p', { class: 'foot' }, programVersion),
    ),
  );
  return finish();
}
