import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { TrialOutcome } from '../../../src/model/swingRecord.ts';
import { COLOUR, PAGE } from '../../../src/report/drawing/theme.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { DAY_SCRIPT } from '../../../src/report/page/script.generated.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { EN } from '../../../src/report/words/en.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../../support/reportFixture.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

function wholeText(svg: Document): string {
  return [...svg.querySelectorAll('text')].map((element) => element.textContent).join(' ');
}

describe.each(Object.entries(REPORT_CASES))('sheets of a player: %s', (_name, options) => {
  it.each([
    ['sheet', renderPlayerSheet],
    ['details', renderPlayerDetails],
  ] as const)('%s: no text overlaps another or leaves its page, all in one of three sizes', (_kind, render) => {
    const texts = textsOf(parseSvg(render(fixtureView(options))));
    expect(texts.length).toBeGreaterThan(5);
    // a hundredth of a point: coordinates are rounded to two decimals
    expect(overlappingPairs(texts, 0.02)).toEqual([]);
    expect(outsidePage(texts, PAGE.width, PAGE.height, 0)).toEqual([]);
    // words of the program itself are never cut; names from files may be
    expect(texts.filter(({ text }) => /^(front|along the|[↑↓+] ).*…$/.test(text)).map(({ text }) => text)).toEqual([]);
  });
});

describe('the player’s sheet', () => {
  it('has a title, a description with the finding, a language, cautions, and no script, link or outside file', () => {
    const svg = parseSvg(renderPlayerSheet(fixtureView()));
    const root = svg.documentElement;
    expect(root.querySelector(':scope > title')?.textContent).toBe('Wren: driver against irons');
    expect(root.querySelector(':scope > desc')?.textContent).toMatch(/^At the top \(P4\) the pelvis keeps/);
    expect(root.getAttribute('lang')).toBe('en');
    expect(wholeText(svg)).toContain(EN.cautions);
    expect(svg.querySelectorAll('script, foreignObject, image, use, a, style, animate, set')).toHaveLength(0);
    for (const element of svg.querySelectorAll('*')) {
      for (const { name } of element.attributes) expect(name).not.toMatch(/^on|href/);
    }
  });

  it('is one A4 landscape page, the details a whole number of them', () => {
    expect(parseSvg(renderPlayerSheet(fixtureView())).documentElement.getAttribute('height')).toBe('210mm');
    const details = parseSvg(renderPlayerDetails(fixtureView())).documentElement;
    const pages = Number(details.getAttribute('height')!.replace('mm', '')) / 210;
    expect(Number.isInteger(pages)).toBe(true);
    expect(details.querySelectorAll('view')).toHaveLength(pages);
    expect(wholeText(details.ownerDocument)).toContain(`page ${pages} of ${pages}`);
  });

  it('tells driver and irons apart by form: no dashed line is the driver’s, no solid line is the irons’', () => {
    const svg = parseSvg(renderPlayerSheet(fixtureView()));
    const inherited = (element: Element, name: string): string | null =>
      element.closest(`[${name}]`)?.getAttribute(name) ?? null;
    const lines = [...svg.querySelectorAll('path')].filter((path) => (inherited(path, 'fill') ?? 'none') === 'none');
    const dashed = (colour: string, wanted: boolean) =>
      lines.filter(
        (path) => inherited(path, 'stroke') === colour && (inherited(path, 'stroke-dasharray') !== null) === wanted,
      );
    expect(dashed(COLOUR.driver, true)).toEqual([]);
    expect(dashed(COLOUR.irons, true).length).toBeGreaterThan(6);
    // solid irons ink is left to the marks of single swings and their whiskers at impact
    for (const path of dashed(COLOUR.irons, false)) expect(inherited(path, 'role')).toBe('group');
  });

  it('draws a left-hander unmirrored: the reflected frame is turned back', () => {
    const view = fixtureView();
    const left: PlayerView = { ...view, comparison: { ...view.comparison, hand: 'left' } };
    const headsOf = (shown: PlayerView): number[] =>
      [...parseSvg(renderPlayerSheet(shown)).querySelectorAll('g[role=group] > g > circle')].map((circle) =>
        Number(circle.getAttribute('cx')),
      );
    const words = (shown: PlayerView): string => wholeText(parseSvg(renderPlayerSheet(shown)));
    const [a, b] = [headsOf(view), headsOf(left)];
    expect(a).toHaveLength(b.length);
    // head and club head of the same figure: the step from one to the other turns around
    for (let i = 0; i + 1 < a.length; i += 2) {
      expect(b[i + 1]! - b[i]!).toBeCloseTo(-(a[i + 1]! - a[i]!), 1);
    }
    expect(words(view)).toContain('target →');
    expect(words(left)).toContain('← target');
  });

  it('carries the difference of a departing segment as an arc with its number', () => {
    const svg = parseSvg(renderPlayerSheet(fixtureView()));
    const top = [...svg.querySelectorAll('g[role=group]')].find(
      (group) => group.querySelector('title')?.textContent === 'Figures at P4, top',
    )!;
    const row = fixtureView().comparison.rows.find(
      (entry) => entry.quantity === 'pelvis.forward_bend' && entry.position === 'P4',
    )!;
    const label = `pelvis +${row.difference!.toFixed(1)}°`;
    expect([...top.querySelectorAll('text')].map((text) => text.textContent)).toContain(label);
    expect([...top.querySelectorAll('path')].some((path) => path.getAttribute('d')!.includes('A'))).toBe(true);
  });

  it.each([
    ['sheet', renderPlayerSheet],
    ['details', renderPlayerDetails],
  ] as const)(
    '%s: the coach’s note stands in quotes with where it is from; without one nothing stands',
    (_kind, render) => {
      const noted = { ...fixtureView(), note: 'keeps the driver on line\nsince spring' };
      expect(wholeText(parseSvg(render(noted))).replace(/\s+/g, ' ')).toContain(
        '“keeps the driver on line since spring” (from the day file)',
      );
      for (const note of ['', ' ']) {
        expect(wholeText(parseSvg(render({ ...fixtureView(), note })))).not.toContain('from the day file');
      }
    },
  );
  it('gives the same bytes twice, and after another player was drawn', () => {
    const first = renderPlayerSheet(fixtureView());
    renderPlayerDetails(fixtureView({ player: 'Siskin', hand: 'left' }));
    expect(renderPlayerSheet(fixtureView())).toBe(first);
    expect(renderPlayerDetails(fixtureView())).toBe(renderPlayerDetails(fixtureView()));
  });
});

