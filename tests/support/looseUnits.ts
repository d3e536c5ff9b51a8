import { JSDOM } from 'jsdom';

/** A number, a space that breaks, a unit. */
const LOOSE = /\d (?:%|(?:mm|m\/s|mph|in|s|ms|kg|N|Hz)\b)/;

/** Texts of a page in which a line may end between a number and its unit. SVG does not break lines by itself. */
export function looseUnits(html: string): readonly string[] {
  const { document, NodeFilter } = new JSDOM(html).window;
  for (const element of document.querySelectorAll('script, style, svg')) element.remove();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found: string[] = [];
  while (walker.nextNode() !== null) {
    const text = walker.currentNode.textContent ?? '';
    if (LOOSE.test(text)) found.push(text);
  }
  return found;
}
