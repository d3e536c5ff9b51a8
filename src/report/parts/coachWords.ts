import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { positionNotes, practiceItems } from '../sentences/coachText.ts';
import type { PlayerView } from '../views.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What the coach says of positions and wants practised; nothing where the day file says neither. */
export function drawCoachWords(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const notes = positionNotes(sheet.words, view);
  const practice = practiceItems(sheet.words, view);
  if (notes.length + practice.length === 0) return;
  drawHeading(sheet, flow, sheet.words.details.headings.coach);
  for (const { position, text } of notes) drawParagraph(sheet, flow, position, text);
  practice.forEach((text, i) => {
    drawParagraph(sheet, flow, i === 0 ? sheet.words.details.terms.practice : '', `${i + 1}. ${text}`);
  });
  flow.y += 6;
}
