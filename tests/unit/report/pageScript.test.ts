import { describe, expect, it } from 'vitest';
import { FILM_POINTS, packPlaces } from '../../../src/model/film.ts';
import { CURVE_STEPS } from '../../../src/model/swingRecord.ts';
import type { PageData, PageSwing } from '../../../src/report/page/pageData.ts';
import { CAMERAS, extentOf, lensOf, turned } from '../../../src/report/page/script/camera.ts';
import { choicesOf, meanOf, pairsOf } from '../../../src/report/page/script/choices.ts';
import { pointsAt } from '../../../src/report/page/script/figure.ts';
import { numberText } from '../../../src/report/page/script/units.ts';
import { EN } from '../../../src/report/words/en.ts';

// G of the definitions: X toward the ball, Y up, Z to the player's right; the target of a right-hander is at −Z.
const BALL = [1, 0, 0] as const;
const UP = [0, 1, 0] as const;
const TARGET = [0, 0, -1] as const;

function seen(view: keyof typeof CAMERAS, hand: 'left' | 'right', point: readonly [number, number, number]): number[] {
  return lensOf(CAMERAS[view], hand)(point).map((value) => Math.round(1e9 * value) / 1e9 + 0);
}

describe('where the figure is seen from', () => {
  it.each([
    // from the front the viewer stands on the ball's side: target on the right, the ball comes toward the eye
    ['front', 'right', TARGET, [1, 0]],
    ['front', 'right', UP, [0, 1]],
    ['front', 'right', BALL, [0, 0]],
    // along the target line the viewer looks at the target: the ball is on the right of a right-hander
    ['line', 'right', TARGET, [0, 0]],
    ['line', 'right', UP, [0, 1]],
    ['line', 'right', BALL, [1, 0]],
    // from above, as from the front and then leaning over: the ball is nearest, at the bottom
    ['above', 'right', TARGET, [1, 0]],
    ['above', 'right', UP, [0, 0]],
    ['above', 'right', BALL, [0, -1]],
    // a left-hander is reflected in G and back on the screen
    ['front', 'left', TARGET, [-1, 0]],
    ['line', 'left', BALL, [-1, 0]],
    ['above', 'left', BALL, [0, -1]],
  ] as const)('%s of a %s-hander: %j at %j', (view, hand, point, place) => {
    expect(seen(view, hand, point)).toEqual([...place]);
  });

  it('turns all the way round, and never under the ground or over the top', () => {
    const by = { turn: 0.5, height: 1 };
    const once = turned(CAMERAS.front, by);
    expect(turned(once, by)).toEqual({ turn: 1, height: Math.PI / 2 });
    expect(turned(once, { turn: 0, height: -9 }).height).toBe(-0.2);
  });

  it('keeps lengths: two points as far apart as they are when the eye looks across them', () => {
    const [x, y] = lensOf({ turn: 0.7, height: 0.4 }, 'right')([0.3, -0.2, 0.5]);
    const toEye = Math.cos(0.4) * (Math.cos(0.7) * 0.3 + Math.sin(0.7) * 0.5) + Math.sin(0.4) * -0.2;
    expect(x * x + y * y + toEye * toEye).toBeCloseTo(0.3 * 0.3 + 0.2 * 0.2 + 0.5 * 0.5, 12);
  });

  it('holds every place of the film', () => {
    const lens = lensOf(CAMERAS.front, 'right');
    expect(extentOf([{ a: [0, 1, -2], b: [0, -1, 0.5] }], lens, 0.25)).toEqual({
      left: -0.75,
      right: 2.25,
      bottom: -1.25,
      top: 1.25,
    });
    expect(extentOf([{}], lens, 0.1)).toBeNull();
  });
});

/** A swing whose lead knee stands at `x` at every step. */
function swing(side: 0 | 1, set: string, x: number | null): PageSwing {
  const places = Float64Array.from({ length: 3 * CURVE_STEPS }, (_, i) => (i % 3 === 0 ? (x ?? Number.NaN) : 1));
  const film = x === null ? null : ({ points: ['lead_knee'], data: packPlaces(places) } as const);
  return { label: `${set}-${x}`, side, set, film, curves: '', values: '' };
}

