/** The filter choice of one trial: a row a segment group, a panel a rule, its curve over the cutoff with what it would choose and what was used. */

import { extent, ticks } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { CutoffCurves, Sampled } from '../model/cutoffCurves.ts';
import type { CutoffMethod } from '../model/dayPlan.ts';
import type { LandmarkGroup } from '../model/landmarkGroups.ts';
import { add, type Box, finishSheet, group, rule, type Sheet, startFigure, write } from './drawing/draw.ts';
import type { DrawnElement } from './drawing/element.ts';
import { wrapText } from './drawing/textMetrics.ts';
import { COLOUR, LEADING } from './drawing/theme.ts';
import { counted, plain } from './sentences/numbers.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

/** Points. */
const WIDTH = 620;
const NAME_WIDTH = 96;
const PANEL_WIDTH = 150;
const PANEL_GAP = 24;
const PANEL_HEIGHT = 74;
const ROW_HEIGHT = 104;
const TOP = 40;
const TAIL_DASH = '3 2';
/** Hues that stand for no club. */
const CUTOFF = '#00796b';
const TAIL = '#7b4fa3';

const RULES: readonly CutoffMethod[] = ['residual', 'autocorrelation', 'cross-validation'];

/** A file of its own; the same curves give the same bytes. Empty curves draw a sentence. */
export function renderResiduals(words: Words, trial: string, curves: readonly CutoffCurves[]): string {
  const { cutoff } = words.quality;
  const height = TOP + ROW_HEIGHT * Math.max(1, curves.length) + LEADING.small * cutoff.notes.length;
  const sheet = startFigure(words, fill(cutoff.title, { trial }), description(words, curves), WIDTH, height);
  const small = { size: 'small', fill: COLOUR.grey } as const;
  RULES.forEach((method, i) => {
    const { title, about } = cutoff.rules[method];
    write(sheet, sheet.root, title, panelX(i), 10, { size: 'middle', weight: 'bold' });
    write(sheet, sheet.root, about, panelX(i), 21, small);
  });
  curves.forEach((one, i) => {
    drawRow(sheet, one, TOP + ROW_HEIGHT * i);
  });
  if (curves.length === 0) write(sheet, sheet.root, cutoff.nothing, 0, TOP, { size: 'middle' });
  cutoff.notes.forEach((text, i) => {
    write(sheet, sheet.root, text, 0, height - LEADING.small * (cutoff.notes.length - i) + 5, small);
  });
  return finishSheet(sheet);
}

function panelX(i: number): number {
  return NAME_WIDTH + i * (PANEL_WIDTH + PANEL_GAP);
}

function nameOf(words: Words, curves: CutoffCurves): string {
  return words.quality.groups[curves.group.replace(/_Hz$/, '') as LandmarkGroup];
}

function usedText(words: Words, { used_Hz, rule: chosen }: CutoffCurves): string {
  const { cutoff } = words.quality;
  if (used_Hz === null) return cutoff.notFiltered;
  const value = `${plain(words, used_Hz, 1)} Hz`;
  return chosen === null
    ? fill(cutoff.asSet, { cutoff: value })
    : fill(cutoff.by, { cutoff: value, rule: cutoff.chosenBy[chosen] });
}

function description(words: Words, curves: readonly CutoffCurves[]): string {
  const { cutoff } = words.quality;
  if (curves.length === 0) return cutoff.nothing;
  return curves
    .map((one) => {
      const choices = RULES.map((method) => {
        const { title } = cutoff.rules[method];
        return `${cutoff.titleInText(title)} ${plain(words, one.choices_Hz[method], 1)} Hz`;
      });
      return fill(cutoff.described, {
        group: nameOf(words, one),
        used: usedText(words, one),
        choices: choices.join(', '),
      });
    })
    .join(' ');
}

