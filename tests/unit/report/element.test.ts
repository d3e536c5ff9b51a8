import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import {
  DrawnElement,
  elementData,
  elementFrom,
  firstOf,
  htmlText,
  svgText,
} from '../../../src/report/drawing/element.ts';

const NASTY = `</text><script>alert(1)</script> & "quoted" 'so' ]]> <!--`;

function made(
  name: string,
  attributes: Readonly<Record<string, string>>,
  ...children: readonly (DrawnElement | string)[]
) {
  const element = new DrawnElement(name);
  for (const [key, value] of Object.entries(attributes)) element.set(key, value);
  element.append(...children);
  return element;
}

describe('elements of a report, read by a browser’s rules', () => {
  it('text and attributes of SVG come back as they were given, whatever they hold', () => {
    const root = made(
      'svg',
      { xmlns: 'http://www.w3.org/2000/svg', 'aria-label': NASTY },
      made('text', {}, NASTY),
      made('g', {}),
    );
    const parsed = new JSDOM(svgText(root), { contentType: 'image/svg+xml' }).window.document.documentElement;
    expect(parsed.getAttribute('aria-label')).toBe(NASTY);
    expect([...parsed.children].map(({ tagName }) => tagName)).toEqual(['text', 'g']);
    expect(parsed.children[0]!.textContent).toBe(NASTY);
  });

  it('an element that was sent as plain data is written as before', () => {
    const root = made('svg', { b: NASTY, a: '' }, made('text', {}, NASTY), made('g', {}, made('g', { id: '1' })));
    const back = elementFrom(structuredClone(elementData(root)));
    expect(svgText(back)).toBe(svgText(root));
    expect(back).toBeInstanceOf(DrawnElement);
    expect(firstOf(back, 'text')!.children).toEqual([NASTY]);
  });

  it('so do those of HTML; a style keeps its own signs; elements without content have no end', () => {
    const style = "a > b { content: '&' }";
    const body = made(
      'body',
      { title: NASTY },
      made('p', {}, NASTY, made('br', {}), 'after'),
      made('meta', { content: "'self'" }),
    );
    const html = htmlText(made('html', {}, made('head', {}, made('style', {}, style)), body));
    const parsed = new JSDOM(html).window.document;
    expect(parsed.querySelector('style')!.textContent).toBe(style);
    expect(parsed.body.title).toBe(NASTY);
    expect(parsed.querySelector('p')!.textContent).toBe(`${NASTY}after`);
    expect(parsed.querySelectorAll('script')).toHaveLength(0);
    expect(html).toContain(`<br>`);
    expect(html).toContain(`content="'self'"`);
  });

  it('an attribute set again keeps its place; the first of a name is found at any depth', () => {
    const root = made('svg', { a: '1', b: '2' }, made('g', {}, made('rect', { id: 'x' })), made('rect', { id: 'y' }));
    root.set('a', '3');
    expect(svgText(root).split('\n')[0]).toBe('<svg a="3" b="2">');
    expect(firstOf(root, 'rect')?.attribute('id')).toBe('x');
    expect(firstOf(root, 'circle')).toBeUndefined();
  });
});
