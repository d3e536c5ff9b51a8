/** What was measured, filled and missing in a player's recordings: a figure that opens for each that has something to show. */

import { qualityOf, type TrialQuality } from '../model/trialQuality.ts';
import type { Make } from './htmlPage.ts';
import { qualityHeadline } from './parts/qualityRows.ts';
import { drawQuality, hasQualityToShow } from './qualityFigure.ts';
import { counted } from './sentences/numbers.ts';
import type { PlayerView } from './views.ts';

export const QUALITY_STYLE = `
h3 { font-size: 1rem; margin: 1.2rem 0 .3rem; }
.quality details { margin: .4rem 0; }
.quality summary { overflow-wrap: anywhere; }
.quality .figure { overflow-x: auto; margin: .4rem 0 1rem; }
.quality svg { display: block; width: 100%; min-width: 40rem; max-width: 60rem; height: auto; }
@media print {
  .quality { break-before: page; }
  .quality:not(:has(details[open])) { display: none; }
  .quality details { break-inside: avoid; }
  .quality svg { min-width: 0; max-width: 220mm; max-height: 155mm; }
}
`;

interface Shown {
  readonly quality: TrialQuality;
  /** '' of a used trial. */
  readonly status: string;
}

/** A section after the player's sheet; none beside a comparison of trials that another section shows, or where no quality is known. */
export function qualitySection(make: Make, { comparison, outcomes }: PlayerView): Element[] {
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
      { class: 'quality' },
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

function details(make: Make, { quality, status }: Shown): Element {
  const name = status === '' ? quality.trial : `${quality.trial} (${status})`;
  const figure = make('div', {
    class: 'figure',
    role: 'group',
    tabindex: '0',
    'aria-label': `Markers of ${quality.trial}`,
  });
  figure.append(drawQuality(figure.ownerDocument, quality));
  return make('details', {}, make('summary', {}, `${name}: ${qualityHeadline(quality)}`), figure);
}
