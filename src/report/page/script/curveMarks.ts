import { CURVE_STEPS } from '../../../model/swingRecord.ts';
import { COLOUR } from '../../drawing/theme.ts';
import type { PageCurve, PageData } from '../pageData.ts';
import type { Choice } from './choices.ts';
import { draw, make, one } from './dom.ts';
import { numberText, type UnitChoice } from './units.ts';

/** A drawn curve with what moves on it: the line of the instant, the two values, the curves of other choices. */
export interface LiveCurve {
  readonly place: number;
  readonly svg: SVGSVGElement;
  /** Shows the instant; `position` where the slider stands on a position, else null. */
  readonly show: (instant: Instant) => void;
}

export interface Instant {
  readonly step: number;
  /** Place of the position the slider stands on exactly, or null. */
  readonly position: number | null;
  readonly solid: Choice;
  readonly dashed: Choice;
  readonly units: UnitChoice;
}

const LAST = CURVE_STEPS - 1;

export function xOf({ plot }: PageCurve, step: number): number {
  return plot.left + ((plot.right - plot.left) * step) / LAST;
}

function yOf({ plot }: PageCurve, value: number): number {
  return plot.bottom - ((value - plot.low) / (plot.high - plot.low)) * (plot.bottom - plot.top);
}

/** Step under a place on the screen. */
export function stepAt({ plot }: PageCurve, svg: SVGSVGElement, clientX: number): number {
  const { left, width } = svg.getBoundingClientRect();
  const x = ((clientX - left) / width) * svg.viewBox.baseVal.width;
  const share = (x - plot.left) / (plot.right - plot.left);
  return Math.min(LAST, Math.max(0, Math.round(LAST * share)));
}

function pathOf(curve: PageCurve, values: ArrayLike<number>): string {
  let d = '';
  let pen = false;
  for (let step = 0; step < CURVE_STEPS; step++) {
    const value = values[step]!;
    if (Number.isNaN(value)) {
      pen = false;
      continue;
    }
    d += `${pen ? 'L' : 'M'}${xOf(curve, step).toFixed(1)} ${yOf(curve, value).toFixed(1)}`;
    pen = true;
  }
  return d;
}

/** Makes the drawing inside a figure of the page live. */
export function liveCurve(figure: Element, place: number, data: PageData): LiveCurve {
  const curve = data.curves[place]!;
  const svg = one<SVGSVGElement>('svg', figure);
  const now = one<HTMLElement>('.now', figure);
  const { top, bottom } = curve.plot;
  const line = draw('path', { class: 'mark', stroke: COLOUR.ink, 'stroke-width': 0.8 });
  const chosen = [
    draw('path', { class: 'own', fill: 'none', stroke: COLOUR.driverText, 'stroke-width': 1.6 }),
    draw('path', {
      class: 'own',
      fill: 'none',
      stroke: COLOUR.ironsText,
      'stroke-width': 1.4,
      'stroke-dasharray': '3.2 1.8',
    }),
  ] as const;
  const dots = [
    draw('circle', { r: 2.8, fill: COLOUR.driver, stroke: COLOUR.paper, 'stroke-width': 0.8 }),
    draw('circle', { r: 2.4, fill: COLOUR.paper, stroke: COLOUR.irons, 'stroke-width': 1.3 }),
  ] as const;
  svg.append(chosen[1], chosen[0], line, dots[1], dots[0]);
  let shownKeys = '';
  const show = ({ step, position, solid, dashed, units }: Instant): void => {
    const x = xOf(curve, step);
    line.setAttribute('d', `M${x.toFixed(1)} ${top}V${bottom}`);
    const both = [solid, dashed] as const;
    const keys = `${solid.key} ${dashed.key}`;
    if (keys !== shownKeys) {
      shownKeys = keys;
      both.forEach((choice, who) => {
        chosen[who]!.setAttribute('d', choice.mean === who ? '' : pathOf(curve, choice.curve(place)));
      });
      svg.classList.toggle('other-solid', solid.mean !== 0);
      svg.classList.toggle('other-dashed', dashed.mean !== 1);
    }
    const values = both.map((choice, who) => {
      const onCurve = choice.curve(place)[step] ?? Number.NaN;
      const isThere = !Number.isNaN(onCurve);
      dots[who]!.setAttribute('visibility', isThere ? 'visible' : 'hidden');
      if (isThere) {
        dots[who]!.setAttribute('cx', x.toFixed(1));
        dots[who]!.setAttribute('cy', yOf(curve, onCurve).toFixed(1));
      }
      // on a position the number is that of the tables
      const inTable = position === null ? Number.NaN : choice.value(curve.quantity, position);
      return Number.isNaN(inTable) ? onCurve : inTable;
    });
    writeNow(now, values, data, curve, units);
  };
  return { place, svg, show };
}

function writeNow(
  now: HTMLElement,
  values: readonly number[],
  data: PageData,
  curve: PageCurve,
  units: UnitChoice,
): void {
  const quantity = data.quantities[curve.quantity];
  if (quantity === undefined) return;
  const text = numberText(quantity, units, data);
  const [solid, dashed] = values as [number, number];
  const none = data.words.noValue;
  const shown = (number: string): string => (number === '' ? none : `${number}${text.suffix}`);
  now.replaceChildren(
    make('span', 'solid', shown(text.plain(solid))),
    make('span', 'dashed', shown(text.plain(dashed))),
    make('span', 'difference', shown(text.signed(solid - dashed))),
  );
}
