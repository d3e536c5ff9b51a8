/** What was measured, filled and missing in a player's recordings: a figure that opens for each that has something to show. */

import { qualityOf, type TrialQuality } from '../model/trialQuality.ts';
import type { DrawnElement } from './drawing/element.ts';
import { make } from './htmlPage.ts';
import { qualityHeadline } from './parts/qualityRows.ts';
import { drawQuality, hasQualityToShow } from './qualityFigure.ts';
import { counted } from './sentences/numbers.ts';
import type { PlayerView } from './views.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

interface Shown {
  readonly quality: TrialQuality;
  /** '' of a used trial. */
  readonly status: string;
}

/** A section after the player's sheet, `marks` as attributes of it; none beside a comparison of trials that another section shows, or where no quality is known. */
export function qualitySection(
  words: Words,

  { comparison, outcomes }: PlayerView,
  marks: Readonly<Record<string, string>>,
): DrawnElement[] {
  if ((comparison.name ?? '') !== '') return [];
  const known = outcomes.flatMap(({ record, quality, status }): Shown[] => {
    const own = record === null ? (quality ?? null) : qualityOf(record);
    return own === null ? [] : [{ quality: own, status: status === 'used' ? '' : words.status[status] }];
  });
  if (known.length === 0) return [];
  const shown = known.filter(({ quality }) => hasQualityToShow(quality));
  return [
    make(
      'section',
      { class: 'quality', ...marks },
      make('h3', {}, words.quality.heading),
      make(
        'p',
        {},
        fill(words.quality.throughout, {
          n: known.length - shown.length,
          recordings: counted(words, known.length, 'recording'),
        }),
      ),
      ...shown.map((one) => details(words, one)),
    ),
  ];
}

function details(words: Words, { quality, status }: Shown): DrawnElement {
  const name = status === '' ? quality.trial : fill(words.quality.named, { trial: quality.trial, status });
  const figure = make('div', {
    class: 'figure',
    role: 'group',
    tabindex: '0',
    'aria-label': fill(words.quality.figureOf, { trial: quality.trial }),
  });
  figure.append(drawQuality(words, quality));
  return make('details', {}, make('summary', {}, `${name}: ${qualityHeadline(words, quality)}`), figure);
}
