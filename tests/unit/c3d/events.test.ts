// Numbers in test names are rows of the design notes' table of problems people met with C3D files.
import { describe, expect, it } from 'vitest';
import { type Field, floats, ints, texts } from '../../support/c3dBuilder.ts';
import { codes, read } from './helpers.ts';

function times(...pairs: [number, number][]): Field {
  return { type: 'float', dims: [2, pairs.length], values: pairs.flat() };
}

function events(list: readonly [string, string, number, number][]): Record<string, Field> {
  return {
    'EVENT:USED': ints(list.length),
    'EVENT:CONTEXTS': texts(list.map(([, context]) => context)),
    'EVENT:LABELS': texts(list.map(([label]) => label)),
    'EVENT:TIMES': times(...list.map(([, , minutes, seconds]): [number, number] => [minutes, seconds])),
  };
}

/** 32-bit seconds near 70 have steps of 8e-6. */
const FLOAT_STEP = 1e-5;

describe('events of the EVENT group', () => {
  it('row 9, E19: times are whole minutes and seconds: [1, 2.5] is 62.5 s, and events are sorted by time', () => {
    // Source: check-values.md E19 (c3d.org eventtimes1.htm).
    const fields = events([
      ['late', 'Left', 1, 2.5],
      ['early', 'Right', 0, 59],
    ]);
    const c = read({ points: 1, frames: 6400, fields, point: () => [0, 0, 0, 0] });
    expect(c.events).toEqual([
      { label: 'early', context: 'Right', time_s: 59, frame: 5900, store: 'group' },
      { label: 'late', context: 'Left', time_s: 62.5, frame: 6250, store: 'group' },
    ]);
    expect(codes(c)).toEqual([]);
  });

  it('row 8: times count from raw frame 1; frame and time are given from the first stored frame', () => {
    // First stored frame 725 at 100 Hz, event at 7.31 s: stored index 731 − 724 = 7 (check-values.md E20).
    const c = read({ firstFrame: 725, frames: 293, points: 1, fields: events([['FS', 'Left', 0, 7.31]]) });
    expect(c.events[0]!.frame).toBe(7);
    expect(Math.abs(c.events[0]!.time_s - 0.07)).toBeLessThan(FLOAT_STEP);
    expect(codes(c)).toEqual([]);
  });

  it('where only counting from the first stored frame puts every event inside the file, that holds and is told', () => {
    const c = read({ firstFrame: 725, frames: 293, points: 1, fields: events([['FS', 'Left', 0, 0.5]]) });
    expect([c.events[0]!.frame, codes(c)]).toEqual([50, ['event-origin-first-frame']]);
  });

  it('an event outside the file under both origins keeps its place and is told', () => {
    const list = events([
      ['a', '', 0, 7.3],
      ['b', '', 0, 90],
    ]);
    const c = read({ firstFrame: 725, frames: 293, points: 1, fields: list });
    expect([c.events.map((e) => e.frame), codes(c)]).toEqual([[6, 8276], ['event-outside-file']]);
  });

  it('row 11: two stores of one instant 1 ms apart reach the same frame and both are kept', () => {
    const c = read({
      frames: 300,
      points: 1,
      fields: events([['FS', 'Left', 0, 2.521]]),
      headerEvents: [{ label: 'LFS', time_s: 2.52 }],
    });
    expect(c.events.map((e) => [e.store, e.frame])).toEqual([
      ['header', 252],
      ['group', 252],
    ]);
  });

  it('row 10: the store of each event is said; header events count from the first stored frame', () => {
    const c = read({ firstFrame: 100, frames: 50, headerEvents: [{ label: 'TOP', time_s: 0.25 }] });
    expect(c.events).toEqual([{ label: 'TOP', context: '', time_s: 0.25, frame: 25, store: 'header' }]);
    expect(read({}).events).toEqual([]);
  });

  it('row 12: blank labels take the context unless it is a side', () => {
    const fields = {
      ...events([
        ['', 'Impact', 0, 0.01],
        ['', 'Left', 0, 0.02],
      ]),
    };
    const c = read({ fields });
    expect(c.events.map((e) => [e.label, e.context])).toEqual([
      ['Impact', ''],
      ['', 'Left'],
    ]);
    expect(codes(c)).toEqual(['event-label-from-context']);
  });

  it('row 12: CONTEXTS may be missing, TIMES may be flat, SUBJECTS may be longer than USED', () => {
    const fields: Record<string, Field> = {
      'EVENT:USED': ints(2),
      'EVENT:LABELS': texts(['a', 'b']),
      'EVENT:SUBJECTS': texts(Array<string>(15).fill('s')),
      'EVENT:TIMES': { type: 'float', dims: [4], values: [0, 0.01, 0, 0.03] },
    };
    const c = read({ fields });
    expect(c.events.map((e) => [e.label, e.context, e.frame])).toEqual([
      ['a', '', 1],
      ['b', '', 3],
    ]);
    expect(codes(c)).toEqual(['event-times-layout']);
    const plain = read({ fields: { ...fields, 'EVENT:TIMES': floats(0.01, 0.03) } });
    expect(plain.events.map((e) => e.frame)).toEqual([1, 3]);
  });

  it('a USED that differs from the times keeps the events that have one', () => {
    const c = read({ fields: { ...events([['a', 'Left', 0, 0.01]]), 'EVENT:USED': ints(3) } });
    expect([c.events.length, codes(c)]).toEqual([1, ['event-count-disagrees']]);
  });

  it('more than 255 events are continued in TIMES2', () => {
    const many = Array.from({ length: 300 }, (_, i): [string, string, number, number] => [`e${i}`, 'Left', 0, i / 100]);
    const first = events(many.slice(0, 255));
    const rest = events(many.slice(255));
    const c = read({
      points: 1,
      frames: 300,
      fields: {
        ...first,
        'EVENT:USED': ints(300),
        'EVENT:LABELS2': rest['EVENT:LABELS']!,
        'EVENT:CONTEXTS2': rest['EVENT:CONTEXTS']!,
        'EVENT:TIMES2': rest['EVENT:TIMES']!,
      },
    });
    expect([c.events.length, c.events[299]!.label, c.events[299]!.frame, codes(c)]).toEqual([300, 'e299', 299, []]);
  });

  it('times that are no numbers leave their event out', () => {
    const c = read({
      fields: events([['a', '', 0, Number.NaN]]),
      headerEvents: [{ label: 'X', time_s: Number.POSITIVE_INFINITY }],
    });
    expect([c.events, codes(c)]).toEqual([[], ['event-time-unreadable', 'event-time-unreadable']]);
  });

  it('without a rate events keep their times and have frame −1', () => {
    const c = read({
      fields: { ...events([['a', '', 0, 0.02]]), 'POINT:RATE': null },
      floatWords: { 11: 0 },
    });
    expect(c.events[0]!.frame).toBe(-1);
    expect(Math.abs(c.events[0]!.time_s - 0.02)).toBeLessThan(FLOAT_STEP);
  });

  it('a header that declares more than 18 events gives 18', () => {
    const c = read({ words: { 151: 4000 } });
    expect([c.events.length, codes(c)]).toEqual([18, ['header-events-too-many']]);
  });
});
