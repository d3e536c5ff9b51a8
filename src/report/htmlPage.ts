import { shownText } from '../base/text.ts';
import { SHEETS_STYLE, SHEETS_STYLE_SHA256 } from './page/script.generated.ts';

type Child = Element | string;
export type Make = (
  name: string,
  attributes: Readonly<Record<string, string>>,
  ...children: readonly Child[]
) => Element;

/** A page that opens from disk, runs no script but its own and shows nothing but the pictures beside it. */
export interface HtmlPage {
  readonly body: Element;
  /** An element of HTML; text can only ever be text. */
  readonly make: Make;
  /** An element of SVG. */
  readonly draw: Make;
  /** HTML text of the page. */
  readonly finish: () => string;
}

/** A script of the program's own making, with its hash. */
export interface PageScript {
  readonly text: string;
  readonly sha256: string;
}

/** Pictures from beside the page, its own style and script by their hashes, nothing else. */
const policy = (script: PageScript | null): string =>
  [
    "default-src 'none'",
    "img-src 'self' file:",
    `style-src 'sha256-${SHEETS_STYLE_SHA256}'`,
    ...(script === null ? [] : [`script-src 'sha256-${script.sha256}'`]),
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');

export function startPage(document: Document, title: string, script: PageScript | null = null): HtmlPage {
  const page = document.implementation.createHTMLDocument(shownText(title));
  const fill = (
    element: Element,
    attributes: Readonly<Record<string, string>>,
    children: readonly Child[],
  ): Element => {
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, shownText(value));
    for (const child of children) element.append(typeof child === 'string' ? shownText(child) : child);
    return element;
  };
  const make: Make = (name, attributes, ...children) => fill(page.createElement(name), attributes, children);
  const draw: Make = (name, attributes, ...children) =>
    fill(page.createElementNS('http://www.w3.org/2000/svg', name), attributes, children);
  page.documentElement.setAttribute('lang', 'en');
  page.head.prepend(make('meta', { charset: 'utf-8' }));
  page.head.append(make('meta', { 'http-equiv': 'Content-Security-Policy', content: policy(script) }));
  page.head.append(make('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }));
  const style = page.createElement('style');
  style.textContent = SHEETS_STYLE;
  page.head.append(style);
  const finish = (): string => {
    if (script !== null) {
      const element = page.createElement('script');
      element.textContent = script.text;
      page.body.append(element);
    }
    return `<!doctype html>\n${page.documentElement.outerHTML}\n`;
  };
  return { body: page.body, make, draw, finish };
}
