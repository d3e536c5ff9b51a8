import type { Page } from 'playwright-core';
import type { PlacedText } from './svgText.ts';

/**
 * Every piece of text that can be seen on a page, a line at a time, with its box: hidden text and what a scrolling region cuts off left out.
 * The window is made as high as the page first, so that what sticks to its edge lies where it belongs.
 */
export async function textsOf(page: Page): Promise<readonly PlacedText[]> {
  const { width } = page.viewportSize()!;
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ width, height });
  return page.evaluate(() => {
    const texts: { text: string; box: { x: number; y: number; width: number; height: number } }[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const parent = node.parentElement!;
      const text = (node.textContent ?? '').trim();
      if (text === '' || parent.closest('script, style, title, select, .skip, .shapes') !== null) continue;
      if (!parent.checkVisibility({ visibilityProperty: true })) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const region = parent.closest('.wide')?.getBoundingClientRect();
      for (const { x, y, width, height } of range.getClientRects()) {
        if (width < 1 || (region !== undefined && (x >= region.right || x + width <= region.left))) continue;
        texts.push({ text: text.slice(0, 60), box: { x, y, width, height } });
      }
    }
    return texts;
  });
}