function drawRow(sheet: Sheet, curves: CutoffCurves, y: number): void {
  const small = { size: 'small', fill: COLOUR.grey } as const;
  write(sheet, sheet.root, nameOf(sheet.words, curves), 0, y + 8, { size: 'middle', weight: 'bold' });
  write(sheet, sheet.root, counted(sheet.words, curves.markers, 'marker'), 0, y + 19, small);
  wrapText(usedText(sheet.words, curves), NAME_WIDTH - 16, 'small', 'regular', 2).forEach((text, i) => {
    write(sheet, sheet.root, text, 0, y + 28 + LEADING.small * i, small);
  });
  const sampled = [curves.residual, curves.autocorrelation, curves.crossValidation];
  sampled.forEach((one, i) => {
    const method = RULES[i]!;
    const { cutoff } = sheet.words.quality;
    const rule = cutoff.titleInText(cutoff.rules[method].title);
    const plot = { x: panelX(i), y, width: PANEL_WIDTH, height: PANEL_HEIGHT };
    drawPanel(sheet, plot, one, curves, method, fill(cutoff.panel, { group: nameOf(sheet.words, curves), rule }));
  });
}

function drawPanel(
  sheet: Sheet,
  plot: Box,
  curve: Sampled,
  curves: CutoffCurves,
  method: CutoffMethod,
  title: string,
): void {
  const panel = group(sheet.root, title);
  const isResidual = method === 'residual';
  const [low = 0, high = 1] = extent(curve.values);
  const last_Hz = curve.cutoffs_Hz[curve.cutoffs_Hz.length - 1]!;
  const x = scaleLinear([isResidual ? 0 : curve.cutoffs_Hz[0]!, last_Hz], [plot.x, plot.x + plot.width]);
  const bottom = plot.y + plot.height;
  // noise weighs one: what lies far above it tells nothing more about the choice
  const top = isResidual ? Math.min(high, MOST_RMS * curves.tail.intercept) : high;
  const y = scaleLinear([isResidual ? 0 : low, top], [bottom, plot.y]).clamp(true);
  rule(panel, plot.x, bottom, plot.x + plot.width, bottom, { stroke: COLOUR.grey, 'stroke-width': 0.5 });
  for (const [i, tick] of ticks(x.domain()[0]!, last_Hz, 4).entries()) {
    rule(panel, x(tick), bottom, x(tick), bottom + 3, { stroke: COLOUR.grey, 'stroke-width': 0.5 });
    const label = `${plain(sheet.words, tick, 0)}${i === 0 ? ' Hz' : ''}`;
    write(sheet, panel, label, x(tick), bottom + 11, { size: 'small', fill: COLOUR.grey, anchor: 'middle' });
  }
  if (isResidual) drawTail(panel, curves, x, y);
  // from the last point above the panel on, at its edge
  const first = Math.max(0, curve.values.findIndex((value) => value <= top) - 1);
  const shown = curve.values.map((_, at) => at).slice(first);
  const path = line<number>(
    (at) => x(curve.cutoffs_Hz[at]!),
    (at) => y(curve.values[at]!),
  ).digits(2)(shown);
  if (path !== null) add(panel, 'path', { d: path, fill: 'none', stroke: COLOUR.ink, 'stroke-width': 1 });
  const chosen = x(curves.choices_Hz[method]);
  rule(panel, chosen, plot.y, chosen, bottom, {
    stroke: CUTOFF,
    'stroke-width': 1,
    'stroke-dasharray': TAIL_DASH,
  });
  if (curves.used_Hz !== null && curves.used_Hz <= last_Hz) {
    const used = x(curves.used_Hz);
    rule(panel, used, plot.y, used, bottom, { stroke: CUTOFF, 'stroke-width': 1 });
  }
  write(sheet, panel, `${plain(sheet.words, curves.choices_Hz[method], 1)} Hz`, plot.x + plot.width, plot.y - 3, {
    size: 'small',
    fill: CUTOFF,
    anchor: 'end',
  });
}

/** The residual is drawn up to this many times the level of its tail. */
const MOST_RMS = 4;

type Scale = (value: number) => number;

/** The line through the tail and on to 0 Hz, and its value there, level. */
function drawTail(panel: DrawnElement, { tail, choices_Hz }: CutoffCurves, x: Scale, y: Scale): void {
  const style = { stroke: TAIL, 'stroke-width': 0.8, 'stroke-dasharray': TAIL_DASH };
  rule(panel, x(0), y(tail.intercept), x(tail.to_Hz), y(tail.intercept + tail.slope * tail.to_Hz), style);
  rule(panel, x(0), y(tail.intercept), x(choices_Hz.residual), y(tail.intercept), {
    stroke: TAIL,
    'stroke-width': 0.8,
  });
}
