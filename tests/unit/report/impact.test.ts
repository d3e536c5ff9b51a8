import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { PlayerComparison } from '../../../src/model/comparison.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { fixtureView } from '../../support/reportFixture.ts';

function parse(svg: string): Document {
  return new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
}

function panelOf(svg: Document, title: string): Element | undefined {
  return [...svg.querySelectorAll('g[role=group]')].find(
    (group) => group.querySelector('title')?.textContent === title,
  );
}

function wholeText(element: Element | undefined): string {
  return [...(element?.querySelectorAll('text') ?? [])].map((text) => text.textContent).join(' ');
}

function descriptionOf(svg: Document): string {
  return svg.querySelector(':root > desc')?.textContent ?? '';
}

function withBand(band: readonly [number, number] | null, kind: string = 'driver'): PlayerView {
  const view = fixtureView();
  const own = new Set(view.comparison.group.trials);
  return {
    ...view,
    comparison: { ...view.comparison, options: { ...view.comparison.options, attackBand_deg: band } },
    records: view.records.map((record) =>
      own.has(record.head.trial) ? { ...record, head: { ...record.head, kind: kind as 'driver' } } : record,
    ),
  };
}

/** Value on the scale of a panel at a place, from two of its ticks: the numbers beside the scale are what a reader goes by. */
function scaleOf(panel: Element): (value: number) => number {
  const ticks = [...panel.querySelectorAll('text[text-anchor=middle]')].map((text) => ({
    x: Number(text.getAttribute('x')),
    value: Number(text.textContent!.replace('−', '-')),
  }));
  const [a, b] = [ticks[0]!, ticks.at(-1)!];
  return (value) => a.x + ((b.x - a.x) * (value - a.value)) / (b.value - a.value);
}

const ATTACK = 'Attack angle, ° of each swing';
const IS_BRACKET = /^M([\d.]+) ([\d.]+)V([\d.]+)H([\d.]+)V/;

function brackets(panel: Element): { from: number; to: number }[] {
  return [...panel.querySelectorAll('path')].flatMap((path) => {
    const found = IS_BRACKET.exec(path.getAttribute('d') ?? '');
    return found === null ? [] : [{ from: Number(found[1]), to: Number(found[4]) }];
  });
}

