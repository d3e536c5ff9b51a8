/** The page of a day that is being captured: as the page of a day, and it loads itself anew while the reader's place, choices and opened parts stay. */
import './dayScript.ts';

/** What is kept over a reload, in the history entry of the page: it asks no storage of the browser. */
interface Kept {
  /** The last visible part of the page that begins above the middle of the window, and how far above or below its top edge, px. */
  readonly part: string;
  readonly top_px: number;
  readonly open: readonly string[];
  /** By name of the list: the text chosen; places in a list move when players come. */
  readonly chosen: Readonly<Record<string, string>>;
}

const LATER_MS = 500;
const QUIET_MS = 3000;
const lists = [...document.querySelectorAll<HTMLSelectElement>('.filter select')];
const parts = [...document.querySelectorAll<HTMLElement>('h1, h2, h3, summary')].filter((part) => part.textContent);

/** What a part of the page is called: its section, its kind and its text up to the first figure in it. */
function nameOf(part: Element): string {
  const section = part.closest('[id]')?.id ?? '';
  return `${section} ${part.localName} ${(part.textContent ?? '').split(':')[0]}`;
}

function detailsShown(): readonly HTMLDetailsElement[] {
  return [...document.querySelectorAll('details')];
}

function detailsName(details: Element): string {
  return nameOf(details.querySelector('summary') ?? details);
}

function textOf(list: HTMLSelectElement): string {
  return list.selectedOptions[0]?.text ?? '';
}

function keep(): void {
  const isAbove = (part: Element): boolean => part.getBoundingClientRect().top < window.innerHeight / 2;
  const above = parts.filter((part) => part.getClientRects().length > 0 && isAbove(part));
  const part = above[above.length - 1];
  const kept: Kept = {
    part: part === undefined ? '' : nameOf(part),
    top_px: part?.getBoundingClientRect().top ?? 0,
    open: detailsShown()
      .filter(({ open }) => open)
      .map(detailsName),
    chosen: Object.fromEntries(lists.map((list) => [list.name, textOf(list)])),
  };
  history.replaceState(kept, '');
}

function giveBack({ part, top_px, open, chosen }: Kept): void {
  for (const details of detailsShown()) details.open = open.includes(detailsName(details));
  for (const list of lists) {
    const option = [...list.options].find(({ text }) => text === chosen[list.name]);
    if (option !== undefined) list.value = option.value;
  }
  document.querySelector('.filter')?.dispatchEvent(new Event('change'));
  const found = parts.find((one) => nameOf(one) === part);
  const place = (): void => {
    if (found !== undefined) window.scrollBy(0, found.getBoundingClientRect().top - top_px);
  };
  place();
  // a page with a place in its address is moved there once it is loaded
  addEventListener('load', () => requestAnimationFrame(place));
}

/** True while the reader chooses, marks or scrolls; a hand that is still for a while does not keep the page from loading. */
let isBusy = false;
let quiet: ReturnType<typeof setTimeout> | undefined;
for (const kind of ['pointerdown', 'keydown', 'wheel', 'touchmove']) {
  addEventListener(kind, () => {
    isBusy = true;
    clearTimeout(quiet);
    quiet = setTimeout(() => {
      isBusy = false;
    }, QUIET_MS);
  });
}

function reload(): void {
  if (document.hidden || isBusy) {
    setTimeout(reload, LATER_MS);
    return;
  }
  keep();
  location.reload();
}

history.scrollRestoration = 'manual';
const kept = history.state as Kept | null;
if (kept !== null) giveBack(kept);
setTimeout(reload, 1000 * Number(document.documentElement.dataset['reload']));