const NASTY = `<script>alert("x")</script> & 'q' ]]> <!-- \u0000\u0007 \ud800`;

function nastyView(): PlayerView {
  const view = fixtureView();
  const { comparison } = view;
  return {
    ...view,
    day: NASTY,
    note: NASTY,
    filterText: NASTY,
    ordersText: NASTY,
    programVersion: NASTY,
    comparison: {
      ...comparison,
      group: { ...comparison.group, label: NASTY, clubs: [NASTY] },
      notes: [NASTY],
      drift: comparison.drift.map((entry) => ({ ...entry, club: NASTY })),
      rows: comparison.rows.map((row) => ({
        ...row,
        verdict: 'none',
        reason: NASTY,
        moreSwings: { count: 3, club: NASTY },
      })),
    },
    outcomes: view.outcomes.map((outcome) => ({ ...outcome, trial: NASTY, reason: NASTY, player: NASTY })),
  };
}

describe('text from files', () => {
  it.each([
    ['sheet', renderPlayerSheet],
    ['details', renderPlayerDetails],
  ] as const)('can only ever be text on the %s', (_kind, render) => {
    const file = render(nastyView());
    const svg = parseSvg(file);
    expect(svg.querySelectorAll('script')).toHaveLength(0);
    expect(wholeText(svg)).toContain('<script>alert("x")</script> & \'q\'');
    expect(file).not.toContain('<script');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: XML 1.0 has none of these
    expect(file).not.toMatch(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]|\p{Surrogate}/u);
  });

  it('can only ever be text on the page of the day', () => {
    const view = nastyView();
    const html = renderIndex({ ...fixtureDay(), day: NASTY, players: [view], outcomes: view.outcomes });
    const page = new JSDOM(html).window.document;
    expect([...page.querySelectorAll('script')].map((script) => script.textContent)).toEqual([DAY_SCRIPT]);
    expect(page.querySelector('header .day')?.textContent).toContain('<script>alert("x")</script> & \'q\'');
    expect(page.querySelector('td')?.textContent).toContain(']]> <!--');
    expect(page.querySelectorAll('[onload], [onerror], [onclick]')).toHaveLength(0);
  });
});