describe('the band at the attack angle', () => {
  it('stands from −2° to +3° for a driver, called common practice without a source', () => {
    const panel = panelOf(parse(renderPlayerSheet(withBand([-2, 3]))), ATTACK)!;
    expect(wholeText(panel)).toContain('off a tee −2° to +3°: common practice, no source');
    const x = scaleOf(panel);
    const widest = brackets(panel).sort((a, b) => b.to - b.from - (a.to - a.from))[0]!;
    // coordinates have two decimals, two ticks of them give the scale
    expect(widest.from).toBeCloseTo(x(-2), 1);
    expect(widest.to).toBeCloseTo(x(3), 1);
  });

  it('is that of the day file, and said to be', () => {
    const panel = panelOf(parse(renderPlayerSheet(withBand([-14.5, 1]))), ATTACK)!;
    expect(wholeText(panel)).toContain('off a tee −14.5° to +1.0°: set in the day file');
    // the scale reaches as far as the band, where no swing does
    const widest = brackets(panel).sort((a, b) => b.to - b.from - (a.to - a.from))[0]!;
    expect(widest.from).toBeCloseTo(scaleOf(panel)(-14.5), 1);
  });

  it.each([
    ['the day file says none', null, 'driver'],
    ['the group is no driver', [-2, 3], 'wood'],
  ] as const)('is not drawn where %s', (_why, band, kind) => {
    const svg = parse(renderPlayerSheet(withBand(band, kind)));
    expect(brackets(panelOf(svg, ATTACK)!)).toEqual([]);
    expect(wholeText(svg.documentElement)).not.toMatch(/off a tee/);
    expect(descriptionOf(svg)).not.toMatch(/off a tee/);
  });

  it('is told to those who do not see it', () => {
    const description = descriptionOf(parse(renderPlayerSheet(withBand([-2, 3]))));
    expect(description).toMatch(
      /attack angle: driver [−\d.]+°, irons [−\d.]+° \(off a tee −2° to \+3°: common practice/,
    );
  });
});

describe('figures of the club that are missing', () => {
  const view = fixtureView({ assumedTarget: true });
  const REASON = 'No path: needs a target line that is set or given by an alignment marker.';

  it('stand with their reason on the sheet, in its description and in the details, never as a zero', () => {
    const svg = parse(renderPlayerSheet(view));
    expect(wholeText(svg.documentElement)).toContain(REASON);
    expect(descriptionOf(svg)).toContain(REASON);
    expect(wholeText(parse(renderPlayerDetails(view)).documentElement)).toContain(REASON);
    expect(panelOf(svg, 'Path, ° of each swing')).toBeUndefined();
  });

  it('share a sentence where they share a reason', () => {
    const text = wholeText(parse(renderPlayerSheet(fixtureView({ assumedTarget: true, face: true }))).documentElement);
    expect(text).toContain('No path and face against target: needs a target line');
  });

  it('are one sentence where there is no club at all, with the reason of these swings where they have one', () => {
    const without = fixtureView({ club: false });
    const sheetOf = (view: PlayerView): string => wholeText(parse(renderPlayerSheet(view)).documentElement);
    expect(sheetOf(without).split('No club figures: they need two shaft markers')).toHaveLength(2);
    const [row] = fixtureView({ assumedTarget: true }).comparison.rows.filter(
      ({ quantity }) => quantity === 'club.path',
    );
    const attack = {
      ...row!,
      quantity: 'club.attack',
      reason:
        'fewer than 5 swings: 0 swings of the driver; 8 of 8 driver and 8 of 8 irons left out: needs a second shaft marker',
    };
    const known = { ...without, comparison: { ...without.comparison, rows: [...without.comparison.rows, attack] } };
    expect(sheetOf(known)).toContain('No club figures: needs a second shaft marker.');
    expect(sheetOf(known)).not.toContain('they need two shaft markers');
  });
});

describe('marks of single swings', () => {
  const counts = (panel: Element): { discs: number; diamonds: number } => ({
    discs: panel.querySelectorAll('circle[fill="#0072b2"]').length,
    diamonds: [...panel.querySelectorAll('path')].filter((path) => path.getAttribute('stroke-width') === '0.6').length,
  });

  it.each([
    [5, 12],
    [12, 5],
    [3, 8],
  ])('are as many as there are swings: %i drivers full discs, %i irons hollow diamonds', (drivers, irons) => {
    const view = fixtureView({ drivers, irons });
    for (const svg of [renderPlayerSheet(view), renderPlayerDetails(view)]) {
      expect(counts(panelOf(parse(svg), ATTACK)!)).toEqual({ discs: drivers, diamonds: irons });
    }
  });

  it('stand where the scale says', () => {
    const view = fixtureView();
    const panel = panelOf(parse(renderPlayerSheet(view)), ATTACK)!;
    const x = scaleOf(panel);
    const marks = (view.comparison as PlayerComparison).marks.find(({ quantity }) => quantity === 'club.attack')!;
    const centres = [...panel.querySelectorAll('circle[fill="#0072b2"]')].map((mark) =>
      Number(mark.getAttribute('cx')),
    );
    centres.forEach((centre, i) => {
      expect(centre).toBeCloseTo(x(marks.group[i]!.value), 1);
    });
  });

  const titlesOf = (svg: string): string[] =>
    [...parse(svg).querySelectorAll('g[role=group] > title')]
      .map((title) => title.textContent ?? '')
      .filter((title) => title.endsWith(' of each swing'))
      .map((title) => title.replace(' of each swing', ''));

  it('of every figure of the club stand in the details', () => {
    const view = fixtureView({ face: true });
    const ofClub = view.comparison.marks.filter(({ quantity }) => quantity.startsWith('club.'));
    expect(ofClub.length).toBeGreaterThan(10);
    expect(titlesOf(renderPlayerDetails(view))).toHaveLength(ofClub.length);
  });

  it('leave the sheet in the order of need where it is full: attack angle, head speed and path stay longest', () => {
    const need = ['Attack angle, °', 'Head speed, m/s', 'Path, °', 'Face against path, °', 'Face against target, °'];
    const shown = (order: 'full' | 'open'): string[] => titlesOf(renderPlayerSheet(fixtureView({ face: true, order })));
    const [roomy, full] = [shown('full'), shown('open')];
    expect([...roomy].sort()).toEqual([...need].sort());
    expect(full.length).toBeLessThan(roomy.length);
    expect([...full].sort()).toEqual(need.slice(0, full.length).sort());
    const left = need.slice(full.length).map((title) => title.replace(', °', '').toLowerCase());
    const text = wholeText(parse(renderPlayerSheet(fixtureView({ face: true, order: 'open' }))).documentElement);
    for (const title of left) expect(text).toMatch(new RegExp(`In the details: [^.]*${title}`));
  });
});
