import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { quantityById } from '../../model/catalogue.ts';
import type { PlayerComparison, SwingMarks } from '../../model/comparison.ts';
import { add, type Box, coordinate, group, rule, type Sheet, write } from '../drawing/draw.ts';
import { drawSign } from '../drawing/signs.ts';
import { fitText, textWidth } from '../drawing/textMetrics.ts';
import { COLOUR } from '../drawing/theme.ts';
import { plain, signedWithUnit, unitText, withUnit } from '../sentences/numbers.ts';

/** Figures of single swings at impact: each swing a mark with its ± as a whisker, the irons' band behind them. */

const ROWS = ['club.attack', 'club.path', 'club.head_speed', 'tempo.ratio'] as const;

/** Draws the rows there are into `box`, evenly; says what is missing. */
export function drawImpact(sheet: Sheet, comparison: PlayerComparison, box: Box): void {
  const shown = ROWS.map((id) => comparison.marks.find((marks) => marks.quantity === id)).filter(
    (marks) => marks !== undefined && marks.group.length + marks.reference.length > 0,
  ) as SwingMarks[];
  const hasClub = shown.some((marks) => marks.quantity.startsWith('club.'));
  // the sheet of sensors says above that they give no figures of the club
  const isSaid = hasClub || comparison.part.source === 'sensors';
  const height = box.height / Math.max(3, shown.length + (isSaid ? 0 : 1));
  let y = box.y;
  if (!isSaid) {
    write(sheet, sheet.root, 'At impact', box.x, y + 7, { size: 'middle', weight: 'bold' });
    const lines = [
      'No club figures: they need two shaft',
      'markers or more and a head point that is',
      'the same for all clubs compared.',
    ];
    lines.forEach((text, i) => {
      write(sheet, sheet.root, text, box.x, y + 19 + 9 * i, { size: 'small', fill: COLOUR.grey, width: box.width });
    });
    y += height;
  }
  for (const marks of shown) {
    drawRow(sheet, comparison, marks, { x: box.x, y, width: box.width, height: height - 6 });
    y += height;
  }
}

