import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { FAULTS } from '../../../src/model/faults.ts';
import { framesOf } from '../../../src/model/markerRuns.ts';
import { rereadRecord } from '../../../src/model/storedRecord.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { qualityOf, type TrialQuality } from '../../../src/model/trialQuality.ts';
import { textBox } from '../../../src/report/drawing/draw.ts';
import { SIZE } from '../../../src/report/drawing/theme.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { hasQualityToShow, renderQuality } from '../../../src/report/qualityFigure.ts';
import { EN } from '../../../src/report/words/en.ts';
import { csvText } from '../../../src/tables/csv.ts';
import { QUALITY, qualityRows } from '../../../src/tables/quality.ts';
import { storedRecordText } from '../../../src/tables/storedRecord.ts';
import { damagedRecord, riddledRecord, viewWith } from '../../support/qualityFixture.ts';
import { fixtureDay } from '../../support/reportFixture.ts';
import { outsidePage, overlappingPairs, type PlacedText } from '../../support/svgText.ts';

const known = (record: SwingRecord): TrialQuality => {
  const quality = qualityOf(record);
  if (quality === null) throw new Error('no quality');
  return quality;
};
const draw = (quality: TrialQuality): Document =>
  new JSDOM(renderQuality(EN, quality), { contentType: 'image/svg+xml' }).window.document;
const textsOf = (parent: ParentNode): string[] =>
  [...parent.querySelectorAll('text')].map((one) => one.textContent ?? '');

/** Rows of the figure by marker: their texts, and their bars as frames. */
function rowsOf(svg: Document): Map<string, Element> {
  return new Map([...svg.querySelectorAll('g')].map((row) => [textsOf(row)[0]!, row]));
}

function placed(svg: Document): PlacedText[] {
  return [...svg.querySelectorAll('text')].map((element) => {
    expect(Number(element.getAttribute('font-size'))).toBe(SIZE.small);
    const anchor = (element.getAttribute('text-anchor') ?? 'start') as 'start' | 'middle' | 'end';
    const [x, y] = [Number(element.getAttribute('x')), Number(element.getAttribute('y'))];
    const text = element.textContent ?? '';
    return { text, box: textBox(text, x, y, { size: 'small', anchor }) };
  });
}

/** x and y extents of the boxes of a path of boxes. */
function boxesOf(d: string): { left: number; width: number; top: number; height: number }[] {
  return [...d.matchAll(/M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h-[\d.]+z/g)].map((match) => {
    const [left, top, width, height] = match.slice(1).map(Number) as [number, number, number, number];
    return { left, top, width, height };
  });
}

