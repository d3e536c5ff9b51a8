import { describe, expect, it } from 'vitest';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrate } from '../../../src/stages/calibrate.ts';
import { checkBody } from '../../../src/stages/checkBody.ts';
import { toPlayerFrame } from '../../../src/stages/toPlayerFrame.ts';
import { bodyIn, PLAYER, place, playerTrialOf, rotationOf, snapshot, trialOf, UPRIGHT } from './support.ts';

const ws = createWorkspace({ poison: true });

/** Standing somewhere in the room, turned and bent, malleoli 0.9 m straight below the ASIS in the pelvis frame. */
function standing(turn = 0) {
  const posture = { turn, side: 0, forward: 5 };
  const body = bodyIn(() => ({
    pelvis: { ...posture, at: [1, 1, 2] },
    thorax: { ...posture, at: [1.05, 1.35, 2] },
    head: { ...UPRIGHT.head, turn, at: [1.1, 1.6, 2] },
  }));
  const R = rotationOf(posture);
  return {
    ...body,
    lead_MM: () => place(R, [0, -0.9, -0.125], [1, 1, 2]),
    trail_MM: () => place(R, [0, -0.9, 0.125], [1, 1, 2]),
  };
}

describe('toPlayerFrame', () => {
  it('sends the target to −Z and the ball side to +X and keeps missing samples missing', () => {
    const trial = trialOf({ C7: (f) => (f === 1 ? null : [1, 2, 3]) }, { frames: 3 });
    const unchanged = snapshot(trial);
    const track = toPlayerFrame(trial, ws).value.points.get('C7')!;
    expect([track.data[0], track.data[3], track.data[6]]).toEqual([3, 2, -1]);
    expect(track.data[1]).toBeNaN();
    expect(track.data[7]).toBeNaN();
    expect(unchanged()).toBe(true);
  });
});

