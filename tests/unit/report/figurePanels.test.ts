import { describe, expect, it } from 'vitest';
import { numbersOf, renderFigures } from '../../../src/pipeline/renderFigures.ts';
import { COLOUR } from '../../../src/report/drawing/theme.ts';
import {
  COLUMN_WIDTH_MM,
  type FigurePanel,
  panelsOf,
  renderPanel,
  THINNEST_LINE,
} from '../../../src/report/figurePanels.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { plain, signed } from '../../../src/report/sentences/numbers.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { EN } from '../../../src/report/words/en.ts';
import { COMPARISON, comparedRows } from '../../../src/tables/comparison.ts';
import { csvText } from '../../../src/tables/csv.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../../support/reportFixture.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

/** Rows of a table by the names of its columns; the fixtures have no comma in a field. */
function rowsOf(text: Iterable<string>): Record<string, string>[] {
  const [head, ...lines] = [...text].join('').trimEnd().split('\r\n');
  const names = head!.split(',');
  return lines.map((line) => Object.fromEntries(line.split(',').map((field, i) => [names[i]!, field])));
}

function drawn(view: PlayerView, name: string) {
  const panel = panelsOf(view).find((entry) => entry.name === name)!;
  const svg = parseSvg(renderPanel(view, panel));
  return { svg, rows: rowsOf(numbersOf(view.comparison, panel)) };
}

const POINTS_PER_MM = 72 / 25.4;

describe.each(Object.entries(REPORT_CASES))('panels as drawings of their own: %s', (_name, options) => {
  it('no text overlaps another or leaves its drawing; no line is too thin, no type too small, at the width stated', () => {
    const view = fixtureView(options);
    for (const panel of panelsOf(view)) {
      const svg = parseSvg(renderPanel(view, panel));
      const root = svg.documentElement;
      const [, , width, height] = root.getAttribute('viewBox')!.split(' ').map(Number);
      const texts = textsOf(svg); // fails at a size that is none of the sheets'
      // a hundredth of a point: coordinates are rounded to two decimals
      expect(overlappingPairs(texts, 0.02), panel.name).toEqual([]);
      expect(outsidePage(texts, width!, height!, 0), panel.name).toEqual([]);
      for (const element of svg.querySelectorAll('[stroke-width]')) {
        expect(Number(element.getAttribute('stroke-width')), panel.name).toBeGreaterThanOrEqual(THINNEST_LINE);
      }
      for (const element of svg.querySelectorAll('text')) {
        expect(['7', '9'], panel.name).toContain(element.getAttribute('font-size'));
      }
      const width_mm = Number.parseFloat(root.getAttribute('width')!);
      expect(Object.values(COLUMN_WIDTH_MM)).toContain(width_mm);
      // one unit is one point in print: two decimals of the width, and of the height in millimetres
      expect(width! / (width_mm * POINTS_PER_MM)).toBeCloseTo(1, 4);
      expect(height! / (Number.parseFloat(root.getAttribute('height')!) * POINTS_PER_MM)).toBeCloseTo(1, 3);
    }
  });
});

/** Points of a path of straight lines, one list a stretch. */
function pointsOf(d: string): (readonly [number, number])[] {
  return [...d.matchAll(/[ML](-?[\d.]+)[ ,](-?[\d.]+)/g)].map((found) => [Number(found[1]), Number(found[2])]);
}

/** Largest distance of the drawn coordinates from the straight scale through the first and the last number. */
function offScale(numbers: readonly number[], coordinates: readonly number[]): number {
  const [low, high] = [Math.min(...numbers), Math.max(...numbers)];
  const [from, to] = [coordinates[numbers.indexOf(low)]!, coordinates[numbers.indexOf(high)]!];
  return Math.max(
    ...numbers.map((value, i) => Math.abs(from + ((to - from) * (value - low)) / (high - low) - coordinates[i]!)),
  );
}

