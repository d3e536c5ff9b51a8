import { describe, expect, it } from 'vitest';
import { compareCodeUnits, editDistance, escapeXml, nearestOf, shownText } from '../../../src/base/text.ts';

describe('text', () => {
  it('is ordered by code unit, never by locale', () => {
    expect(['b', 'ä', 'a', 'Z', 'z', '10', '9', ''].sort(compareCodeUnits)).toEqual([
      '',
      '10',
      '9',
      'Z',
      'a',
      'b',
      'z',
      'ä',
    ]);
    expect(compareCodeUnits('a', 'a')).toBe(0);
  });

  it('counts edits, a swap of neighbours once', () => {
    expect(editDistance('', 'abc')).toBe(3);
    expect(editDistance('kitten', 'sitting')).toBe(3);
    expect(editDistance('fitler', 'filter')).toBe(1);
    expect(editDistance('same', 'same')).toBe(0);
  });

  it('suggests the nearest word, the first of equals, and none where none is near', () => {
    const list = ['filter', 'gaps', 'players', 'clubs', 'lab'];
    expect(nearestOf('fliter', list)).toBe('filter');
    expect(nearestOf('Player', list)).toBe('players');
    expect(nearestOf('club', list)).toBe('clubs');
    expect(nearestOf('temperature', list)).toBeNull();
    expect(nearestOf('ab', ['aa', 'bb'])).toBe('aa');
    expect(nearestOf('x', [])).toBeNull();
  });

  it('is safe in XML: five characters escaped, forbidden ones replaced, the rest kept', () => {
    expect(escapeXml(`<a href="x">'&'</a>`)).toBe('&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;');
    expect(escapeXml('a\u0000b\u000bc\ud800d\uffffe')).toBe('a\ufffdb\ufffdc\ufffdd\ufffde');
    expect(shownText('\u202eb\u200b \u0085\ufeff\u2028')).toBe('\ufffdb\ufffd \ufffd\ufffd\ufffd');
    // needed to write: joiners, the soft hyphen, a no-break space, letters from right to left, marks that belong to a letter
    const needed = 'a\u200cb\u200d c\u00ad\u00a0\u202f \u05d0\u0627 e\u0301\u0323 🏳\ufe0f';
    expect(shownText(needed)).toBe(needed);
    expect(shownText(`Z${'\u0301'.repeat(99)}a\u0301`)).toBe(`Z${'\u0301'.repeat(4)}a\u0301`);
    expect(escapeXml('tab\tline\nü°−🏌')).toBe('tab\tline\nü°−🏌');
  });
});