describe('calibrate', () => {
  it('fixes hips by Harrington 2007 wherever and however the player stands, sides mirrored', () => {
    for (const turn of [0, 37, -120]) {
      const { value } = calibrate(playerTrialOf(standing(turn), { role: 'static' }), PLAYER, ws);
      const hips = value.hips.ok ? value.hips.value : null;
      expect(hips!.regression).toBe('Harrington 2007, two variables');
      expect(hips!.width_m).toBeCloseTo(0.25, 12);
      expect(hips!.depth_m).toBeCloseTo(0.15, 12);
      expect(hips!.legLength_m).toBeCloseTo(0.9, 12);
      // −0.24 · 150 − 9.9; −0.16 · 250 − 0.04 · 900 − 7.1; 0.28 · 150 + 0.16 · 250 + 7.9 mm (Harrington 2007), by hand
      [-0.0459, -0.0831, 0.0899].forEach((v, i) => void expect(hips!.trail[i]).toBeCloseTo(v, 12));
      expect(hips!.lead).toEqual([hips!.trail[0], hips!.trail[1], -hips!.trail[2]]);
    }
  });

  it('falls back to Hara 2016 with a sacrum point, and to no hips without any landmark behind', () => {
    const { lead_PSIS: _l, trail_PSIS: _t, ...front } = standing();
    const sacrum = calibrate(playerTrialOf({ ...front, SACRUM: () => [0.85, 1, 2] }, { role: 'static' }), PLAYER, ws);
    expect(sacrum.value.hips.ok && sacrum.value.hips.value.regression).toBe('Hara 2016');
    const none = calibrate(playerTrialOf(front, { role: 'static' }), PLAYER, ws).value.hips;
    expect(none.ok ? '' : none.why.needed).toBe('left PSIS, right PSIS; or SACRUM');
    const leftHanded = calibrate(playerTrialOf(front, { role: 'static', hand: 'left' }), PLAYER, ws).value.hips;
    expect(leftHanded.ok ? '' : leftHanded.why.needed).toBe('right PSIS, left PSIS; or SACRUM');
  });

  it('takes the hip regression that the day file names, under its name', () => {
    const player = { ...PLAYER, hipCentre: 'bell' } as const;
    const { value, diagnostics } = calibrate(playerTrialOf(standing(12), { role: 'static' }), player, ws);
    const hips = value.hips.ok ? value.hips.value : null;
    expect(hips!.regression).toBe('Bell 1990');
    // 19, 30 and 36 % of 250 mm
    [-0.0475, -0.075, 0.09].forEach((v, i) => void expect(hips!.trail[i]).toBeCloseTo(v, 12));
    expect(diagnostics).toEqual([]);
  });

  it('replaces a named regression whose landmarks are missing by the best one and says so', () => {
    const { lead_MM: _l, trail_MM: _t, ...rest } = standing();
    const player = { ...PLAYER, hipCentre: 'leardini' } as const;
    const { value, diagnostics } = calibrate(playerTrialOf(rest, { role: 'static' }), player, ws);
    expect(value.hips.ok && value.hips.value.regression).toBe('Harrington 2007, one variable');
    expect(diagnostics.map((one) => one.message)).toEqual([
      'hip_centre: leardini needs both PSIS and a medial malleolus; Harrington 2007, one variable was used',
    ]);
  });

  it('fixes the shoulders by Rab 2002 where the day file says so, whatever the sex', () => {
    const player = { ...PLAYER, sex: null, shoulderCentre: 'rab' } as const;
    const { value, diagnostics } = calibrate(playerTrialOf(standing(20), { role: 'static' }), player, ws);
    const shoulders = value.shoulders.ok ? value.shoulders.value : null;
    expect(shoulders!.regression).toBe('Rab 2002');
    // 17 % of 380 mm below the acromion; origin IJ at (60, 100) mm
    for (const [side, z] of [
      ['lead', -0.19],
      ['trail', 0.19],
    ] as const)
      [-0.08, 0.01 - 0.0646, z].forEach((v, i) => void expect(shoulders![side][i]).toBeCloseTo(v, 12));
    expect(diagnostics).toEqual([]);
  });

  it('fixes neck and lumbar joint after Dumas and Wojtusch 2018', () => {
    const { value } = calibrate(playerTrialOf(standing(-50), { role: 'static' }), PLAYER, ws);
    const neck = value.neck.ok ? value.neck.value : null;
    const lumbar = value.lumbar.ok ? value.lumbar.value : null;
    // male: 0.55 · 120 mm at +8° from C7 at (−120, 0) from IJ; (−0.335, −0.032) · 250 mm from mid-ASIS
    const rad = (8 * Math.PI) / 180;
    [-0.12 + 0.066 * Math.cos(rad), 0.066 * Math.sin(rad), 0].forEach((v, i) => {
      expect(neck!.place[i]).toBeCloseTo(v, 12);
    });
    [-0.08375, -0.008, 0].forEach((v, i) => void expect(lumbar!.place[i]).toBeCloseTo(v, 12));
    expect(neck!.regression).toBe('Dumas and Wojtusch 2018, male');
    expect(lumbar!.regression).toBe('Dumas and Wojtusch 2018, male');
  });

  it('fixes the shoulders in the thorax by sex and says when the sex is unknown', () => {
    const placeOf = (sex: 'female' | 'male' | null) => {
      const outcome = calibrate(playerTrialOf(standing(20), { role: 'static' }), { ...PLAYER, sex }, ws);
      return { shoulders: outcome.value.shoulders, codes: outcome.diagnostics.map((d) => d.code) };
    };
    const male = placeOf('male');
    // x_c forward, y_c up, |C7 − IJ| 120 mm: acromion + 0.33 · 120 · (cos 11°, −sin 11°), origin IJ at (60, 100) mm
    const expected = [-0.08 + 0.0396 * Math.cos((11 * Math.PI) / 180), 0.01 - 0.0396 * Math.sin((11 * Math.PI) / 180)];
    const trail = male.shoulders.ok ? male.shoulders.value.trail : null;
    expect(trail![0]).toBeCloseTo(expected[0]!, 12);
    expect(trail![1]).toBeCloseTo(expected[1]!, 12);
    expect(trail![2]).toBeCloseTo(0.19, 12);
    expect(male.codes).toEqual([]);
    const unknown = placeOf(null);
    expect(unknown.codes).toEqual(['shoulder-sex-unknown']);
    expect(unknown.shoulders.ok && unknown.shoulders.value.regression).toContain('mean of female and male');
  });

  it('zeroes the head against the heading of the pelvis, so that standing turned in the room changes nothing', () => {
    const zeroOf = (turn: number): readonly number[] => {
      const { head } = calibrate(playerTrialOf(standing(turn), { role: 'static' }), PLAYER, ws).value;
      return head.ok ? head.value : [];
    };
    // the invented head is upright and faces as the pelvis does: its technical frame is the anatomical one
    [1, 0, 0, 0, 1, 0, 0, 0, 1].forEach((v, i) => {
      expect(zeroOf(0)[i]).toBeCloseTo(v, 12);
      expect(zeroOf(-73)[i]).toBeCloseTo(v, 12);
    });
  });

  it('made from a swing has no source, no head zero and says so', () => {
    const { value, diagnostics } = calibrate(playerTrialOf(standing()), PLAYER, ws);
    expect(value.source).toBeNull();
    expect(value.head.ok).toBe(false);
    expect(diagnostics.map((d) => d.code)).toEqual(['calibrated-on-itself']);
  });

  it('takes the height of the day file before the vertex, and no vertex that is no height', () => {
    const vertex = (y: number) => ({ ...standing(), VERTEX: (): [number, number, number] => [1, y, 2] });
    const heightOf = (y: number, height_m: number | null): number | null =>
      calibrate(playerTrialOf(vertex(y), { role: 'static' }), { ...PLAYER, height_m }, ws).value.height_m;
    expect(heightOf(1.78, null)).toBeCloseTo(1.78, 12);
    expect(heightOf(1.78, 1.8)).toBe(1.8);
    expect(heightOf(5, null)).toBeNull();
  });

  it('is a median: a few wild frames move nothing', () => {
    const wild = standing();
    const at = wild.lead_ASIS!;
    const trial = playerTrialOf(
      { ...wild, lead_ASIS: (f) => (f % 10 === 0 ? [9, 9, 9] : at(f)) },
      { role: 'static', frames: 100 },
    );
    const hips = calibrate(trial, PLAYER, ws).value.hips;
    expect(hips.ok && hips.value.width_m).toBeCloseTo(0.25, 12);
  });
});

