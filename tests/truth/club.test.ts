// The club at impact on synthetic swings whose motion is known; its accuracy by figure stands with the rest in accuracy.test.ts.
import { describe, expect, it } from 'vitest';
import { outOfPlane } from '../../samples/generator/clubTruth.ts';
import { CLUB_AT_IMPACT_QUANTITIES } from '../../src/model/quantities/clubAtImpact.ts';
import type { Cell, SwingRecord } from '../../src/model/swingRecord.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { seedsTo } from '../support/accuracy.ts';
import { CLEAN, NOISY, type TruthCase, truthCase } from '../support/truthCases.ts';

const DEGREES = 180 / Math.PI;
const IDS = CLUB_AT_IMPACT_QUANTITIES.map(({ id }) => id);

function analysed(one: TruthCase): SwingRecord {
  return analyseTrial(one.trial, one.plan, createWorkspace());
}

function cellOf(record: SwingRecord, quantity: string): Cell {
  return record.cells.find((cell) => cell.quantity === quantity)!;
}

/** The trial without landmarks of a pattern. */
function lacking(one: TruthCase, pattern: RegExp): TruthCase {
  const points = new Map([...one.trial.points].filter(([id]) => !pattern.test(id)));
  return { ...one, trial: { ...one.trial, points } };
}

/** Columns of the landmarks of a pattern changed from a frame on. */
function shaken(trial: MarkerTrial, pattern: RegExp, from: number): MarkerTrial {
  const { frames } = trial.clock;
  const points = new Map(
    [...trial.points].map(([id, track]) => {
      if (!pattern.test(id)) return [id, track] as const;
      const data = Float64Array.from(track.data);
      for (let c = 0; c < 3; c++) for (let f = from; f < frames; f++) data[c * frames + f]! += 0.05 * Math.sin(f + c);
      return [id, { ...track, data }] as const;
    }),
  );
  return { ...trial, points };
}

describe('velocity and plane of the head at impact', () => {
  // sin(direction − path) = tan(attack) / tan(slope) holds where the head moves in its plane (plane geometry). The head of these swings leaves
  // it: hub and plane move. How far off the relation then is, is a property of the motion, known exactly; read it must be within 0.3°.
  it.each(seedsTo(40))(
    'seed %i: how far attack, path and plane disagree is read within 0.3°, without noise',
    (seed) => {
      const one = truthCase(seed, CLEAN);
      const { swing, truth, contact_s } = one.made;
      const shift = swing.setup.contact - contact_s;
      const known = one.made.clubTruth();
      const record = analysed(one);
      for (const id of ['club.plane_disagreement', 'club.late_plane_disagreement']) {
        const { value, flags } = cellOf(record, id);
        expect(Math.abs(value! - known[id]!) * DEGREES, id).toBeLessThan(0.3);
        expect(flags.includes('plane-disagrees'), id).toBe(Math.abs(value!) * DEGREES > 1.5);
      }
      // In one of the forty the head stays within 14 mm of its plane.
      if (seed !== 29) expect(outOfPlane(swing, truth.time_s.P4 + shift, contact_s + shift)).toBeGreaterThan(0.02);
    },
  );
});

describe('a left-hander', () => {
  it.each([1, 4])('seed %i: has the figures of the right-hander in the mirror', (seed) => {
    const [right, left] = (['right', 'left'] as const).map((hand) =>
      analysed(truthCase(seed, { ...CLEAN, options: { hand } })),
    );
    for (const id of IDS) {
      const [r, l] = [cellOf(right!, id), cellOf(left!, id)];
      expect(l.value === null, id).toBe(r.value === null);
      // Reflection changes signs only; sums in another order may round otherwise.
      if (r.value !== null) expect(Math.abs(l.value! - r.value), id).toBeLessThan(1e-9);
    }
  });

  it('and a file whose axes are left-handed read the face normal of the day file in file axes', () => {
    const lab = { up: '+Z', target: '+X', mirrored: true } as const;
    for (const hand of ['right', 'left'] as const) {
      const plain = analysed(truthCase(2, { ...CLEAN, options: { hand } }));
      const mirrored = analysed(truthCase(2, { ...CLEAN, options: { hand, lab } }));
      for (const id of ['club.face', 'club.loft', 'club.face_rate']) {
        expect(Math.abs(cellOf(mirrored, id).value! - cellOf(plain, id).value!), id).toBeLessThan(1e-9);
      }
    }
  });
});

/** Figures that are there, and why the others are not. */
function reasons(record: SwingRecord): Record<string, string> {
  return Object.fromEntries(
    IDS.flatMap((id) => {
      const { value, why } = cellOf(record, id);
      return value === null ? [[id, why!.needed]] : [];
    }),
  );
}

const FACE = ['club.face', 'club.face_to_path', 'club.loft', 'club.face_rate', 'club.face_to_velocity'];

