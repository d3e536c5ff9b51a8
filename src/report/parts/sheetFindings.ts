import type { PositionId } from '../../model/positions.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { balanceText, fitText, textWidth, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import type { Findings } from '../findings.ts';
import { noteText, positionNotes, practiceText } from '../sentences/coachText.ts';
import { positionOrder } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import type { Words } from '../words/words.ts';

/** The finding in large type, what departs further and the coach's notes below it, set-up and matches beside them. */

const WIDTH = PAGE.right - PAGE.left;
const FURTHER_WIDTH = 462;
const SIDE_X = PAGE.left + FURTHER_WIDTH + 22;
const SIDE_WIDTH = PAGE.right - SIDE_X;
const SIDE_INDENT = 46;

/** The sentences and the coach's words; returns where the pictures may begin. */
export function drawFindings(sheet: Sheet, view: PlayerView, findings: Findings, from: number): number {
  const { headings } = sheet.words.findings;
  let y = from;
  for (const text of balanceText(findings.headline, WIDTH, 'large')) {
    write(sheet, sheet.root, text, PAGE.left, y, { size: 'large' });
    y += LEADING.large;
  }
  y += 1;
  let left = drawFurther(sheet, view, findings, y);
  let right = y;
  // where no departure fills the left column, the set-up and the slight differences do
  const open = findings.support.length + findings.further.length === 0;
  if (open) {
    left = drawNote(sheet, headings.setUp, findings.setUp, PAGE.left, FURTHER_WIDTH, left);
    left = drawNote(sheet, headings.slightly, findings.slightly, PAGE.left, FURTHER_WIDTH, left);
  } else right = drawNote(sheet, headings.setUp, findings.setUp, SIDE_X, SIDE_WIDTH, right);
  const x = left > y ? SIDE_X : PAGE.left;
  const width = left > y ? SIDE_WIDTH : FURTHER_WIDTH;
  right = drawNote(sheet, headings.matches, findings.matches, x, width, right);
  right = drawNote(sheet, headings.limbs, findings.limbs, x, width, right);
  right = drawNote(sheet, headings.open, findings.undecided, x, width, right);
  // where there is room without moving the pictures down
  for (const [heading, text] of [
    [headings.note, noteText(sheet.words, view.note)],
    [headings.practice, practiceText(sheet.words, view)],
  ] as const) {
    if (x === SIDE_X && left < right) left = drawNote(sheet, heading, text, PAGE.left, FURTHER_WIDTH, left + 4);
    else right = drawNote(sheet, heading, text, x, width, right);
  }
  return Math.max(left, right) + 4;
}

/** Notes of positions on the sheet; all are in the details. */
const MOST_NOTES = 4;

interface PlacedLine {
  readonly position: PositionId;
  readonly text: string;
  /** What stands where the text is wider than so many points. */
  readonly short: (width: number) => string;
}

/** Departures and the coach's notes, one line each, in the order of the swing; where both are at a position the note stands last. */
function placedLines(words: Words, view: PlayerView, findings: Findings): readonly PlacedLine[] {
  const notes = positionNotes(words, view).slice(0, MOST_NOTES);
  const lines: PlacedLine[] = [
    ...findings.further.map(({ position, text, short }) => ({ position, text, short: () => short })),
    ...notes.map(({ position, text }) => ({ position, text, short: (width: number) => shortNote(words, text, width) })),
  ];
  return lines.sort((a, b) => positionOrder(a.position) - positionOrder(b.position));
}

/** A note cut before its source, which stays. */
function shortNote(words: Words, text: string, width: number): string {
  const { source } = words.coach;
  const said = text.slice(0, -source.length);
  return `${fitText(said, width - textWidth(source, 'middle'), 'middle')}${source}`;
}

function drawFurther(sheet: Sheet, view: PlayerView, findings: Findings, from: number): number {
  let y = from;
  for (const text of findings.support.flatMap((line) => wrapText(line, FURTHER_WIDTH, 'middle', 'regular', 2))) {
    write(sheet, sheet.root, text, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
    y += LEADING.middle;
  }
  if (findings.support.length > 0) y += 3;
  const lines = placedLines(sheet.words, view, findings);
  const indent = 7 + Math.max(19, ...lines.map(({ position }) => textWidth(position, 'middle', 'bold')));
  for (const { position, text, short } of lines) {
    const width = FURTHER_WIDTH - indent;
    const fits = textWidth(text, 'middle') <= width;
    write(sheet, sheet.root, position, PAGE.left, y, { size: 'middle', weight: 'bold' });
    write(sheet, sheet.root, fits ? text : short(width), PAGE.left + indent, y, { size: 'middle', width });
    y += LEADING.middle;
  }
  if (findings.furtherLeft > 0) {
    const text = sheet.words.findings.furtherLeft(findings.furtherLeft);
    write(sheet, sheet.root, text, PAGE.left + indent, y, { size: 'middle', fill: COLOUR.grey });
    y += LEADING.middle;
  }
  return y;
}

/** A paragraph with its heading before it; returns where the next may begin. */
function drawNote(sheet: Sheet, heading: string, text: string, left: number, width: number, from: number): number {
  const x = left + SIDE_INDENT;
  const lines = wrapText(text, width - SIDE_INDENT, 'middle', 'regular', 4);
  if (lines.length === 0) return from;
  write(sheet, sheet.root, heading, left, from, { size: 'middle', weight: 'bold' });
  lines.forEach((line, i) => {
    write(sheet, sheet.root, line, x, from + LEADING.middle * i, { size: 'middle' });
  });
  return from + LEADING.middle * lines.length + 2;
}
