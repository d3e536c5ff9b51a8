import { describe, expect, it } from 'vitest';
import type { ComparisonRow, PlayerComparison } from '../../../src/model/comparison.ts';
import type { PositionId } from '../../../src/model/positions.ts';
import { findingsOf } from '../../../src/report/findings.ts';
import { stretches } from '../../../src/report/sentences/summaries.ts';
import {
  changeClause,
  differenceClause,
  intervalText,
  isSaid,
  type SaidRow,
} from '../../../src/report/sentences/words.ts';
import { EN } from '../../../src/report/words/en.ts';
import { fixtureComparison } from '../../support/reportFixture.ts';

const BASE = fixtureComparison();
const ROW = BASE.rows.find((row) => row.quantity === 'pelvis.forward_bend' && row.position === 'P4')!;

function row(change: Partial<ComparisonRow>): SaidRow {
  const made = { ...ROW, low95: null, high95: null, ...change };
  if (!isSaid(made)) throw new Error('a row with numbers is wanted');
  return made;
}

/** A comparison with these rows alone. */
function only(rows: readonly ComparisonRow[], change: Partial<PlayerComparison> = {}): PlayerComparison {
  return { ...BASE, rows, firstDepartures: [], ...change };
}

const EXAMPLE = row({
  meanGroup: 17.4,
  meanReference: 10.6,
  difference: 6.8,
  low95: 5.1,
  high95: 8.5,
  verdict: 'departs',
});

describe('arms and legs', () => {
  const wrist = row({ ...EXAMPLE, quantity: 'lead_wrist.flexion', position: 'P2', family: 'screening' });
  const told = { basis: 'value', difference: 6.8, unit: 'deg', certainty: 1, neighbours: [] } as const;

  it('never lead, though they depart first: they are counted', () => {
    const pelvis = row({ ...EXAMPLE, family: 'screening' });
    const first = [
      { ...told, quantity: 'lead_wrist.flexion', position: 'P2' },
      { ...told, quantity: 'pelvis.forward_bend', position: 'P4' },
    ] as const;
    const findings = findingsOf(EN, only([wrist, pelvis], { firstDepartures: first }));
    expect(findings.headline).toContain('At the top (P4) the pelvis keeps');
    expect(findings.further).toEqual([]);
    expect(findings.limbs).toBe(
      `1 quantity of arms, legs, forces and body speed departs from the irons (details). ${EN.findings.setUpNote}`,
    );
  });

  it('alone, the headline says no more than that the trunk does not depart', () => {
    const findings = findingsOf(
      EN,
      only([wrist], { firstDepartures: [{ ...told, quantity: 'lead_wrist.flexion', position: 'P2' }] }),
    );
    expect(findings.headline).toMatch(/^No departure of pelvis, chest or head from the irons/);
    expect(findings.lead).toBeNull();
  });

  it('lead where the day file makes them primary', () => {
    const findings = findingsOf(EN, only([row({ ...wrist, family: 'primary' })]));
    expect(findings.headline).toContain('(P2)');
    expect(findings.limbs).toBe('');
  });
});