describe('what markers cannot give is absent with its reason', () => {
  // Seed 1 lowers its head until after contact: every figure can be had.
  const whole = truthCase(1, CLEAN);

  it('nothing is absent where three head markers, shaft, face and target are there', () => {
    expect(reasons(analysed(whole))).toEqual({});
  });

  it('without a face normal: the figures of the face alone', () => {
    const plan = { ...whole.plan, club: { ...whole.plan.club!, faceNormal: null } };
    const why = reasons(analysed({ ...whole, plan }));
    expect(Object.keys(why).sort()).toEqual([...FACE].sort());
    for (const text of Object.values(why)) expect(text).toMatch(/face_normal of the club in the day file/);
  });

  it('without a third head marker: the figures of the face; the rest are of the marker', () => {
    const record = analysed(lacking(whole, /^CLUB_HEAD_3$/));
    const why = reasons(record);
    expect(Object.keys(why).sort()).toEqual([...FACE].sort());
    expect(why['club.loft']).toBe('three markers on the club head');
    expect(cellOf(record, 'club.plane_slope').flags).toContain('of-that-marker');
    expect(cellOf(record, 'club.shaft_lean').flags).not.toContain('of-that-marker');
  });

  it('without markers on the shaft: lie and lean, and what rests on P6 and P8', () => {
    const why = reasons(analysed(lacking(whole, /^CLUB_(GRIP|SHAFT)$/)));
    expect(why['club.lie']).toMatch(/CLUB_GRIP/);
    expect(why['club.shaft_lean']).toMatch(/CLUB_GRIP/);
    expect(why['club.plane_slope']).toBeDefined();
    expect(why['club.plane_after_direction']).toBeDefined();
    for (const id of [...FACE, 'club.late_plane_slope', 'club.low_point']) expect(why[id], id).toBeUndefined();
  });

  it('without any marker on the club: all of them', () => {
    expect(Object.keys(reasons(analysed(lacking(whole, /^CLUB_/)))).sort()).toEqual([...IDS].sort());
  });

  it('where the target line is assumed: face and plane directions; angles within the club and to the ground stay as they are', () => {
    const { facts } = whole.trial.head;
    const target = { ...facts.target, source: 'assumed' as const };
    const trial = { ...whole.trial, head: { ...whole.trial.head, facts: { ...facts, target } } };
    const record = analysed({ ...whole, trial });
    const why = reasons(record);
    expect(Object.keys(why).sort()).toEqual(
      ['club.face', 'club.late_plane_direction', 'club.plane_after_direction', 'club.plane_direction'].sort(),
    );
    for (const text of Object.values(why)) expect(text).toMatch(/^a target line that is set/);
    expect(cellOf(record, 'club.path').value).toBeNull();
    const known = analysed(whole);
    for (const id of ['club.loft', 'club.face_to_path', 'club.plane_slope', 'club.plane_disagreement']) {
      expect(cellOf(record, id).value, id).toBe(cellOf(known, id).value);
    }
  });

  it('three head markers nearly on one line give no orientation, and say so', () => {
    const { frames } = whole.trial.clock;
    const points = new Map(whole.trial.points);
    const [a, b] = [points.get('CLUB_HEAD_1')!, points.get('CLUB_HEAD_2')!];
    const data = new Float64Array(3 * frames);
    for (let i = 0; i < 3 * frames; i++) data[i] = 0.4 * a.data[i]! + 0.6 * b.data[i]! + (i < frames ? 0.002 : 0);
    points.set('CLUB_HEAD_3', { ...points.get('CLUB_HEAD_3')!, data });
    const why = reasons(analysed({ ...whole, trial: { ...whole.trial, points } }));
    for (const id of FACE)
      expect(why[id], id).toBe('three markers on the club head that do not lie nearly on one line');
  });
});

describe('nothing is measured across the strike', () => {
  const AFTER = ['club.plane_after_slope', 'club.plane_after_direction', 'club.low_point_after'];

  it.each([1, 5])('seed %i: a club that shakes after the strike changes no figure of before it', (seed) => {
    const one = truthCase(seed, NOISY);
    const first = Math.ceil(one.made.contact_s * one.trial.clock.rate_Hz);
    const [calm, shaky] = [one.trial, shaken(one.trial, /^CLUB_/, first)].map((trial) => analysed({ ...one, trial }));
    const p7 = (record: SwingRecord) => (record.moments.P7?.found ? record.moments.P7.time_s : Number.NaN);
    // The noise of the markers is read from the whole recording: the weights of the fits move a little, and P7 by a quarter of its sd at most.
    expect(Math.abs(p7(shaky!) - p7(calm!))).toBeLessThan(1e-5);
    for (const id of IDS.filter((id) => !AFTER.includes(id))) {
      const [a, b] = [cellOf(calm!, id), cellOf(shaky!, id)];
      expect(Math.abs(b.value! - a.value!), id).toBeLessThan(0.15 * b.plusMinus!);
    }
    expect(cellOf(shaky!, 'club.plane_after_slope').value).not.toBe(cellOf(calm!, 'club.plane_after_slope').value);
  });
});
