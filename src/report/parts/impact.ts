import { quantityById } from '../../model/catalogue.ts';
import type { PlayerComparison, SwingMarks } from '../../model/comparison.ts';
import { COMMON_ATTACK_BAND_DEG } from '../../model/dayPlan.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import { type Box, type Sheet, write } from '../drawing/draw.ts';
import { wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { listed, signedWithUnit, speedWords, withUnit } from '../sentences/numbers.ts';
import { causeOf } from '../sentences/orderWords.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { BAND_LINE, drawMarks, type RowWords, unitAfter } from './swingMarks.ts';

/** The club at impact on the sheet: the figures a coach asks for first, each swing a mark; absent ones with their reason. */

/** In the order of the sheet. */
export const IMPACT_ROWS = [
  'club.attack',
  'club.low_point',
  'club.path',
  'club.face',
  'club.face_to_path',
  'club.shaft_lean',
  'club.loft',
  'club.head_speed',
  'tempo.ratio',
] as const;
/** What a coach asks for first: missed where it is missing. */
const ASKED: readonly string[] = ['club.attack', 'club.head_speed', 'club.path', 'club.face_to_path', 'club.face'];
/** Which rows go first where the sheet is full: the last of these. */
const BY_NEED: readonly string[] = [...ASKED, 'tempo.ratio', 'club.low_point', 'club.shaft_lean', 'club.loft'];

/** Lowest height of a row with its lanes apart, that of rows with names at every lane, and the greatest of use, points. */
const LEAST = 33;
const ROOMY = 38;
/** What the first row needs more where it alone is named. */
const NAMED = 4;
const MOST = 42;
/** Between a row and the next, points. */
const BELOW = 4;

/** Marks of one quantity, where both sides are not empty of it. */
export function marksOf(comparison: PlayerComparison, quantity: string): SwingMarks | null {
  const marks = comparison.marks.find((entry) => entry.quantity === quantity);
  return marks !== undefined && marks.group.length + marks.reference.length > 0 ? marks : null;
}

/** What stands over the marks of a figure; the attack angle of drivers has a band. */
export function wordsOf(words: Words, view: PlayerView, marks: SwingMarks): RowWords {
  const { unit } = quantityById(marks.quantity);
  const { label, plus } = words.quantities.of(marks.quantity);
  return {
    title: `${capital(label)}${unitAfter(marks)}`,
    // faster, longer, slower: the numbers say it
    plus:
      words.quantities.plusAtMarks[marks.quantity] ??
      (unit === 'm/s' || unit === 'ratio' ? '' : plus.replace(/ \(.*\)$/, '')),
    band: marks.quantity === 'club.attack' ? attackBand(words, view) : null,
  };
}

/** The band of the day file, for a group of drivers alone: with other clubs it says nothing. */
function attackBand(words: Words, { comparison, records }: PlayerView): RowWords['band'] {
  const band = comparison.options.attackBand_deg;
  const trials = new Set(comparison.group.trials);
  const isDriver = ({ head }: SwingRecord): boolean => head.kind === 'driver';
  const own = records.filter(({ head }) => trials.has(head.trial));
  if (band === null || own.length === 0 || !own.every(isDriver)) return null;
  const [from, to] = band;
  const isCommon = from === COMMON_ATTACK_BAND_DEG[0] && to === COMMON_ATTACK_BAND_DEG[1];
  const digits = Number.isInteger(from) && Number.isInteger(to) ? 0 : 1;
  const { band: template, common, set } = words.sheet.impact;
  const text = fill(template, {
    low: signedWithUnit(words, from, digits, 'deg'),
    high: signedWithUnit(words, to, digits, 'deg'),
    source: isCommon ? common : set,
  });
  return { from, to, text };
}

/**
 * Draws into `box` the rows there are, from its top; says what is missing. Rows that find no room are left out by need.
 * Returns where it ends.
 */
export function drawImpact(sheet: Sheet, view: PlayerView, box: Box): number {
  const { comparison } = view;
  const found = IMPACT_ROWS.map((id) => marksOf(comparison, id)).filter((marks) => marks !== null);
  const head = !hasClub(comparison) && comparison.part.source === 'markers' ? LEADING.middle : 0;
  const absent = absentLines(sheet.words, comparison, box.width);
  const free = box.height - head - LEADING.small * absent.length;
  const extra = (marks: SwingMarks): number => (wordsOf(sheet.words, view, marks).band === null ? 0 : BAND_LINE);
  const added = (rows: readonly SwingMarks[]): number => rows.reduce((sum, marks) => sum + extra(marks), NAMED);
  const shown = fitting(found, (rows) => LEAST * rows.length + added(rows) <= free);
  const more = wrapText(elsewhereText(sheet.words, found, shown), box.width, 'small');
  const isTold = LEAST * shown.length + added(shown) + LEADING.small * more.length <= free;
  const lines = isTold ? [...absent, ...more] : absent;
  const room = box.height - head - LEADING.small * lines.length;
  const height = Math.min(MOST, (room - added(shown)) / Math.max(1, shown.length));
  let y = box.y + head;
  if (head > 0)
    write(sheet, sheet.root, sheet.words.sheet.impact.heading, box.x, box.y + 7, { size: 'middle', weight: 'bold' });
  shown.forEach((marks, i) => {
    const own = height + extra(marks) + (i === 0 ? NAMED : 0);
    const area = { x: box.x, y, width: box.width, height: own - BELOW };
    // in low rows the lanes are named once: their marks differ in form
    drawMarks(sheet, comparison, marks, wordsOf(sheet.words, view, marks), area, i === 0 || height >= ROOMY);
    y += own;
  });
  lines.forEach((text, i) => {
    write(sheet, sheet.root, text, box.x, y + 6 + LEADING.small * i, { size: 'small', fill: COLOUR.grey });
  });
  return y + LEADING.small * lines.length;
}

/** Names what was asked for and found no room; '' where all of it did. */
function elsewhereText(words: Words, found: readonly SwingMarks[], shown: readonly SwingMarks[]): string {
  const left = found.filter((marks) => ASKED.includes(marks.quantity) && !shown.includes(marks));
  return left.length === 0
    ? ''
    : fill(words.sheet.impact.elsewhere, {
        figures: listed(
          words,
          left.map(({ quantity }) => labelOf(words, quantity)),
        ),
      });
}

/** Leaves out what is needed least until the rest fits. */
function fitting(found: readonly SwingMarks[], fits: (rows: readonly SwingMarks[]) => boolean): readonly SwingMarks[] {
  let rows = found;
  for (const id of [...BY_NEED].reverse()) {
    if (fits(rows)) return rows;
    rows = rows.filter(({ quantity }) => quantity !== id);
  }
  return rows;
}

function hasClub(comparison: PlayerComparison): boolean {
  return IMPACT_ROWS.some((id) => id.startsWith('club.') && marksOf(comparison, id) !== null);
}

/** What stands on the sheet about missing figures: one sentence where there is none at all. */
function missingTexts(words: Words, comparison: PlayerComparison): string[] {
  if (hasClub(comparison)) return absentTexts(words, comparison);
  const { none, needs } = words.sheet.impact;
  const row = comparison.rows.find(({ quantity }) => quantity === 'club.attack');
  const cause = row === undefined ? '' : causeOf(row.reason);
  return [fill(none, { cause: cause === '' ? needs : cause })];
}

function absentLines(words: Words, comparison: PlayerComparison, width: number): string[] {
  // the sheet of sensors says above that they give no figures of the club
  if (comparison.part.source === 'sensors') return [];
  return missingTexts(words, comparison).flatMap((text) => wrapText(text, width, 'small', 'regular', 4));
}

/** 'No path and face against target: needs a target line …': figures of the club that no swing has, one sentence a reason. */
export function absentTexts(words: Words, comparison: PlayerComparison, ids: readonly string[] = ASKED): string[] {
  const byCause = new Map<string, string[]>();
  for (const id of new Set(ids.filter((entry) => entry.startsWith('club.')))) {
    const row = comparison.rows.find((entry) => entry.quantity === id && entry.basis === 'value');
    if (row === undefined || marksOf(comparison, id) !== null) continue;
    const cause = causeOf(row.reason);
    if (cause === '') continue;
    byCause.set(cause, [...(byCause.get(cause) ?? []), labelOf(words, id)]);
  }
  return [...byCause].map(([cause, names]) =>
    fill(words.sheet.impact.absent, { figures: listed(words, names), cause }),
  );
}

/** What the rows say in words, for the description of the sheet; '' where there are no numbers. */
export function impactWords(words: Words, view: PlayerView): string {
  const { comparison } = view;
  const said = IMPACT_ROWS.map((id) => {
    const row = comparison.rows.find((entry) => entry.quantity === id && entry.basis === 'value');
    if (row === undefined || row.meanGroup === null || row.meanReference === null) return '';
    const { decimals } = quantityById(id);
    const marks = marksOf(comparison, id);
    const band = marks === null ? null : wordsOf(words, view, marks).band;
    const valued = (value: number): string =>
      row.unit === 'm/s' ? speedWords(words, value, decimals) : withUnit(words, value, decimals, row.unit);
    return fill(words.sheet.impact.both, {
      figure: labelOf(words, id),
      group: comparison.group.label,
      groupMean: valued(row.meanGroup),
      reference: comparison.reference.label,
      referenceMean: valued(row.meanReference),
      band: band === null ? '' : ` (${band.text})`,
    });
  }).filter((text) => text !== '');
  // the description of sensors says elsewhere what they cannot give
  const absent =
    comparison.part.source === 'sensors' || comparison.reason !== '' ? [] : missingTexts(words, comparison);
  return [said.join('; '), ...absent].filter((text) => text !== '').join('. ');
}
