/** Elements of SVG and HTML while a report is made. Text and attributes are escaped when they are written: what is read from a file can only ever be text. */
import { escapeXml } from '../../base/text.ts';

export class DrawnElement {
  readonly name: string;
  readonly children: (DrawnElement | string)[] = [];
  readonly #attributes = new Map<string, string>();

  constructor(name: string) {
    this.name = name;
  }

  append(...children: readonly (DrawnElement | string)[]): void {
    this.children.push(...children);
  }

  attribute(name: string): string | undefined {
    return this.#attributes.get(name);
  }

  set(name: string, value: string): void {
    this.#attributes.set(name, value);
  }

  /** The opening tag without its end: the name and the attributes in the order in which they were set first. */
  opening(escaped: (text: string) => string): string {
    let open = `<${this.name}`;
    for (const [name, value] of this.#attributes) open += ` ${name}="${escaped(value)}"`;
    return open;
  }

  /** Names and values in the order in which they were set first. */
  attributes(): [name: string, value: string][] {
    return [...this.#attributes];
  }

  /** This element and all below it, from the first to the last. */
  *all(): Generator<DrawnElement> {
    yield this;
    for (const child of this.children) if (typeof child !== 'string') yield* child.all();
  }
}

/** An element as plain data. */
export type ElementData = readonly [
  name: string,
  attributes: readonly (readonly [name: string, value: string])[],
  children: readonly (ElementData | string)[],
];

export function elementData(element: DrawnElement): ElementData {
  const children = element.children.map((child) => (typeof child === 'string' ? child : elementData(child)));
  return [element.name, element.attributes(), children];
}

export function elementFrom([name, attributes, children]: ElementData): DrawnElement {
  const element = new DrawnElement(name);
  for (const [key, value] of attributes) element.set(key, value);
  element.append(...children.map((child) => (typeof child === 'string' ? child : elementFrom(child))));
  return element;
}

/** The first element of this name below `root` or itself. */
export function firstOf(root: DrawnElement, name: string): DrawnElement | undefined {
  for (const element of root.all()) if (element.name === name) return element;
  return undefined;
}

/** One element of SVG a line. An element holds texts or elements, not both. */
export function svgText(element: DrawnElement, indent = ''): string {
  const { name, children } = element;
  const open = `${indent}${element.opening(escapeXml)}`;
  let inside = '';
  let isText = true;
  for (const child of children) {
    if (typeof child === 'string') inside += escapeXml(child);
    else {
      isText = false;
      inside += svgText(child, `${indent} `);
    }
  }
  if (inside === '') return `${open}/>\n`;
  return isText ? `${open}>${inside}</${name}>\n` : `${open}>\n${inside}${indent}</${name}>\n`;
}

/** Elements of HTML that have no content and no end. */
const EMPTY: ReadonlySet<string> = new Set(['meta', 'input', 'br', 'link', 'img']);
/** Elements whose text is not escaped: only of this program's own making. */
const OWN_TEXT: ReadonlySet<string> = new Set(['style', 'script']);

/** In HTML an apostrophe may stand as it is: all attributes stand in double quotes. */
function escapeHtml(text: string): string {
  return escapeXml(text).replaceAll('&#39;', "'");
}

/** HTML without line breaks between elements. */
export function htmlText(element: DrawnElement): string {
  const { name, children } = element;
  let inside = '';
  for (const child of children) {
    if (typeof child !== 'string') inside += htmlText(child);
    else inside += OWN_TEXT.has(name) ? child : escapeHtml(child);
  }
  const open = `${element.opening(escapeHtml)}>`;
  return EMPTY.has(name) ? open : `${open}${inside}</${name}>`;
}
