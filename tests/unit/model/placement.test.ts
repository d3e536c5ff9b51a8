import { describe, expect, it } from 'vitest';
import { CATALOGUE, quantityById } from '../../../src/model/catalogue.ts';
import { placementOf, segmentOf } from '../../../src/model/placement.ts';
import { toDisplay } from '../../../src/model/units.ts';

const shown = (id: string, set = {}): number | null => {
  const allowed = placementOf(quantityById(id), set);
  return allowed === null ? null : toDisplay(allowed, quantityById(id).unit);
};

describe('the allowance for landmarks and skin', () => {
  it('is there for every angle and length of the body, and for no time, speed, force or share', () => {
    const without = CATALOGUE.filter((quantity) => placementOf(quantity, {}) === null);
    expect(without.filter(({ unit, id }) => (unit === 'deg' || unit === 'mm') && !/^(club|force)\./.test(id))).toEqual(
      [],
    );
    const units = new Set(CATALOGUE.filter((quantity) => placementOf(quantity, {}) !== null).map(({ unit }) => unit));
    expect([...units].sort()).toEqual(['deg', 'mm']);
  });

  // Definitions 9, last line.
  it('never lets a turn be better than 1° or an axial rotation of the arm better than 2°', () => {
    const zero = {
      pelvis: 0,
      thorax: 0,
      turn_difference: 0,
      trunk: 0,
      lead_shoulder: 0,
      lead_elbow: 0,
      shoulder_line: 0,
    };
    expect(shown('pelvis.turn', zero)).toBeCloseTo(1, 12);
    expect(shown('turn_difference', zero)).toBeCloseTo(1, 12);
    expect(shown('trunk.axial', zero)).toBeCloseTo(1, 12);
    expect(shown('shoulder_line.turn', zero)).toBeCloseTo(1, 12);
    expect(shown('lead_shoulder.rotation', zero)).toBeCloseTo(2, 12);
    expect(shown('lead_elbow.pronation', zero)).toBeCloseTo(2, 12);
    expect(shown('pelvis.side_bend', zero)).toBe(0);
  });

  it('is set by quantity before segment before default', () => {
    expect(shown('pelvis.side_bend')).toBeCloseTo(3, 12);
    expect(shown('pelvis.side_bend', { pelvis: 4 })).toBeCloseTo(4, 12);
    expect(shown('pelvis.side_bend', { pelvis: 4, 'pelvis.side_bend': 6 })).toBeCloseTo(6, 12);
    expect(shown('thorax.side_bend', { pelvis: 4 })).toBeCloseTo(3, 12);
  });

  // Put on again between sessions, pelvis forward bend moves most (definitions 8); so does an axial rotation among joint angles (McGinley 2009).
  it('is largest where landmarks lie near one another', () => {
    expect(shown('pelvis.forward_bend')!).toBeGreaterThan(shown('pelvis.side_bend')!);
    expect(shown('lead_knee.rotation')!).toBeGreaterThan(shown('lead_knee.flexion')!);
    expect(shown('club.path')).toBeCloseTo(1, 12);
    expect(shown('club.attack')).toBeNull();
    expect(segmentOf('lead_knee.rotation')).toBe('lead_knee');
  });
});
