/** What was measured, filled and missing in a player's recordings: a figure that opens for each that has something to show. */

import { qualityOf, type TrialQuality } from '../model/trialQuality.ts';
import type { DrawnElement } from './drawing/element.ts';
import type { Make } from './htmlPage.ts';
import { qualityHeadline } from './parts/qualityRows.ts';
import { drawQuality, hasQualityToShow } from './qualityFigure.ts';
import { counted } from './sentences/numbers.ts';
import type { PlayerView } from './views.ts';

interface Shown {
  readonly quality: TrialQuality;
  /** '' of a used trial. */
  readonly status: string;
}

/** A section after the player's sheet, `marks` as attributes of it; none beside a comparison of trials that another section shows, or where no quality is known. */
export function qualitySection(
  make: Make,
  { comparison, outcomes }: PlayerView,
  marks: Readonly<Record<string, string>>,
): DrawnElement[] {
  if ((comparison.name ?? '') !== '') return [];
  const known = outcomes.flatMap(({ record, quality, status }): Shown[] => {
    const own = record === null ? (quality ?? null) : qualityOf(record);
    return own === null ? [] : [{ quality: own, status: status === 'used' ? '' : status.replace('-', ' ') }];
  });
  if (known.length === 0) return [];
  const shown = known.filter(({ quality }) => hasQualityToShow(quality));
  return [
    make(
      'section',
      { class: 'quality', ...marks },
      make('h3', {}, 'Markers measured, filled and missing'),
      make(
        'p',
        {},
        `Every marker was measured throughout, without a fault, in ${known.length - shown.length} of ${counted(known.length, 'recording')}.`,
      ),
      ...shown.map((one) => details(make, one)),
    ),
  ];
}

function details(make: Make, { quality, status }: Shown): DrawnElement {
  const name = status === '' ? quality.trial : `${quality.trial} (${status})`;
  const figure = make('div', {
    class: 'figure',
    role: 'group',
    tabindex: '0',
    'aria-label': `Markers of ${quality.trial}`,
  });
  figure.append(drawQuality(quality));
  return make('details', {}, make('summary', {}, `${name}: ${qualityHeadline(quality)}`), figure);
}