describe('the quality figure of a damaged recording', () => {
  it('shows the counts of quality.csv, and every marker that the table gives gaps', () => {
    const record = damagedRecord();
    const rows = rowsOf(draw(known(record)));
    const table = [...csvText(QUALITY, qualityRows([record]))]
      .join('')
      .trimEnd()
      .split('\r\n')
      .map((line) => line.split(','));
    const column = (name: string): number => table[0]!.indexOf(name);
    const shown: string[] = [];
    for (const line of table.slice(1)) {
      const marker = line[column('marker')]!;
      const row = rows.get(marker);
      if (row === undefined) {
        expect([marker, line[column('missing')]]).toEqual([marker, '0']);
        continue;
      }
      shown.push(marker);
      const counts = textsOf(row).slice(1, 4);
      const runs = record.quality.find((one) => one.marker === marker)?.runs ?? [];
      expect([marker, ...counts]).toEqual([
        marker,
        line[column('missing')],
        line[column('filled')],
        String(framesOf(runs, 'missing')),
      ]);
    }
    expect(shown).toHaveLength(rows.size);
    expect(rows.size).toBe(12);
    expect(textsOf(draw(known(record)))).toContain(
      `The other ${record.quality.length - 12} markers were measured throughout.`,
    );
  });

  it('draws every stretch where it lies: its bars give its frames back', () => {
    const record = damagedRecord();
    const svg = draw(known(record));
    const ticks = [...svg.querySelectorAll('text')].filter((one) => one.getAttribute('text-anchor') === 'middle');
    const at = (text: string): number => Number(ticks.find((one) => one.textContent === text)!.getAttribute('x'));
    const perFrame = (at('480') - at('120')) / 360;
    const frameAt = (x: number): number => (x - at('120')) / perFrame + 120;
    let bars = 0;
    for (const { marker, runs = [] } of record.quality) {
      const row = rowsOf(svg).get(marker);
      if (row === undefined) continue;
      const drawn = [...row.querySelectorAll('path')].flatMap((path) => boxesOf(path.getAttribute('d')!));
      const expected = runs.filter(([, , what]) => what !== 'flown');
      expect(drawn).toHaveLength(expected.length);
      drawn.sort((a, b) => a.left - b.left);
      expected.forEach(([first, last], i) => {
        // coordinates have two decimals, a frame is half a point wide
        expect(frameAt(drawn[i]!.left)).toBeCloseTo(first - 0.5, 1);
        expect(frameAt(drawn[i]!.left + drawn[i]!.width)).toBeCloseTo(last + 0.5, 1);
        bars += 1;
      });
    }
    expect(bars).toBeGreaterThan(8);
  });

  it('tells the ways of filling and the missing apart by form, not by hue alone', () => {
    const svg = draw(known(damagedRecord()));
    const forms = new Map<string, string>();
    for (const row of rowsOf(svg).values()) {
      const line = Number(/ ([\d.]+)H/.exec(row.querySelector('path')!.getAttribute('d')!)![1]);
      for (const path of row.querySelectorAll('path')) {
        const [box] = boxesOf(path.getAttribute('d')!);
        if (box === undefined) continue;
        const outline = path.getAttribute('stroke') !== null;
        forms.set(path.getAttribute('fill')!, `${(box.top - line).toFixed(1)} ${box.height} ${outline}`);
      }
    }
    expect(forms.size).toBe(4);
    expect(new Set(forms.values()).size).toBe(4);
  });

  it('names every fault with its number, its markers, its frames and what was done, and marks its rows', () => {
    const quality = known(damagedRecord());
    const svg = draw(quality);
    const text = textsOf(svg).join(' ');
    expect(text).toContain(
      'Fault 1: labels swapped (L_MC2 and R_LM, frames 250–290; repaired): the two exchange places',
    );
    expect(text).toContain('Fault 2: frames dropped (frames 70–71; left as recorded): everything moves on');
    expect(text).toContain('Fault 3: marker moved (L_ASIS; left as recorded): 14 mm from');
    const rows = rowsOf(svg);
    expect(['L_MC2', 'R_LM', 'L_ASIS', 'C7'].map((marker) => textsOf(rows.get(marker)!).slice(4))).toEqual([
      ['1'],
      ['1'],
      ['3'],
      [],
    ]);
    // the sign, drawn the same in every font
    const signs = (marker: string): number =>
      [...rows.get(marker)!.querySelectorAll('path')].filter((path) =>
        path.getAttribute('d')!.includes('l2.2 2.2l-2.2 2.2'),
      ).length;
    expect(['L_MC2', 'R_LM', 'L_ASIS', 'C7'].map(signs)).toEqual([1, 1, 1, 0]);
  });

  it('has lines at the positions that were found, each with its name, in the order of time', () => {
    const record = damagedRecord();
    const names = textsOf(draw(known(record))).filter((text) => /^P\d/.test(text));
    const found = Object.entries(record.moments).filter(([, moment]) => moment.found);
    expect(names).toHaveLength(found.length);
    expect(names.slice(0, 4)).toEqual(['P1', 'P2', 'P3', 'P4']);
  });

  it('has a title and says in words what it shows, a title for each row, and no outside file', () => {
    const root = draw(known(damagedRecord())).documentElement;
    expect(root.querySelector(':scope > title')?.textContent).toBe(
      `${damagedRecord().head.trial}: samples measured, filled and missing`,
    );
    const words = root.querySelector(':scope > desc')?.textContent ?? '';
    expect(words).toContain('L_RS: frames 300–419 missing. 120 of ');
    expect(words).toContain('R_ASIS: frames 0–11 filled from the rest of the segment.');
    expect(words).toContain('BALL: frames 20–29 missing; ');
    expect(words).toContain('Fault 1: labels swapped');
    for (const row of root.querySelectorAll('g')) expect(row.querySelector('title')?.textContent).toMatch(/^[A-Z].*: /);
    expect(root.querySelectorAll('script, foreignObject, image, use, a, style')).toHaveLength(0);
  });
});

