/** Elements of the page, found or made. Text is only ever set as text. */

/** The element that a selector finds first. Throws Error where the page has none. */
export function one<T extends Element>(selector: string, root: ParentNode = document): T {
  const found = root.querySelector<T>(selector);
  if (found === null) throw new Error(`the page has no ${selector}`);
  return found;
}

export function all<T extends Element>(selector: string, root: ParentNode = document): readonly T[] {
  return [...root.querySelectorAll<T>(selector)];
}

export function make(name: string, className: string, ...children: readonly (Node | string)[]): HTMLElement {
  const element = document.createElement(name);
  if (className !== '') element.className = className;
  element.append(...children);
  return element;
}

export function draw(name: string, attributes: Readonly<Record<string, string | number>>): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}

/** The sign of a verdict, beside words that say it. */
export function sign(place: number): SVGElement {
  const svg = draw('svg', { class: 'sign', 'aria-hidden': 'true' });
  svg.append(draw('use', { href: `#sign-${place}` }));
  return svg;
}

/** A group of buttons of which one is pressed; pressing another calls `then` with its value. */
export function wireButtons(group: Element, then: (value: string) => void): void {
  const buttons = all<HTMLButtonElement>('button', group);
  for (const button of buttons) {
    button.addEventListener('click', () => {
      press(group, button.value);
      then(button.value);
    });
  }
}

/** Shows which button of a group is pressed; none where no button has the value. */
export function press(group: Element, value: string): void {
  for (const button of all<HTMLButtonElement>('button', group)) {
    button.setAttribute('aria-pressed', String(button.value === value));
  }
}