describe('the page of the day', () => {
  it('shows every player’s finding in words and the sheet beside it by a relative path', () => {
    const page = new JSDOM(renderIndex(fixtureDay())).window.document;
    expect([...page.querySelectorAll('dt')].map((term) => term.textContent)).toEqual(['Wren', 'Siskin', 'Dunnock']);
    expect(page.querySelector('dd')?.textContent).toMatch(/^At the top \(P4\) the pelvis keeps/);
    expect([...page.querySelectorAll('img')].map((image) => image.getAttribute('src'))).toEqual([
      'players/Wren.svg',
      'players/Siskin.svg',
      'players/Dunnock.svg',
    ]);
    for (const link of page.querySelectorAll('a[href^="#"]')) {
      expect(page.getElementById(decodeURIComponent(link.getAttribute('href')!.slice(1)))).not.toBeNull();
    }
    expect(page.body.textContent).toContain(EN.cautions);
  });

  it('counts under each finding the swings used, for review and not used, and leads to sheet, details and moving page', () => {
    const day = fixtureDay();
    const [first] = day.players;
    const outcomes = first!.outcomes.map((outcome, i): TrialOutcome => {
      const gate = { verdict: 'review', setBy: 'rules', note: '', reasons: [] } as const;
      return i < 2 ? { ...outcome, gate } : outcome;
    });
    const view = { ...day, players: [{ ...first!, outcomes }] };
    const page = new JSDOM(renderIndex(view, [{ name: 'angles', about: 'a row is a <value>' }])).window.document;
    const used = outcomes.filter(({ status }) => status === 'used').length;
    expect(page.querySelector('dd .day')?.textContent).toBe(
      `${used} swings used, 2 of them for review, 1 rejected, 1 left out · moving page · sheet · details`,
    );
    expect([...page.querySelectorAll('dd a')].map((link) => link.getAttribute('href'))).toEqual([
      'players/Wren.html',
      'players/Wren.svg',
      'players/Wren-details.svg',
    ]);
    const table = page.querySelector('footer a')!;
    expect([table.getAttribute('href'), table.parentElement!.textContent]).toEqual([
      'tables/angles.csv',
      'angles.csv: a row is a <value>',
    ]);
  });

  it('stands a day without players', () => {
    const page = new JSDOM(renderIndex({ ...fixtureDay(), players: [], outcomes: [] })).window.document;
    expect(page.body.textContent).toContain('No player has a used swing.');
  });
});

describe('the checkpoints on the details', () => {
  const lines = (): string[] =>
    [...parseSvg(renderPlayerDetails(fixtureView())).querySelectorAll('text')].map((text) => text.textContent ?? '');

  it('are counted, each with its state as a word and its source beside it', () => {
    const { checkpoints } = fixtureView().comparison;
    const texts = lines();
    expect(texts).toContain('Checkpoints of the driver (14 rules: 6 met, 6 not met and 2 not measured)');
    const count = (word: string): number => texts.filter((text) => text === word).length;
    expect([count('met'), count('not met'), count('not met, severe'), count('not measured')]).toEqual([6, 5, 1, 2]);
    expect(count('common practice, no source')).toBe(checkpoints.length);
  });

  it('tell each state by a sign of its own form', () => {
    const svg = parseSvg(renderPlayerDetails(fixtureView()));
    const signOf = (word: string): string => {
      const text = [...svg.querySelectorAll('text')].find((one) => one.textContent === word)!;
      const path = text.previousElementSibling!;
      expect(path.tagName).toBe('path');
      return (path.getAttribute('d') ?? '').replace(/[^A-Z]/g, '');
    };
    // a tick has two strokes in one line, a cross two lines, a dash one
    expect(['met', 'not met', 'not measured'].map(signOf)).toEqual(['MLL', 'MLML', 'ML']);
  });

  it('say the value, the swings, the irons, the band, the turn and why nothing is measured', () => {
    const text = lines().join(' ');
    expect(text).toContain(
      'Attack angle −4.6° (8 swings, SD 1.3°, each meets it, irons −3.5°). Band −2.0° to +3.0°, severe below −5.0° or above +5.0°.',
    );
    expect(text).toContain('Within the scatter: the mean lies between −5.6° and −3.6° (95 %).');
    expect(text).toContain('Read with the turn: +3° at P1, −88° at P4; that alone would change it by −37°.');
    expect(text).toContain('(P4 to P8) at P6.4');
    expect(text).toContain('Band P5.5 to P6.5.');
    expect(text).toContain('needs the left and right femoral epicondyles.');
  });

  it('are left out where there is no rule to show', () => {
    const view = fixtureView();
    const none = { ...view, comparison: { ...view.comparison, checkpoints: [] } };
    expect(wholeText(parseSvg(renderPlayerDetails(none)))).not.toContain('Checkpoints');
  });
});
