import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { type FixtureOptions, fixtureView } from '../../support/reportFixture.ts';

const NO_IRONS: FixtureOptions = { reason: 'no swing of the irons', irons: 0 };

interface Placed {
  readonly text: string;
  readonly x: number;
  readonly y: number;
}

function placed(view: PlayerView): Placed[] {
  const svg = new JSDOM(renderPlayerSheet(view), { contentType: 'image/svg+xml' }).window.document;
  return [...svg.querySelectorAll('text')].map((element) => ({
    text: element.textContent ?? '',
    x: Number(element.getAttribute('x')),
    y: Number(element.getAttribute('y')),
  }));
}

/** The lines of a quantity: position, then one text a swing. */
function linesOf(texts: readonly Placed[], heading: string, count: number): string[][] {
  const top = texts.find(({ text }) => text === heading);
  if (top === undefined) return [];
  const places = texts.filter(({ text, y }) => /^P\d/.test(text) && y >= top.y).slice(0, count);
  return places.map((place) =>
    texts
      .filter(({ x, y }) => y === place.y && x >= place.x)
      .sort((a, b) => a.x - b.x)
      .map(({ text }) => text),
  );
}

/** Value of a cell in degrees with one decimal, as the tables would print it: independent of the report's own formatting. */
function degrees(record: SwingRecord, quantity: string, position: string): string {
  const cell = record.cells.find((entry) => entry.quantity === quantity && entry.position === position)!;
  return ((cell.value! * 180) / Math.PI)
    .toFixed(1)
    .replace(/^-(?=.*[1-9])/, '−')
    .replace(/^-/, '');
}

describe('a sheet without a comparison', () => {
  it('shows pelvis and chest of every swing at P1, P4, P5.5 and P7, one column a swing', () => {
    const view = fixtureView(NO_IRONS);
    const texts = placed(view);
    expect(texts.map(({ text }) => text)).toContain('Single swings: driver, 8 swings');
    for (const [heading, quantity] of [
      ['Pelvis turn, °', 'pelvis.turn'],
      ['Pelvis side bend, °', 'pelvis.side_bend'],
      ['Pelvis forward bend, °', 'pelvis.forward_bend'],
      ['Chest turn, °', 'thorax.turn'],
      ['Chest side bend, °', 'thorax.side_bend'],
      ['Chest forward bend, °', 'thorax.forward_bend'],
    ] as const) {
      expect(linesOf(texts, heading, 4)).toEqual(
        ['P1', 'P4', 'P5.5', 'P7'].map((position) => [
          position,
          ...view.records.map((record) => degrees(record, quantity, position)),
        ]),
      );
    }
    expect(linesOf(texts, 'Attack angle, °', 1)).toEqual([
      ['P7', ...view.records.map((record) => degrees(record, 'club.attack', 'swing'))],
    ]);
  });

  it('shows the irons where there is no driver, at most eight swings in the order of the day, and says so', () => {
    const view = fixtureView({ reason: 'no swing of the driver', drivers: 0, irons: 20 });
    const texts = placed({ ...view, records: [...view.records].reverse() });
    expect(texts.map(({ text }) => text)).toContain('Single swings: irons, the first 8 of 20 swings');
    expect(linesOf(texts, 'Pelvis turn, °', 1)).toEqual([
      ['P1', ...view.records.slice(0, 8).map((record) => degrees(record, 'pelvis.turn', 'P1'))],
    ]);
  });

  it('shows lines and trunk in the reduced form, P4(arm) and P5 where P4 and P5.5 are missing, no club without one', () => {
    const texts = placed(fixtureView({ ...NO_IRONS, reduced: true, club: false }));
    for (const heading of ['Pelvis line turn, °', 'Shoulder line turn, °', 'Trunk lean toward the ball, °']) {
      expect(linesOf(texts, heading, 4).map(([place]) => place)).toEqual(['P1', 'P4(arm)', 'P5', 'P7']);
    }
    expect(texts.some(({ text }) => /^(Pelvis|Chest) turn|^Head speed/.test(text))).toBe(false);
  });

  it('prints a dash for what is missing or no number, never NaN', () => {
    const view = fixtureView({ ...NO_IRONS, withoutP1: true, assumedTarget: true });
    const [first, ...rest] = view.records;
    const broken: SwingRecord = {
      ...first!,
      cells: first!.cells.map((cell) => (cell.quantity === 'pelvis.turn' ? { ...cell, value: Number.NaN } : cell)),
    };
    const texts = placed({ ...view, records: [broken, ...rest] });
    const [p1, p4] = linesOf(texts, 'Pelvis turn, °', 4);
    expect(p1).toEqual(['P1', ...Array.from({ length: 8 }, () => '–')]);
    expect(p4!.slice(0, 2)).toEqual(['P4', '–']);
    expect(p4!.slice(2).every((text) => /^−?\d+\.\d$/.test(text))).toBe(true);
    expect(linesOf(texts, 'Path, °', 1)).toEqual([['P7', ...Array.from({ length: 8 }, () => '–')]]);
    expect(texts.map(({ text }) => text).join(' ')).not.toMatch(/NaN|undefined|null/);
  });

  it('says where club figures are those of a marker, and keeps to the words where there are no values at all', () => {
    const view = fixtureView(NO_IRONS);
    const say = (records: readonly SwingRecord[]): string =>
      placed({ ...view, records })
        .map(({ text }) => text)
        .join(' ');
    const marker = { kind: 'marker', id: 'marker:driver:CLUB_HEAD_1' } as const;
    expect(say(view.records)).not.toContain('marker on the head');
    expect(say(view.records.map((record) => ({ ...record, headPoint: marker })))).toContain('a marker on the head');
    const empty = say(view.records.map((record) => ({ ...record, cells: [] })));
    expect(empty).not.toContain('Single swings');
    expect(empty).toContain('A verdict needs 5 of each');
  });
});