describe.each([
  ['damaged', damagedRecord],
  ['one sample in five missing', riddledRecord],
  [
    'every marker in every fault',
    () =>
      ({
        ...damagedRecord(),
        faults: Object.keys(FAULTS).map((code) => ({
          code,
          markers: damagedRecord().quality.map(({ marker }) => marker),
          frames: [[5, 9]],
          action: 'kept',
          detail: 'x '.repeat(300),
        })),
      }) as unknown as SwingRecord,
  ],
])('texts of the figure: %s', (_name, make) => {
  it('overlap nowhere and stay inside', () => {
    const svg = draw(known(make()));
    const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
    const texts = placed(svg);
    expect(texts.length).toBeGreaterThan(40);
    expect(overlappingPairs(texts, 0.02)).toEqual([]);
    expect(outsidePage(texts, width!, height!, 0)).toEqual([]);
  });
});

describe('a recording without anything to show', () => {
  const clean = (): TrialQuality => {
    const quality = known(damagedRecord());
    const markers = quality.markers.map(({ runs: _runs, ...rest }) => ({ ...rest, missing: 0, filled: 0 }));
    return { ...quality, markers, faults: [] };
  };

  it('needs no figure; a ball that has flown is nothing to show', () => {
    expect(hasQualityToShow(clean())).toBe(false);
    const flown = clean().markers.map((one) =>
      one.marker === 'BALL' ? { ...one, missing: 10, runs: [[600, 609, 'flown'] as const] } : one,
    );
    expect(hasQualityToShow({ ...clean(), markers: flown })).toBe(false);
    expect(hasQualityToShow(known(damagedRecord()))).toBe(true);
  });

  it('still draws one that is asked for, with the sentence', () => {
    expect(textsOf(draw(clean()))).toContain(`All ${clean().markers.length} markers were measured throughout.`);
  });

  it('a record stored before stretches were kept, and one of sensors, have no figure', () => {
    const record = damagedRecord();
    const old = record.quality.map(({ runs: _runs, ...rest }) => rest);
    expect(qualityOf({ ...record, quality: old })).toBeNull();
    expect(qualityOf({ ...record, head: { ...record.head, source: 'sensors' } })).toBeNull();
  });
});

describe('quality in the page of the day', () => {
  const page = (record: SwingRecord): string => {
    const day = fixtureDay();
    const players = day.players.map((view, i) => (i === 0 ? viewWith(view, record) : view));
    return renderIndex({ ...day, players });
  };

  it('stands under its player, a fold for each recording that has something to show', () => {
    const html = new JSDOM(page(damagedRecord())).window.document;
    const sections = [...html.querySelectorAll('main > .player')].map((section) =>
      section.nextElementSibling?.matches('.quality')
        ? [...section.nextElementSibling.querySelectorAll('details')]
        : [],
    );
    expect(sections.map((folds) => folds.length)).toEqual([1, 0, 0]);
    const [fold] = sections[0]!;
    expect(fold!.querySelector('summary')?.textContent).toMatch(
      /: 10 of 48 markers with gaps, 3 with frames left missing; 3 faults$/,
    );
    expect(fold!.querySelector('svg > title')?.textContent).toContain('samples measured, filled and missing');
    expect(html.querySelector('.quality p')?.textContent).toBe(
      'Every marker was measured throughout, without a fault, in 0 of 1 recording.',
    );
  });

  it('comes out of the stored record byte by byte', () => {
    const stored = rereadRecord(storedRecordText(damagedRecord()));
    if (!stored.ok) throw new Error(stored.problem);
    expect(page(stored.value)).toBe(page(damagedRecord()));
  });

  it('names from a file stay text, however long and whatever they hold', () => {
    const hostile = ['</script><img src=x onerror=alert(1)>', '\u202eSISA', 'x'.repeat(10_000)];
    const record = damagedRecord();
    const quality = record.quality
      .slice(0, 3)
      .map((one, i) => ({ ...one, marker: hostile[i]!, missing: 5, runs: [[3, 7, 'missing'] as const] }));
    const text = page({ ...record, quality, faults: [] });
    const html = new JSDOM(text).window.document;
    expect(html.querySelectorAll('.quality img, .quality script')).toHaveLength(0);
    expect(text).not.toContain('<img src=x');
    const svg = draw(known({ ...record, quality, faults: [] }));
    expect(overlappingPairs(placed(svg), 0.02)).toEqual([]);
  });
});
