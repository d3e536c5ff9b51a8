import { describe, expect, it } from 'vitest';
import { balanceText, fitMiddle, fitText, textWidth, wrapText } from '../../../src/report/drawing/textMetrics.ts';
import { SIZE } from '../../../src/report/drawing/theme.ts';

const TEXT = 'At the top (P4) the pelvis keeps 6.8° more forward bend than with the irons (driver 17.4°, irons 10.6°).';

describe('text without a browser', () => {
  it('digits and the minus sign are as wide as the published metrics say: 0.556 and 0.584 em', () => {
    // Helvetica AFM, from memory: digits 556, minus 584
    for (const digit of '0123456789') expect(textWidth(digit, 'small')).toBeCloseTo(0.556 * SIZE.small, 10);
    expect(textWidth('−', 'large', 'bold')).toBeCloseTo(0.584 * SIZE.large, 10);
  });

  it('a character outside the table is taken one em wide, never narrower', () => {
    expect(textWidth('日', 'middle')).toBe(SIZE.middle);
  });

  it('no wrapped line is wider than asked, and the words are all there in order', () => {
    for (const width of [60, 133, 400]) {
      const lines = wrapText(TEXT, width, 'middle');
      for (const line of lines) expect(textWidth(line, 'middle')).toBeLessThanOrEqual(width);
      expect(lines.join(' ')).toBe(TEXT);
    }
  });

  it('a word longer than the line is broken, not lost', () => {
    const word = 'a'.repeat(80);
    const lines = wrapText(`x ${word}`, 100, 'middle');
    expect(lines.join('').replace('x', '')).toBe(word);
    for (const line of lines) expect(textWidth(line, 'middle')).toBeLessThanOrEqual(100);
  });

  it('more lines than allowed end in an ellipsis within the width', () => {
    const lines = wrapText(TEXT, 120, 'middle', 'regular', 2);
    expect(lines).toHaveLength(2);
    expect(lines[1]).toMatch(/…$/);
    expect(textWidth(lines[1]!, 'middle')).toBeLessThanOrEqual(120);
  });

  it('balanced lines are as few as wrapped ones and closer in width', () => {
    const wrapped = wrapText(TEXT, 500, 'large');
    const balanced = balanceText(TEXT, 500, 'large');
    const spread = (lines: readonly string[]): number => {
      const widths = lines.map((line) => textWidth(line, 'large'));
      return Math.max(...widths) - Math.min(...widths);
    };
    expect(balanced).toHaveLength(wrapped.length);
    expect(balanced.join(' ')).toBe(TEXT);
    expect(spread(balanced)).toBeLessThan(spread(wrapped));
  });

  it('text is cut at its end or in its middle, within the width, never inside a surrogate pair', () => {
    expect(textWidth(fitText(TEXT, 90, 'small'), 'small')).toBeLessThanOrEqual(90);
    const path = 'folder/below/driver/trial07';
    const cut = fitMiddle(path, 60, 'small');
    expect(textWidth(cut, 'small')).toBeLessThanOrEqual(60);
    expect(cut.startsWith('fold')).toBe(true);
    expect(cut.endsWith('al07')).toBe(true);
    expect(fitText('🏌🏌🏌🏌', 20, 'small')).not.toMatch(/\p{Surrogate}/u);
  });
});