describe('the sentence of a difference', () => {
  it('is the example of the design of the report, word for word', () => {
    const first = {
      quantity: 'pelvis.forward_bend',
      basis: 'value',
      position: 'P4',
      difference: 6.8,
      unit: 'deg',
      certainty: 0.87,
      neighbours: [],
    } as const;
    const findings = findingsOf(EN, only([EXAMPLE], { firstDepartures: [first] }));
    expect(findings.headline).toBe(
      'At the top (P4) the pelvis keeps 6.8° more forward bend than with the irons (driver 17.4°, irons 10.6°, 95 % interval of the difference 5.1° to 8.5°).',
    );
    expect(findings.support[0]).toBe('How sure: in 87 % of resamples of these swings it begins at P4.');
  });

  const cases: readonly (readonly [string, Partial<ComparisonRow>, string])[] = [
    ['less of what both have', { meanGroup: 3.2, meanReference: 10, difference: -6.8 }, 'the pelvis has 6.8° less forward bend'],
    ['both below zero: more of the other noun', { meanGroup: -9, meanReference: -4, difference: -5 }, 'the pelvis has 5.0° more backward lean'],
    ['both below zero: less of the other noun', { meanGroup: -4, meanReference: -9, difference: 5 }, 'the pelvis has 5.0° less backward lean'],
    ['across zero upward: more of the upper noun', { meanGroup: 3, meanReference: -2, difference: 5 }, 'the pelvis keeps 5.0° more forward bend'],
    ['across zero downward: more of the lower noun', { meanGroup: -3, meanReference: 2, difference: -5 }, 'the pelvis has 5.0° more backward lean'],
    ['at address nothing is kept yet', { position: 'P1', meanGroup: 17, meanReference: 12, difference: 5 }, 'the pelvis has 5.0° more forward bend'],
    ['side bend says which side', { quantity: 'thorax.side_bend', meanGroup: 37, meanReference: 31, difference: 6 }, 'the chest has 6.0° more side bend toward the trail side'],
    ['a backswing turn is away from the target', { quantity: 'thorax.turn', meanGroup: -98, meanReference: -94, difference: -4 }, 'the chest has 4.0° more turn away from the target'],
    ['millimetres have no decimals', { quantity: 'pelvis.to_target', unit: 'mm', meanGroup: 61.6, meanReference: 40, difference: 21.6 }, 'the pelvis has 22 mm more shift toward the target'],
    ['a quantity without own words uses its label', { quantity: 'tempo.backswing', position: 'swing', unit: 's', meanGroup: 0.95, meanReference: 0.9, difference: 0.05 }, 'the backswing time is 0.05 s higher'],
  ]; // biome-ignore format: a table
  for (const [name, change, sentence] of cases) {
    it(`${name}: “${sentence}”`, () => {
      expect(differenceClause(EN, row(change))).toBe(sentence);
    });
  }

  it('the interval is told the way the sentence goes: “less” turns its signs', () => {
    expect(
      intervalText(EN, row({ meanGroup: 3.2, meanReference: 10, difference: -6.8, low95: -8.5, high95: -5.1 })),
    ).toBe('5.1° to 8.5°');
    expect(intervalText(EN, row({ difference: 1, low95: -0.5, high95: 2.5 }))).toBe('−0.5° to 2.5°');
    expect(intervalText(EN, row({}))).toBe('');
  });

  it('a change since P1 that gains less than the irons’ is said as gained less, one that loses more as lost more', () => {
    expect(changeClause(EN, row({ basis: 'change', meanGroup: 2, meanReference: 6, difference: -4 }))).toBe(
      'the pelvis gains 4.0° less forward bend',
    );
    expect(changeClause(EN, row({ basis: 'change', meanGroup: -8, meanReference: -3, difference: -5 }))).toBe(
      'the pelvis loses 5.0° more forward bend',
    );
    expect(changeClause(EN, row({ basis: 'change', meanGroup: -1, meanReference: -6, difference: 5 }))).toBe(
      'the pelvis loses 5.0° less forward bend',
    );
  });
});

