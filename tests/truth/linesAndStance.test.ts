// Truth from the generator's own formulas (samples/generator/wholeBodyTruth.ts); limits of definitions 9 for noise-free data without a
// filter: 0.01°, and for places 0.1 mm, which is what 0.01° is at half a metre.
import { describe, expect, it } from 'vitest';
import { ballTruth, lineTruth } from '../../samples/generator/wholeBodyTruth.ts';
import type { Cell } from '../../src/model/swingRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { cellsAtTimes } from '../support/trueTimes.ts';
import { CLEAN, type TruthCase, truthCase } from '../support/truthCases.ts';

const LIMIT: Readonly<Record<string, number>> = { deg: 0.01 * (Math.PI / 180), mm: 0.0001, '%': 0.0005 };

function cellsOf({ made, trial, plan }: TruthCase): ReadonlyMap<string, Cell> {
  const ws = createWorkspace();
  const motion = motionFromMarkers(trial, plan, ws).value;
  const cells = cellsAtTimes(motion, (position) => made.truth.time_s[position], made.contact_s, ws);
  return new Map(cells.map((cell) => [`${cell.quantity}@${cell.position}`, cell]));
}

/** The ball's centre at the start in G: the file has the target along +X and up along +Z. */
function ballOf({ made }: TruthCase): readonly [number, number, number] {
  const { labels, frames, xyz } = made.content;
  const p = labels.indexOf('BALL');
  return [Number.NaN, xyz[(3 * p + 2) * frames]! / 1000, -xyz[3 * p * frames]! / 1000];
}

describe.each(['right', 'left'] as const)('a %s-hander', (hand) => {
  it.each([1, 2, 3, 4])('has the true lines, heights, stance and ball: seed %i', (seed) => {
    const one = truthCase(seed, { ...CLEAN, options: { hand } });
    const cells = cellsOf(one);
    const truth = lineTruth(one.made.swing, one.made.truth, one.made.contact_s);
    const atP1 = { ...truth['P1'], ...ballTruth(one.made.swing, ballOf(one)) };
    let compared = 0;
    for (const [position, values] of Object.entries({ ...truth, P1: atP1 })) {
      for (const [quantity, value] of Object.entries(values)) {
        const cell = cells.get(`${quantity}@${position}`);
        expect(Math.abs(cell!.value! - value), `${quantity}@${position}`).toBeLessThan(LIMIT[cell!.unit]!);
        expect(cell!.flags, `${quantity}@${position}`).toEqual([]);
        compared += 1;
      }
    }
    expect(compared).toBe(11 * 2 + 10 * 4 + 7 + 2);
  });
});

describe('the ball without its marker', () => {
  it('is one radius ahead of the face centre at address, flagged, and never by the same rule as a ball marker', () => {
    const withBall = cellsOf(truthCase(1, CLEAN)).get('ball.from_lead_ankle@P1')!;
    const one = truthCase(1, { ...CLEAN, options: { ball: false } });
    const cell = cellsOf(one).get('ball.from_lead_ankle@P1')!;
    const shift = one.made.swing.setup.contact - one.made.contact_s;
    const p1 = one.made.truth.time_s.P1 + shift;
    const ankle = (one.made.swing.club.spec.kind === 'driver' ? 0.24 : 0.21) * one.made.swing.body.size;
    // The head hardly moves in the 0.1 s of the mean: less than a millimetre.
    expect(Math.abs(cell.value! - (-one.made.swing.face(p1)[2] + 0.02134 - ankle))).toBeLessThan(0.001);
    expect(cell.flags).toContain('from-club-head');
    expect([withBall.rule, cell.rule]).toEqual(['ball marker', 'club head at address: face-centre']);
  });
});