describe('the numbers beside a drawing', () => {
  it('are the curves drawn: every step of both means lies on one straight scale of time and one of value', () => {
    const { svg, rows } = drawn(fixtureView(), 'curve-pelvis.forward_bend');
    for (const [side, colour] of [
      ['group', COLOUR.driver],
      ['reference', COLOUR.irons],
    ] as const) {
      const line = rows.filter((row) => row['side'] === side && row['trial'] === '');
      const path = [...svg.querySelectorAll(`path[stroke="${colour}"]`)].find(
        (entry) => pointsOf(entry.getAttribute('d')!).length > 2,
      );
      const points = pointsOf(path!.getAttribute('d')!);
      expect(line).toHaveLength(81);
      expect(points).toHaveLength(81);
      const numbers = (name: string): number[] => line.map((row) => Number(row[name]));
      // coordinates have two decimals: 0.005 points at the ends and as much at the step itself; numbers have three, 0.0005° of 4 points a degree
      expect(
        offScale(
          numbers('time_s'),
          points.map(([x]) => x),
        ),
      ).toBeLessThan(0.02);
      expect(
        offScale(
          numbers('value_deg'),
          points.map(([, y]) => y),
        ),
      ).toBeLessThan(0.02);
    }
    const whiskers = rows.filter((row) => row['plus_minus_deg'] !== '');
    expect(whiskers.map((row) => row['position'])).toEqual(['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9']);
  });

  it('are every swing of the group, as stored for the sheet', () => {
    const { comparison } = fixtureView();
    const { rows } = drawn(fixtureView(), 'curve-thorax.turn');
    const curve = comparison.curves.find(({ quantity }) => quantity === 'thorax.turn')!;
    for (const { trial, values } of curve.groupCurves) {
      const found = rows.filter((row) => row['trial'] === trial).map((row) => Number(row['value_deg']));
      expect(found).toHaveLength(81);
      // three decimals
      const off = found.map((value, step) => Math.abs(value - values[step]!));
      expect(Math.max(...off)).toBeLessThanOrEqual(0.0005 + 1e-9);
    }
  });

  it('are the marks drawn at impact, on one straight scale', () => {
    const { svg, rows } = drawn(fixtureView(), 'swings-club.attack');
    const discs = [...svg.querySelectorAll(`g[role=group] circle[fill="${COLOUR.driver}"]`)];
    const swings = rows.filter((row) => row['side'] === 'group' && row['trial'] !== '');
    expect(discs).toHaveLength(swings.length);
    const values = swings.map((row) => Number(row['value_deg']));
    expect(
      offScale(
        values,
        discs.map((disc) => Number(disc.getAttribute('cx'))),
      ),
    ).toBeLessThan(0.03);
    const difference = rows.find((row) => row['side'] === 'difference')!;
    expect(svg.documentElement.textContent).toContain(`${signed(EN, Number(difference['value_deg']), 1)}°`);
  });

  it('are the times and speeds of the order of motion', () => {
    const { svg, rows } = drawn(fixtureView(), 'order-magnitude');
    const text = [...svg.querySelectorAll('text')].map(({ textContent }) => textContent);
    for (const row of rows) {
      expect(text).toContain(
        `${plain(EN, Number(row['peak_degPerS']), 0)} ± ${plain(EN, Number(row['peak_sd_degPerS']), 0)}`,
      );
    }
    const discs = [...svg.querySelectorAll(`g[role=group] circle[fill="${COLOUR.driver}"]`)];
    const times = rows.filter((row) => row['side'] === 'group').map((row) => Number(row['before_impact_s']));
    expect(
      offScale(
        times,
        discs.map((disc) => Number(disc.getAttribute('cx'))),
      ),
    ).toBeLessThan(0.03);
  });

  it('are the cells of the table, and rows of comparison.csv', () => {
    const view = fixtureView();
    const { svg, rows } = drawn(view, 'table');
    const text = [...svg.querySelectorAll('text')].map(({ textContent }) => textContent);
    const all = rowsOf(csvText(COMPARISON, comparedRows([view.comparison])));
    expect(rows.length).toBeGreaterThan(8);
    for (const row of rows) {
      for (const name of ['mean_group', 'mean_reference']) expect(text).toContain(plain(EN, Number(row[name]), 1));
      expect(text).toContain(signed(EN, Number(row['difference']), 1));
      const same = all.find((entry) => entry['quantity'] === row['quantity'] && entry['position'] === row['position']);
      expect(same).toMatchObject(row);
    }
  });

  it('are the joint lines of the figures, on one scale up and across', () => {
    const { svg, rows } = drawn(fixtureView(), 'positions');
    const heads = [...svg.querySelectorAll(`g[role=group] > g[stroke="${COLOUR.driver}"] > circle`)].filter(
      (circle) => Number(circle.getAttribute('r')) > 2,
    );
    const found = rows.filter((row) => row['side'] === 'group' && row['point'] === 'head_centre');
    // each position has two views
    expect(heads).toHaveLength(2 * found.length);
    const up = found.flatMap((row) => [Number(row['y_m']), Number(row['y_m'])]);
    expect(
      offScale(
        up,
        heads.map((head) => Number(head.getAttribute('cy'))),
      ),
    ).toBeLessThan(0.03);
  });
});

