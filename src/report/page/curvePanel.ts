import { quantityById } from '../../model/catalogue.ts';
import type { CurveSummary, PlayerComparison } from '../../model/comparison.ts';
import type { Quantity } from '../../model/quantity.ts';
import { CURVE_STEPS } from '../../model/swingRecord.ts';
import { finishFigure, startFigure } from '../drawing/draw.ts';
import { differsText } from '../parts/curveStretches.ts';
import { curveRows, drawPlot, isDrawn } from '../parts/curves.ts';
import { unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { type Markup, raw, tag } from './markup.ts';
import type { PageCurve } from './pageData.ts';

/** Points; half of an A5 page wide when shown at its own size, larger on the screen. */
const WIDTH = 250;
const HEIGHT = 120;
const AXIS_WIDTH = 20;
const FOOT_HEIGHT = 12;

/** A curve of the page: the drawing, and where in it a step and a value lie. */
export interface PagePanel {
  readonly quantity: Quantity;
  readonly label: string;
  readonly curve: CurveSummary;
  readonly plot: PageCurve['plot'];
  readonly svg: Markup;
}

/** The curves of the sheet, each as a drawing of its own with the positions evenly spaced; those without values are left out. */
export function curvePanels(comparison: PlayerComparison, words: Words): readonly PagePanel[] {
  const steps = Float64Array.from({ length: CURVE_STEPS }, (_, step) => step);
  return curveRows(comparison)
    .flat()
    .flatMap((id, i): PagePanel[] => {
      const curve = comparison.curves.find((one) => one.quantity === id && isDrawn(one));
      return curve === undefined ? [] : [panelOf(comparison, curve, steps, i === 0, words)];
    });
}

function panelOf(
  comparison: PlayerComparison,
  curve: CurveSummary,
  steps: Float64Array,
  named: boolean,
  words: Words,
): PagePanel {
  const quantity = quantityById(curve.quantity);
  const title = fill(words.page.curveOf, { label: labelOf(words, quantity.id) });
  const sheet = startFigure(words, title, `${title}${differsText(words, curve)}`, WIDTH, HEIGHT);
  const box = { x: AXIS_WIDTH, y: 1, width: WIDTH - AXIS_WIDTH - 1, height: HEIGHT - FOOT_HEIGHT - 1 };
  const { low, high } = drawPlot(sheet, sheet.root, comparison, curve, steps, box, named);
  return {
    quantity,
    label: labelOf(words, quantity.id),
    curve,
    plot: { left: box.x, right: box.x + box.width, top: box.y, bottom: box.y + box.height, low, high },
    svg: raw(finishFigure(sheet)),
  };
}

/** The drawing with its name over it; the script writes the values at the instant into the empty place. */
export function curveFigure(panel: PagePanel, place: number): Markup {
  const unit = unitText(panel.quantity.unit).trim();
  return tag(
    'figure',
    { class: 'panel', 'data-curve': place },
    tag(
      'figcaption',
      {},
      tag('b', {}, `${capital(panel.label)}${unit === '' ? '' : `, ${unit}`}`),
      tag('span', { class: 'now' }),
    ),
    panel.svg,
  );
}