describe('checkBody', () => {
  const { value: calibration } = calibrate(playerTrialOf(standing(), { role: 'static' }), PLAYER, ws);

  it('accepts the same body in another place and posture', () => {
    expect(checkBody(playerTrialOf(standing(80)), calibration)).toEqual({ other: null, moved: null });
  });

  it('names another body when three lengths differ by more than 5 %, not when two do', () => {
    const grown = (factor: number, ids: readonly string[]) => {
      const body = standing() as Record<string, (f: number) => readonly [number, number, number]>;
      const out = { ...body };
      for (const id of ids) {
        const at = body[id]!;
        out[id] = (f) => {
          const [x, y, z] = at(f);
          return [x, y, 2 + factor * (z - 2)];
        };
      }
      return playerTrialOf(out as never);
    };
    const pelvis = ['lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'trail_PSIS'];
    expect(checkBody(grown(1.1, pelvis), calibration).other).toBeNull(); // width in front and behind
    const { other } = checkBody(grown(1.1, [...pelvis, 'lead_EAR', 'trail_EAR']), calibration);
    expect(other?.code).toBe('another-body');
    expect(other?.needed).toContain('275 mm, calibrated 250 mm');
    expect(checkBody(grown(1.04, [...pelvis, 'lead_EAR', 'trail_EAR']), calibration).other).toBeNull();
  });
});