function drawRow(sheet: Sheet, comparison: PlayerComparison, marks: SwingMarks, box: Box): void {
  const quantity = quantityById(marks.quantity);
  const row = comparison.rows.find((entry) => entry.quantity === marks.quantity && entry.basis === 'value');
  const panel = group(sheet, sheet.root, `${quantity.label} of each swing`);
  const title = `${quantity.label.slice(0, 1).toUpperCase()}${quantity.label.slice(1)}`;
  const unit = quantity.unit === 'deg' ? ', °' : quantity.unit === 'ratio' ? '' : `,${unitText(quantity.unit)}`;
  const named = write(sheet, panel, `${title}${unit}`, box.x, box.y + 7, { size: 'middle', weight: 'bold' });
  let end = box.x + box.width;
  if (row !== undefined && row.difference !== null) {
    const text = signedWithUnit(row.difference, quantity.decimals, row.unit);
    write(sheet, panel, text, box.x + box.width, box.y + 7, { size: 'middle', anchor: 'end' });
    drawSign(sheet, panel, row.verdict, box.x + box.width - textWidth(text, 'middle') - 6, box.y + 4, 2.3);
    end -= textWidth(text, 'middle') + 12;
  }
  const plus = quantity.unit === 'deg' ? `+ ${quantity.plus.replace(/ \(.*\)$/, '')}` : '';
  const plusX = named.x + named.width + 5;
  write(sheet, panel, plus, plusX, box.y + 7, { size: 'small', fill: COLOUR.grey, width: end - plusX });
  const all = [...marks.group, ...marks.reference];
  const whole = extent(all.flatMap((mark) => [mark.value - (mark.plusMinus ?? 0), mark.value + (mark.plusMinus ?? 0)]));
  const mean = row?.meanReference ?? null;
  const sd = row?.sdReference ?? null;
  const band = mean !== null && sd !== null ? [mean - 2 * sd, mean + 2 * sd] : [];
  const [low, high] = extent([whole[0]!, whole[1]!, ...band]) as [number, number];
  const pad = (high - low) * 0.04 || 0.5;
  const labels = 34;
  const x = scaleLinear([low - pad, high + pad], [box.x + labels, box.x + box.width]);
  const top = box.y + 12;
  const axis = box.y + box.height - 10;
  const lane = (axis - top) / 2;
  if (mean !== null && sd !== null) {
    for (const [sds, colour] of [
      [2, COLOUR.ironsBand2],
      [1, COLOUR.ironsBand1],
    ] as const) {
      const left = x(mean - sds * sd);
      add(sheet, panel, 'rect', {
        x: left,
        y: top,
        width: x(mean + sds * sd) - left,
        height: axis - top,
        fill: colour,
      });
    }
  }
  rule(sheet, panel, box.x + labels, axis, box.x + box.width, axis, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  const step = x.ticks(5);
  const decimals = step.length > 1 && step[1]! - step[0]! < 1 ? (step[1]! - step[0]! < 0.1 ? 2 : 1) : 0;
  for (const tick of step) {
    const at = x(tick);
    rule(sheet, panel, at, axis, at, axis + 2.5, { stroke: COLOUR.grey, 'stroke-width': 0.5 });
    const text = plain(tick, decimals);
    if (
      at - textWidth(text, 'small') / 2 < box.x + labels - 6 ||
      at + textWidth(text, 'small') / 2 > box.x + box.width + 2
    )
      continue;
    write(sheet, panel, text, at, axis + 9.5, { size: 'small', anchor: 'middle', fill: COLOUR.grey });
  }
  drawLane(
    sheet,
    panel,
    marks.group,
    comparison.group.label,
    x,
    { x: box.x, y: top + 1, width: labels - 4, height: lane - 2 },
    'group',
  );
  drawLane(
    sheet,
    panel,
    marks.reference,
    comparison.reference.label,
    x,
    { x: box.x, y: top + lane + 1, width: labels - 4, height: lane - 2 },
    'reference',
  );
}

const NAME_HEIGHT = 7;

/** One mark a swing, the first on top: in the order of the day, so that a drift is seen as a slope. */
function drawLane(
  sheet: Sheet,
  panel: Element,
  marks: SwingMarks['group'],
  label: string,
  x: (value: number) => number,
  box: Box,
  who: 'group' | 'reference',
): void {
  const text = who === 'group' ? COLOUR.driverText : COLOUR.ironsText;
  const colour = who === 'group' ? COLOUR.driver : COLOUR.irons;
  // two names always have a line each, however low the lanes are
  const away =
    who === 'group' ? Math.min(0, (box.height - NAME_HEIGHT) / 2) : Math.max(0, (NAME_HEIGHT - box.height) / 2);
  const baseline = box.y + box.height / 2 + 2.4 + away;
  write(sheet, panel, fitText(label, box.width - 4, 'small'), box.x, baseline, { size: 'small', fill: text });
  const pitch = box.height / Math.max(1, marks.length);
  const whiskers: string[] = [];
  for (const [i, mark] of marks.entries()) {
    const y = box.y + pitch * (i + 0.5);
    if (mark.plusMinus === null) continue;
    whiskers.push(
      `M${coordinate(x(mark.value - mark.plusMinus))} ${coordinate(y)}H${coordinate(x(mark.value + mark.plusMinus))}`,
    );
  }
  if (whiskers.length > 0)
    add(sheet, panel, 'path', { d: whiskers.join(''), stroke: colour, 'stroke-width': 0.4, fill: 'none' });
  for (const [i, mark] of marks.entries()) {
    const y = box.y + pitch * (i + 0.5);
    if (who === 'group') add(sheet, panel, 'circle', { cx: x(mark.value), cy: y, r: 1.3, fill: colour });
    else {
      const d = `M${coordinate(x(mark.value) - 1.3)} ${coordinate(y)}l1.3 -1.3l1.3 1.3l-1.3 1.3Z`;
      add(sheet, panel, 'path', { d, fill: COLOUR.paper, stroke: colour, 'stroke-width': 0.6 });
    }
  }
}

/** What the row says in words, for the description of the sheet; '' where there are no numbers. */
export function impactWords(comparison: PlayerComparison): string {
  return ROWS.map((id) => {
    const row = comparison.rows.find((entry) => entry.quantity === id && entry.basis === 'value');
    if (row === undefined || row.meanGroup === null || row.meanReference === null) return '';
    const { label, decimals } = quantityById(id);
    return `${label}: ${comparison.group.label} ${withUnit(row.meanGroup, decimals, row.unit)}, ${comparison.reference.label} ${withUnit(row.meanReference, decimals, row.unit)}`;
  })
    .filter((text) => text !== '')
    .join('; ');
}