const DATA: PageData = {
  hand: 'right',
  labels: ['driver', 'irons'],
  positions: [],
  quantities: [],
  rows: [],
  curves: [],
  swings: [
    swing(0, 'before', 0.1),
    swing(0, 'after', 0.3),
    swing(0, 'after', 0.5),
    swing(0, 'after', null),
    swing(1, 'before', 0),
  ],
  start: 0,
  lead: -1,
  words: EN.page.script,
  verdicts: [],
  inch: 'inches',
  decimal: '.',
  units: { speed: 'm/s', length: 'mm' },
};

describe('what can be chosen', () => {
  const choices = choicesOf(DATA);
  const knee = (key: string): number => {
    const places = choices.find((choice) => choice.key === key)!.places();
    return pointsAt(places, 40)['lead_knee']![0];
  };

  it('is the means of both, of the sets where there are several, and every swing', () => {
    expect(choices.map(({ key }) => key)).toEqual([
      'mean-0',
      'mean-1',
      'set-0-before',
      'set-0-after',
      'swing-0',
      'swing-1',
      'swing-2',
      'swing-3',
      'swing-4',
    ]);
    expect(new Set(choices.map(({ label }) => label)).size).toBe(choices.length);
  });

  it('means are those of the swings that have a film; a swing without one has no figure', () => {
    expect(knee('mean-0')).toBeCloseTo(0.3, 12);
    expect(knee('set-0-after')).toBeCloseTo(0.4, 12);
    expect(knee('set-0-before')).toBeCloseTo(0.1, 12);
    expect(choices.find(({ key }) => key === 'swing-3')!.places()).toBeNull();
    expect(Object.keys(pointsAt(choices[0]!.places(), 0))).toEqual(['lead_knee']);
    expect(FILM_POINTS).toContain('lead_knee');
  });

  it('pairs are the groups, and each later set against the one before', () => {
    expect(pairsOf(DATA)).toEqual([
      { label: 'driver against irons', keys: ['mean-0', 'mean-1'] },
      { label: 'driver, after against driver, before', keys: ['set-0-after', 'set-0-before'] },
    ]);
  });

  it('a mean needs half of the swings', () => {
    const [none, one] = [[Number.NaN], [4]];
    expect([...meanOf([one, [6]], 1)]).toEqual([5]);
    expect([...meanOf([one, none], 1)]).toEqual([4]);
    expect([...meanOf([one, none, none], 1)]).toEqual([Number.NaN]);
    expect([...meanOf([], 1)]).toEqual([Number.NaN]);
  });
});

describe('units of the page', () => {
  const quantity = { label: 'x', unit: 'mm', decimals: 0, topic: 'trunk' } as const;
  it.each([
    // an inch is 25.4 mm and a mile 1609.344 m (international agreement of 1959)
    [quantity, 254, '254', '10.0', ',inches'],
    [{ ...quantity, unit: 'm/s', decimals: 1 } as const, 44.704, '44.7', '100.0', ',mph'],
    [{ ...quantity, unit: 'deg', decimals: 1 } as const, -4.25, '−4.3', '−4.3', ',°'],
    [{ ...quantity, unit: 's', decimals: 3 } as const, 0.25, '0.250', '0.250', ',s'],
  ])('%j: %d', (of, value, metric, other, name) => {
    expect(numberText(of, { speed: 'm/s', length: 'mm' }, { inch: 'inches', decimal: '.' }).plain(value)).toBe(metric);
    const changed = numberText(of, { speed: 'mph', length: 'in' }, { inch: 'inches', decimal: '.' });
    expect([changed.plain(value), `,${changed.unit}`]).toEqual([other, name]);
    expect([changed.plain(null), changed.signed(Number.NaN)]).toEqual(['', '']);
  });
});
