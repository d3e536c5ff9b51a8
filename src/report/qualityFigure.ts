/** The quality of one recording: a row a marker of what was measured, filled and missing, over the positions of the swing. */

import type { TrialQuality } from '../model/trialQuality.ts';
import { finishSheet, type Sheet, startFigure, write } from './drawing/draw.ts';
import type { DrawnElement } from './drawing/element.ts';
import { wrapText } from './drawing/textMetrics.ts';
import { COLOUR, LEADING } from './drawing/theme.ts';
import { drawMarkerRows, drawQualityKey } from './parts/qualityBars.ts';
import { faultText, qualityDescription, qualityMarkers, restText } from './parts/qualityRows.ts';
import { drawPositions, drawTimeAxis, FIGURE_WIDTH, type TimeAxis, TOP, timeAxis } from './parts/qualityTime.ts';
import { counted } from './sentences/numbers.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

const ROW = 10;
/** Below the last row: two lines of the time axis and the key, points. */
const AXIS_HEIGHT = 26;
const KEY_HEIGHT = 14;
/** More are counted: a recording with so many is looked at as a whole. */
const MOST_FAULTS = 12;

/** True where the figure has anything to show beside its axis. */
export function hasQualityToShow(quality: TrialQuality): boolean {
  return quality.faults.length > 0 || qualityMarkers(quality).length > 0;
}

/** An element that stands in a page. The same quality gives the same bytes. */
export function drawQuality(words: Words, quality: TrialQuality): DrawnElement {
  return qualitySheet(words, quality).root;
}

/** A file of its own. */
export function renderQuality(words: Words, quality: TrialQuality): string {
  return finishSheet(qualitySheet(words, quality));
}

function qualitySheet(words: Words, quality: TrialQuality): Sheet {
  const rows = qualityMarkers(quality);
  const notes = notesOf(words, quality, rows.length);
  const bottom = TOP + ROW * Math.max(1, rows.length);
  const height = bottom + AXIS_HEIGHT + (rows.length > 0 ? KEY_HEIGHT : 0) + LEADING.small * notes.length + 4;
  const title = fill(words.quality.title, { trial: quality.trial });
  const sheet = startFigure(words, title, qualityDescription(words, quality), FIGURE_WIDTH, height);
  const axis: TimeAxis = timeAxis(quality, bottom);
  drawPositions(sheet, axis, quality.moments);
  drawMarkerRows(sheet, axis, rows, quality.faults, ROW);
  drawTimeAxis(sheet, axis);
  let y = bottom + AXIS_HEIGHT + LEADING.small;
  if (rows.length > 0) {
    drawQualityKey(sheet, rows, y);
    y += KEY_HEIGHT;
  }
  for (const text of notes) {
    write(sheet, sheet.root, text, 0, y, { size: 'small', fill: COLOUR.grey });
    y += LEADING.small;
  }
  return sheet;
}

/** The faults by number and what is not shown, in lines. */
function notesOf(words: Words, quality: TrialQuality, shown: number): readonly string[] {
  const faults = quality.faults
    .slice(0, MOST_FAULTS)
    .map((fault, i) => fill(words.quality.faultNumber, { n: i + 1, text: faultText(words, fault) }));
  const more = quality.faults.length - faults.length;
  return [
    ...faults,
    more > 0 ? fill(words.quality.furtherFaults, { faults: counted(words, more, 'further fault') }) : '',
    restText(words, quality, shown),
  ]
    .filter((text) => text !== '')
    .flatMap((text) => wrapText(text, FIGURE_WIDTH, 'small'));
}
