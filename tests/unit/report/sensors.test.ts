import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { ComparisonPart } from '../../../src/model/comparison.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { sensorText } from '../../../src/report/parts/sensors.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { nameOf, zeroText } from '../../../src/report/sentences/zero.ts';
import { EN } from '../../../src/report/words/en.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { fixtureView } from '../../support/reportFixture.ts';

function textsOf(svg: string): string[] {
  const parsed = new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
  return [...parsed.querySelectorAll('text')].map((element) => element.textContent ?? '');
}

const SENSORS = REPORT_CASES['sensors']!;

function partOf(changes: Partial<ComparisonPart>): ComparisonPart {
  return { source: 'sensors', datum: null, calibration: null, label: '', suffix: '', ...changes };
}

describe('the sheet of sensors', () => {
  it('says once what the zero is and what is absent, and draws no figure of joints', () => {
    const svg = renderPlayerSheet(fixtureView(SENSORS));
    const text = textsOf(svg).join(' ');
    expect(text.split('Sensors give orientations')).toHaveLength(2);
    expect(text.split('Zero: ')).toHaveLength(2);
    expect(text).toContain('taken over from the marker static trial wren/0-static');
    expect(text).not.toMatch(/No figures|No club figures|heavier lines|target line/);
    expect(svg).not.toContain('Figures at');
    expect(text).toContain('Tempo ratio');
    expect(text).toContain('Pelvis forward bend');
  });

  it('says the same in its description, for those who do not see it', () => {
    const svg = renderPlayerSheet(fixtureView(SENSORS));
    const parsed = new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
    const description = parsed.querySelector('desc')?.textContent ?? '';
    expect(description).toContain(EN.zero.noPlaces);
    expect(description).toContain(zeroText(EN, fixtureView(SENSORS).comparison.part));
  });

  it('of markers has none of it', () => {
    const text = textsOf(renderPlayerSheet(fixtureView())).join(' ');
    expect(text).not.toMatch(/Zero: |Sensors give/);
    expect(text).toContain('heavier lines are the lead side');
  });
});

describe('the zero in words', () => {
  const still = { still: 's', anatomicalFrom: null, headings: 'address' } as const;
  it.each([
    [partOf({ calibration: still }), 'Zero: angles are against the calibration pose s, not anatomical; turns, and the chest’s rotation on the pelvis, are since address.'],
    [partOf({ calibration: { ...still, anatomicalFrom: 'm' } }), 'Zero: forward and side bend in the calibration pose s are taken over from the marker static trial m; turns, and the chest’s rotation on the pelvis, are since address.'],
    [partOf({ calibration: { ...still, headings: 'file' } }), 'Zero: angles are against the calibration pose s, not anatomical; turns are since address, those of all segments together.'],
    [partOf({}), 'The sensors were not calibrated: no angle of a segment can be given.'],
    [partOf({ source: 'markers' }), ''],
  ] as const)('%# %o', (part, words) => {
    expect(zeroText(EN, part)).toBe(words);
  }); // biome-ignore format: one case a line

  it('a part is named only where the player has another', () => {
    const { comparison } = fixtureView();
    expect(nameOf(comparison)).toBe('Wren');
    expect(nameOf({ ...comparison, part: partOf({ label: 'sensors' }) })).toBe('Wren, sensors');
  });
});

describe('the details of sensors', () => {
  const view = fixtureView(SENSORS);
  it('have a line a sensor from pelvis to club, with what differs between swings as ranges and counts', () => {
    const texts = textsOf(renderPlayerDetails(view));
    const from = texts.indexOf('Sensors (3 sensors)');
    const terms = texts.slice(from).filter((text) => ['zero', 'absent', 'pelvis', 'thorax', 'club'].includes(text));
    expect(terms).toEqual(['zero', 'absent', 'pelvis', 'thorax', 'club']);
    // radians of the fixture in degrees: 0.005 rad/s, 0.001 rad, 0.01 rad × 15 swings after the first
    expect(texts.join(' ')).toContain(
      'sensor sacrum: integrated from the still address, tilt from gravity there; bias taken off 0.29°/s; drift at most 0.06° (95 %); tilt at the finish off by 0.0° to 8.6°.',
    );
  });

  it('say in how many swings a sensor was clipped or gave nothing, and why', () => {
    const notes = view.records.flatMap(({ sensors }) => sensors ?? []);
    const of = (place: string) =>
      sensorText(
        EN,
        notes.filter((note) => note.place === place),
      );
    expect(of('club')).toMatch(/; drift at most 0\.11° to 0\.20° \(95 %\); gyro at its range limit in 1 of 16$/);
    expect(of('thorax')).toMatch(
      /^orientations of the file in 15 of 16; drift .*; gives nothing: needs a bow that shows its axis in 1 of 16$/,
    );
  });

  it('name neither landmarks, nor units, nor axes, nor a target line', () => {
    const texts = textsOf(renderPlayerDetails(view));
    for (const term of ['landmarks', 'unit of length', 'up', 'target line', 'mirrored frame']) {
      expect(texts).not.toContain(term);
    }
    expect(texts).toEqual(expect.arrayContaining(['rate', 'hand', 'filter']));
  });

  it('tell how the sensors were found to sit, from the still pose', () => {
    const still = {
      ...view.outcomes[0]!,
      trial: 'still',
      role: 'static',
      status: 'used' as const,
      record: null,
      diagnostics: [
        { code: 'mounting-quality', severity: 'info', message: 'the pelvis: spreads by 1.2°', offset: null },
        { code: 'mounting-doubtful', severity: 'warning', message: 'the chest: spreads by 9.0°', offset: null },
        { code: 'clocks-aligned', severity: 'info', message: 'other', offset: null },
      ] as const,
    };
    const text = textsOf(renderPlayerDetails({ ...view, outcomes: [...view.outcomes, still] })).join(' ');
    expect(text).toContain('the pelvis: spreads by 1.2°; the chest: spreads by 9.0° (doubtful).');
  });
});

describe('the page of a day on which a player has markers and sensors', () => {
  it('lists both, each with its own sheet, link and anchor, and counts the player once', () => {
    const views = [fixtureView({ part: { label: 'markers' } }), fixtureView(SENSORS)];
    const html = renderIndex({
      day: 'd',
      date: null,
      players: views,
      outcomes: views.flatMap((view) => view.outcomes),
      programVersion: 'p',
    });
    const page = new JSDOM(html).window.document;
    expect([...page.querySelectorAll('dt')].map((term) => term.textContent)).toEqual([
      'Wren, markers',
      'Wren, sensors',
    ]);
    expect([...page.querySelectorAll('img')].map((image) => image.getAttribute('src'))).toEqual([
      'players/Wren.svg',
      'players/Wren-sensors.svg',
    ]);
    const ids = [...page.querySelectorAll('section')].map((section) => section.id);
    expect(new Set(ids).size).toBe(2);
    for (const link of page.querySelectorAll('dt a')) expect(ids).toContain(link.getAttribute('href')!.slice(1));
    expect(page.querySelector('.day')!.textContent).toContain('1 player ·');
  });
});