describe('the files of the panels', () => {
  async function files(): Promise<Map<string, string>> {
    const made = new Map<string, string>();
    for await (const { path, text } of renderFigures(fixtureDay())) made.set(path, [...text].join(''));
    return made;
  }

  it('are a drawing and a table each, the same bytes every time, none for a player without a comparison', async () => {
    const [first, second] = [await files(), await files()];
    expect([...second]).toEqual([...first]);
    const paths = [...first.keys()];
    const drawings = paths.filter((path) => path.endsWith('.svg'));
    expect(paths.filter((path) => path.endsWith('.csv'))).toEqual(drawings.map((path) => path.replace('.svg', '.csv')));
    expect(drawings.filter((path) => path.startsWith('figures/Wren/'))).toEqual(
      [
        'positions',
        ...['pelvis', 'thorax'].flatMap((segment) =>
          ['forward_bend', 'side_bend', 'turn'].map((part) => `curve-${segment}.${part}`),
        ),
        ...['club.attack', 'club.path', 'club.head_speed', 'tempo.ratio'].map((id) => `swings-${id}`),
        ...['magnitude', 'long-axis', 'swing-plane'].map((method) => `order-${method}`),
        'table',
      ].map((name) => `figures/Wren/${name}.svg`),
    );
    expect(paths.filter((path) => path.includes('Dunnock'))).toEqual([]);
  });

  it('show the same ink as the sheet: the curve of the panel is that of the sheet on another scale', () => {
    const view = fixtureView();
    const path = (svg: string, panel: string): (readonly [number, number])[] => {
      const group = [...parseSvg(svg).querySelectorAll('g[role=group]')].find((entry) =>
        entry.querySelector('title')?.textContent?.startsWith(panel),
      );
      const lines = [...group!.querySelectorAll(`path[stroke="${COLOUR.driver}"]`)];
      return pointsOf(lines.at(-1)!.getAttribute('d')!);
    };
    const panel = panelsOf(view).find(({ name }) => name === 'curve-pelvis.turn') as FigurePanel;
    const own = path(renderPanel(view, panel), 'Curve of pelvis turn');
    const onSheet = path(renderPlayerSheet(view), 'Curve of pelvis turn');
    expect(own).toHaveLength(81);
    // both rounded to two decimals, the panel's scale about twice the sheet's
    for (const axis of [0, 1] as const) {
      expect(
        offScale(
          onSheet.map((point) => point[axis]),
          own.map((point) => point[axis]),
        ),
      ).toBeLessThan(0.06);
    }
  });
});
