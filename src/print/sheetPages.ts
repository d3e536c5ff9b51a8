/// <reference lib="dom" />
/** Sheets as the pages of one document: what stands in the browser when it prints. */
import { PAPERS, type Paper } from './paper.ts';

/** The empty document: each page as large as the paper, a sheet in the middle of its page. */
export function emptyPages(paper: Paper): string {
  const { width_mm, height_mm } = PAPERS[paper];
  // a hair lower than the paper: a browser that rounds lengths up would add an empty page
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title></title><style>
@page { size: ${width_mm}mm ${height_mm}mm; margin: 0; }
body { margin: 0; }
section { width: ${width_mm}mm; height: ${height_mm - 0.1}mm; overflow: hidden; break-inside: avoid; }
section + section { break-before: page; }
svg { display: block; width: 100%; height: 100%; }
</style></head><body></body></html>`;
}

/**
 * Puts the sheets into the document, one section a page; runs inside the browser, so it uses nothing from outside itself. A sheet of
 * several pages has a `view` for each; its parts go to the page they stand on, so that a page holds its own words and no others.
 * @param sheets texts of SVG files
 */
export function placeSheets(sheets: readonly string[]): void {
  const drawn = 'text, path, rect, circle';
  for (const text of sheets) {
    const whole = document.importNode(new DOMParser().parseFromString(text, 'image/svg+xml').documentElement, true);
    if (document.title === '') document.title = whole.querySelector('title')?.textContent ?? '';
    const views = [...whole.querySelectorAll('view')].map((view) => view.getAttribute('viewBox') ?? '');
    document.body.append(whole);
    // all boxes before anything is changed: a change would have them laid out again
    const boxes = [...whole.querySelectorAll<SVGGraphicsElement>(drawn)].map((part) => part.getBBox());
    whole.remove();
    for (const view of views.length === 0 ? [whole.getAttribute('viewBox') ?? ''] : views) {
      const page = whole.cloneNode(true) as Element;
      page.setAttribute('viewBox', view);
      const [, top = 0, , height = 0] = view.split(' ').map(Number);
      for (const [i, part] of [...page.querySelectorAll(drawn)].entries()) {
        const box = boxes[i];
        if (box !== undefined && (box.y + box.height <= top || box.y >= top + height)) part.remove();
      }
      for (const part of page.querySelectorAll('g')) {
        if (part.querySelector(drawn) === null) part.remove();
      }
      const section = document.createElement('section');
      section.append(page);
      document.body.append(section);
    }
  }
}
