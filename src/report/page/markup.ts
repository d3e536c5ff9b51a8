import { escapeXml, withUnitsKept } from '../../base/text.ts';

/** Pieces of HTML as text. Text given to `tag` can only ever be text; what is passed to `raw` must be of this program's own making. */
export interface Markup {
  readonly html: string;
}

export type Child = Markup | string | null;
export type MarkupAttributes = Readonly<Record<string, string | number | boolean>>;

/** Elements without content. */
const EMPTY: ReadonlySet<string> = new Set(['meta', 'input', 'br', 'link']);

/** An element. An attribute that is true stands alone, one that is false is left out; a child that is null is nothing. */
export function tag(name: string, attributes: MarkupAttributes, ...children: readonly Child[]): Markup {
  let open = `<${name}`;
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false) continue;
    open += value === true ? ` ${key}` : ` ${key}="${escapeXml(String(value))}"`;
  }
  return { html: EMPTY.has(name) ? `${open}>` : `${open}>${join(children).html}</${name}>` };
}

/** Children one after the other. */
export function join(children: readonly Child[]): Markup {
  let html = '';
  for (const child of children) {
    if (child !== null) html += typeof child === 'string' ? escapeXml(withUnitsKept(child)) : child.html;
  }
  return { html };
}

/** HTML that the program itself has made. */
export function raw(html: string): Markup {
  return { html };
}

/** A value as JSON that stays inside its script element, whatever texts it holds. */
export function jsonIsland(id: string, value: unknown): Markup {
  const json = JSON.stringify(value)
    .replaceAll('<', '\\u003c')
    .replaceAll('>', '\\u003e')
    .replaceAll('\u2028', '\\u2028')
    .replaceAll('\u2029', '\\u2029');
  return raw(`<script type="application/json" id="${id}">${json}</script>`);
}