describe('what is told, and what is not', () => {
  it('departures at P1 stand apart with the line about the longer club, and never lead', () => {
    const setUp = row({ position: 'P1', meanGroup: 30, meanReference: 36, difference: -6, verdict: 'departs' });
    const findings = findingsOf(EN, only([setUp, row({ position: 'P7', verdict: 'matches', difference: 0.1 })]));
    expect(findings.setUp).toBe(`The pelvis has 6.0° less forward bend. ${EN.findings.setUpNote}`);
    expect(findings.headline).toMatch(/^Only the set-up departs/);
    expect(findings.further).toEqual([]);
  });

  it('a departure that was there at P1 and has not grown since is set-up carried on, told there and not again', () => {
    const at = (position: PositionId, change: Partial<ComparisonRow> = {}) =>
      row({
        quantity: 'thorax.forward_bend',
        position,
        meanGroup: 30,
        meanReference: 36,
        difference: -6,
        verdict: 'departs',
        ...change,
      });
    const since = (change: Partial<ComparisonRow>) =>
      at('P5', { basis: 'change', meanGroup: -10, meanReference: -4, ...change });
    const carried = findingsOf(EN, only([at('P1'), at('P5'), since({ difference: 0.1, verdict: 'matches' })]));
    expect(carried.headline).toMatch(/^Only the set-up departs/);
    expect(carried.setUp).toBe(
      `The chest has 6.0° less forward bend. Some of it stays into the swing. ${EN.findings.setUpNote}`,
    );
    const grown = findingsOf(EN, only([at('P1'), at('P5', { difference: -12 }), since({ difference: -6 })]));
    expect(grown.headline).toMatch(/^With the lead arm level coming down \(P5\) the chest has 12.0° less forward bend/);
    expect(grown.setUp).not.toContain('stays');
  });

  it('a subject that two set-up clauses share is said once', () => {
    const bend = row({
      quantity: 'thorax.forward_bend',
      position: 'P1',
      meanGroup: 30,
      meanReference: 36,
      difference: -6,
      verdict: 'departs',
    });
    const side = row({
      quantity: 'thorax.side_bend',
      position: 'P1',
      meanGroup: 12,
      meanReference: 8,
      difference: 4,
      verdict: 'departs',
    });
    expect(findingsOf(EN, only([bend, side])).setUp).toBe(
      `The chest has 4.0° more side bend toward the trail side and 6.0° less forward bend. ${EN.findings.setUpNote}`,
    );
  });

  it('at most four further lines, one a quantity, in the order of the swing; the others are counted', () => {
    const findings = findingsOf(EN, BASE);
    const quantities = new Set(
      BASE.rows
        .filter(
          (entry) =>
            entry.basis === 'value' &&
            entry.verdict === 'departs' &&
            entry.position !== 'P1' &&
            entry.position !== 'swing',
        )
        .map((entry) => entry.quantity),
    );
    expect(quantities.size).toBeGreaterThan(5); // or this test says nothing
    expect(findings.further).toHaveLength(4);
    expect(findings.furtherLeft).toBe(quantities.size - 1 - 4);
    const places = findings.further.map((entry) => Number(entry.position.slice(1)));
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it('undecided rows are counted with the swings that would settle more than half of them, and never listed', () => {
    const undecided = (position: PositionId, count: number) =>
      row({
        position,
        verdict: 'undecided',
        meanGroup: 12.34,
        meanReference: 10,
        difference: 2.34,
        moreSwings: { count, club: 'driver' },
      });
    const rows = [
      undecided('P2', 3),
      undecided('P3', 9),
      undecided('P4', 41),
      row({ position: 'P7', verdict: 'matches', difference: 0.1 }),
    ];
    const findings = findingsOf(EN, only(rows));
    expect(findings.undecided).toBe(
      '3 of 4 comparisons can’t be told yet; about 9 more swings of driver would settle most.',
    );
    expect(JSON.stringify({ ...findings, lead: null })).not.toContain('2.3°');
  });

  it('41 more swings are said as more than 40, 1 as one swing', () => {
    const of = (count: number) =>
      findingsOf(EN, only([row({ verdict: 'undecided', moreSwings: { count, club: 'irons' } })])).undecided;
    expect(of(41)).toBe('1 of 1 comparisons can’t be told yet; more than 40 more swings of irons would settle most.');
    expect(of(1)).toMatch(/about 1 more swing of irons/);
  });

  it('a headline by the change since P1 where the value already departs at address', () => {
    const change = row({
      basis: 'change',
      meanGroup: -1,
      meanReference: -6.8,
      difference: 5.8,
      verdict: 'departs',
      family: 'change-primary',
    });
    const entry = (basis: 'value' | 'change', position: PositionId) =>
      ({
        quantity: 'pelvis.forward_bend',
        basis,
        position,
        difference: 5.8,
        unit: 'deg',
        certainty: 0.6,
        neighbours: [],
      }) as const;
    const findings = findingsOf(
      EN,
      only([{ ...EXAMPLE, position: 'P1' }, change], {
        firstDepartures: [entry('value', 'P1'), entry('change', 'P4')],
      }),
    );
    expect(findings.headline).toBe(
      'From address to the top (P4) the pelvis loses 5.8° less forward bend than with the irons (driver −1.0°, irons −6.8°).',
    );
  });

  it('without a comparison the reason leads; with values alone it is called no verdict', () => {
    expect(findingsOf(EN, only([], { reason: 'no swing of the irons' })).headline).toBe(
      'No comparison: no swing of the irons.',
    );
    expect(findingsOf(EN, only([row({ verdict: 'none' })], { reason: 'only 1 swing of the irons' })).headline).toBe(
      'No verdict: only 1 swing of the irons.',
    );
    expect(findingsOf(EN, fixtureComparison({ drivers: 3, irons: 3 })).headline).toMatch(
      /^No verdict: fewer than 5 swings/,
    );
  });

  it('without a verdict on the body the headline says so and why, whatever club and tempo show', () => {
    const why = 'a bow that shows the flexion axis of the thorax';
    const tempo = { ...ROW, quantity: 'tempo.ratio', position: 'swing', verdict: 'matches' } as const;
    const none = { ...ROW, verdict: 'none', reason: why } as const;
    expect(findingsOf(EN, only([none, { ...none, position: 'P5' }, tempo])).headline).toBe(
      `No verdict on the body: ${why}; 1 of 1 comparisons of club and tempo match.`,
    );
  });

  it('matching positions become stretches among those compared', () => {
    const all: PositionId[] = ['P1', 'P3', 'P4', 'P5', 'P7'];
    expect(stretches(EN, ['P1', 'P3', 'P4', 'P7'], all)).toBe('P1 to P4 and P7');
    expect(stretches(EN, ['P1', 'P4', 'P5'], all)).toBe('P1, P4 and P5');
  });
});
