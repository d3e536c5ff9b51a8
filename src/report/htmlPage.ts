import { shownText, withUnitsKept } from '../base/text.ts';
import { DrawnElement, htmlText } from './drawing/element.ts';
import { SHEETS_STYLE, SHEETS_STYLE_SHA256 } from './page/script.generated.ts';
import type { Words } from './words/words.ts';

type Child = DrawnElement | string;
/** A page that opens from disk, runs no script but its own and shows nothing but the pictures beside it. */
export interface HtmlPage {
  readonly body: DrawnElement;
  /** HTML text of the page. */
  readonly finish: () => string;
}

/** A script of the program's own making, with its hash. */
export interface PageScript {
  readonly text: string;
  readonly sha256: string;
  /** After so many seconds the script loads the page anew; without scripts the browser does. */
  readonly reload_s?: number;
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

export function startPage(words: Words, title: string, script: PageScript | null = null): HtmlPage {
  const reload = script?.reload_s === undefined ? null : String(script.reload_s);
  const page = make('html', { lang: words.language, ...(reload === null ? {} : { 'data-reload': reload }) });
  const style = make('style', {});
  style.append(SHEETS_STYLE);
  const head = make(
    'head',
    {},
    make('meta', { charset: 'utf-8' }),
    make('title', {}, title),
    make('meta', { 'http-equiv': 'Content-Security-Policy', content: policy(script) }),
    make('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }),
    ...(reload === null ? [] : [make('noscript', {}, make('meta', { 'http-equiv': 'refresh', content: reload }))]),
    style,
  );
  const body = make('body', {});
  page.append(head, body);
  const finish = (): string => {
    if (script !== null) {
      const element = make('script', {});
      element.append(script.text);
      body.append(element);
    }
    return `<!doctype html>\n${htmlText(page)}\n`;
  };
  return { body, finish };
}

/** An element of HTML or SVG; text can only ever be text. */
export function make(
  name: string,
  attributes: Readonly<Record<string, string>>,
  ...children: readonly Child[]
): DrawnElement {
  const element = new DrawnElement(name);
  for (const [key, value] of Object.entries(attributes)) element.set(key, shownText(value));
  for (const child of children) element.append(typeof child === 'string' ? withUnitsKept(shownText(child)) : child);
  return element;
}

/** The foot of a page: notes, cautions, the version of the program. */
export function pageFoot(words: Words, notes: readonly string[], programVersion: string): DrawnElement {
  return make(
    'footer',
    { class: 'text' },
    ...(notes.length === 0 ? [] : [make('ul', {}, ...notes.map((text) => make('li', {}, text)))]),
    make('p', { class: 'foot' }, words.cautions),
    make('p', { class: 'foot' }, programVersion),
  );
}
