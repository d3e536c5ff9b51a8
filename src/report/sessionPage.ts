import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import { make, pageFoot, startPage } from './htmlPage.ts';
import { capital } from './sentences/ranking.ts';
import { sessionHeadline, sessionSupport } from './sentences/sessionWords.ts';
import { type SessionView, sessionTitle } from './sessionSheet.ts';
import { spokenSession } from './spoken.ts';
import { fill } from './words/fill.ts';
import { wordsOf } from './words/languages.ts';

/** File of a sheet below the output folder. */
export function sessionSheetFile({ comparison }: SessionView): string {
  return `players/${comparison.player}-${comparison.before}-${comparison.after}.svg`;
}

/** The page of several days: every player's finding, then the sheets. The same views give the same bytes. */
export function renderSessionPage(
  given: readonly SessionView[],
  notes: readonly string[],
  programVersion: string,
): string {
  const views = given.map((view) => spokenSession(view).view);
  const words = wordsOf((given[0]?.settings ?? DEFAULT_REPORT).language);
  const { page } = words.sessions;
  const dates = [...new Set(views.flatMap(({ comparison }) => [comparison.before, comparison.after]))].sort();
  const { body, finish } = startPage(words, fill(page.title, { dates: dates.join(', ') }));
  const anchor = ({ comparison }: SessionView): string => `${comparison.player}-${comparison.after}`;
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, page.heading),
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
          make('dd', {}, sessionHeadline(words, view.comparison)),
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
          make('h2', {}, sessionTitle(words, view.comparison)),
          make('img', {
            src: sessionSheetFile(view),
            alt: [sessionHeadline(words, view.comparison), ...sessionSupport(words, view.comparison)].join(' '),
            width: '1123',
            height: '794',
          }),
          make(
            'p',
            { class: 'links' },
            make('a', { href: sessionSheetFile(view) }, fill(page.sheetOf, { name: view.comparison.player })),
            ' · ',
            make('a', { href: 'tables/sessions.csv' }, page.allRows),
          ),
          make(
            'details',
            { class: 'words' },
            make('summary', {}, page.inWords),
            make(
              'ul',
              {},
              ...[
                sessionHeadline(words, view.comparison),
                ...sessionSupport(words, view.comparison),
                ...view.comparison.notes.map((text) => `${capital(text)}.`),
              ].map((text) => make('li', {}, text)),
            ),
          ),
        ),
      ),
    ),
    pageFoot(words, notes, programVersion),
  );
  return finish();
}