describe('what the lines need', () => {
  const without = (pattern: RegExp): ReadonlyMap<string, Cell> => {
    const one = truthCase(1, { ...CLEAN, options: { hand: 'right' } });
    const points = new Map([...one.trial.points].filter(([id]) => !pattern.test(id)));
    return cellsOf({ ...one, trial: { ...one.trial, points } });
  };

  it.each([
    [/EAR$/, 'head_line.tilt@P4', /left EAR, right EAR/],
    [/ORBIT$/, 'eyes_line.tilt@P4', /left ORBIT, right ORBIT/],
    [/(LM|MM)$/, 'stance.width@P1', /left LM, left MM/],
    [/(LM|MM)$/, 'ball.from_lead_ankle@P1', /left LM, left MM/],
    [/trail_(LM|MM)$/, 'ball.stance_share@P1', /right LM, right MM/],
    [/(HEEL|MT1|MT5)$/, 'lead_foot.flare@P1', /left HEEL/],
    [/(TOE|MT\d)$/, 'stance.toe_alignment@P1', /left TOE/],
    [/^(BALL|CLUB.*)$/, 'ball.from_lead_ankle@P1', /BALL; or a club head marker/],
  ] as const)('without %s there is no %s', (pattern, key, words) => {
    const cell = without(pattern).get(key)!;
    expect(cell.value).toBeNull();
    expect(cell.why!.needed).toMatch(words);
  });

  it('a heel that three other markers of the foot carry is rebuilt, and said to be', () => {
    const clean = cellsOf(truthCase(1, { ...CLEAN, options: { hand: 'right' } })).get('lead_foot.flare@P1')!;
    const cell = without(/HEEL$/).get('lead_foot.flare@P1')!;
    expect(cell.flags).toContain('rebuilt');
    // Places are rebuilt within 0.01 mm; the foot is over 200 mm long.
    expect(Math.abs(cell.value! - clean.value!)).toBeLessThan(0.00001);
  });

  it('shares of the height need a height', () => {
    const one = truthCase(1, CLEAN);
    const calibration = { ...one.plan.calibration!, height_m: null };
    const cells = cellsOf({ ...one, plan: { ...one.plan, calibration } });
    expect(cells.get('lead_shoulder.rise_share@P4')!.why!.code).toBe('height-unknown');
    expect(cells.get('lead_shoulder.rise@P4')!.value).not.toBeNull();
  });

  it('alignments need a target line that is no guess; flare and ball carry its flag', () => {
    const one = truthCase(1, CLEAN);
    const target = { ...one.trial.head.facts.target, source: 'assumed' as const };
    const head = { ...one.trial.head, facts: { ...one.trial.head.facts, target } };
    const cells = cellsOf({ ...one, trial: { ...one.trial, head } });
    for (const id of ['stance.alignment', 'stance.toe_alignment', 'pelvis_line.alignment', 'shoulder_line.alignment']) {
      expect(cells.get(`${id}@P1`)!.why!.code).toBe('target-assumed');
    }
    expect(cells.get('lead_foot.flare@P1')!.flags).toEqual(['target-assumed']);
    expect(cells.get('ball.stance_share@P1')!.flags).toEqual(['target-assumed']);
    expect(cells.get('stance.width@P1')!.flags).toEqual([]);
  });

  it('without P1 none of it is guessed from another frame', () => {
    const one = truthCase(2, CLEAN);
    const record = analyseTrial(one.trial, one.plan, createWorkspace());
    const cut = { ...one.trial, points: new Map(one.trial.points) };
    // Recording that begins in the backswing: the first 0.9 s are missing.
    const from = Math.round((record.moments.P2 as { time_s: number }).time_s * 240) - 5;
    for (const [id, track] of one.trial.points) {
      const data = Float64Array.from(track.data);
      const state = Uint8Array.from(track.state);
      state.fill(0, 0, from);
      for (let c = 0; c < 3; c++) data.fill(Number.NaN, c * track.clock.frames, c * track.clock.frames + from);
      cut.points.set(id, { ...track, data, state });
    }
    const cells = new Map(
      analyseTrial(cut, one.plan, createWorkspace()).cells.map((cell) => [`${cell.quantity}@${cell.position}`, cell]),
    );
    for (const id of ['stance.width', 'lead_foot.flare', 'ball.from_lead_ankle', 'stance.alignment']) {
      expect(cells.get(`${id}@P1`)!.why!.code, id).toBe('position-missing');
    }
    expect(cells.get('lead_shoulder.rise@P4')!.why!.code).toBe('position-missing');
    expect(cells.get('head_line.tilt@P4')!.value).not.toBeNull();
  });
});
