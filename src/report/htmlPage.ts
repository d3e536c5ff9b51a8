import { clean, STYLE } from './indexPage.ts';

type Child = Element | string;
export type Make = (
  name: string,
  attributes: Readonly<Record<string, string>>,
  ...children: readonly Child[]
) => Element;

/** A page that opens from disk, runs no script and fetches nothing. */
export interface HtmlPage {
  readonly body: Element;
  /** An element of HTML; text can only ever be text. */
  readonly make: Make;
  /** An element of SVG. */
  readonly draw: Make;
  /** HTML text of the page. */
  readonly finish: () => string;
}

export function startPage(document: Document, title: string, moreStyle = ''): HtmlPage {
  const page = document.implementation.createHTMLDocument(clean(title));
  const fill = (
    element: Element,
    attributes: Readonly<Record<string, string>>,
    children: readonly Child[],
  ): Element => {
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, clean(value));
    for (const child of children) element.append(typeof child === 'string' ? clean(child) : child);
    return element;
  };
  const make: Make = (name, attributes, ...children) => fill(page.createElement(name), attributes, children);
  const draw: Make = (name, attributes, ...children) =>
    fill(page.createElementNS('http://www.w3.org/2000/svg', name), attributes, children);
  page.documentElement.setAttribute('lang', 'en');
  page.head.prepend(make('meta', { charset: 'utf-8' }));
  page.head.append(make('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }));
  page.head.append(make('style', {}, STYLE, moreStyle));
  return { body: page.body, make, draw, finish: () => `<!doctype html>\n${page.documentElement.outerHTML}\n` };
}
