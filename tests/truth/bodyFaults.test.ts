/** Faults of segments, time base and club put into synthetic swings whose motion is known. */
import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/model/faults.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { fileName } from '../../src/stages/shared/landmarkGroups.ts';
import {
  blurred,
  type Shift,
  shiftedOnSegment,
  thinned,
  withoutFrames,
  withoutMarkers,
  withRate,
} from '../support/bodyDamage.ts';
import { analysed, codesOf, faultsOfCase, faultsOfClean } from '../support/bodyFaultCases.ts';
import { CLEAN, type Conditions, NOISY, type TruthCase, truthCase } from '../support/truthCases.ts';

const SEEDS = [1, 2, 3, 4, 5, 6];
const LIMBED: Conditions = { ...NOISY, options: { limbs: true } };
const HEAD = ['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3'] as const;

const named = ({ player }: TruthCase, ...ids: readonly LandmarkId[]): string[] =>
  ids.map((id) => fileName(id, player.hand)).sort();
const frameOf = ({ made }: TruthCase, position: keyof TruthCase['made']['truth']['time_s'], rate_Hz: number): number =>
  Math.floor(made.truth.time_s[position] * rate_Hz);

describe('clean swings', () => {
  // 20 swings of each generator, both hands: no noise and 1 mm, 240 and 500 Hz
  it.each([
    ['no noise, 240 Hz', CLEAN, 1],
    ['1 mm, 240 Hz', NOISY, 6],
    ['no noise, 500 Hz', { ...CLEAN, rate_Hz: 500 }, 11],
    ['1 mm, 500 Hz', { ...NOISY, rate_Hz: 500 }, 16],
  ] as const)('%s: nothing is found', (_words, conditions, first) => {
    for (let seed = first; seed < first + 5; seed++) expect(faultsOfClean(seed, conditions)).toEqual([]);
  });

  it('at 60 and 100 Hz, where the body turns far in a frame, no frame counts as lost and no segment as broken', () => {
    for (const rate_Hz of [60, 100]) {
      for (const seed of SEEDS) {
        const one = truthCase(seed, { ...NOISY, rate_Hz });
        expect(codesOf(faultsOfCase(one, one.trial))).toEqual([]);
      }
    }
  });
});

describe('a marker that sits elsewhere than on the static trial', () => {
  // along and across the segment; each is named alone, by 40 mm ± 5 (1 mm of noise, medians of nine frames carried with gains up to 2.4)
  const moves: readonly (readonly [LandmarkId, Shift])[] = [
    ['lead_ASIS', [0, 0, 0.04]],
    ['trail_ASIS', [0, -0.04, 0]],
    ['lead_PSIS', [0, 0.04, 0]],
    ['T8', [0, 0.04, 0]],
    ['lead_EAR', [0.04, 0, 0]],
    ['trail_TOE', [0, 0, 0.04]],
    ['trail_EL', [0, 0.04, 0]],
    ['lead_FL', [0, 0.04, 0]],
  ];
  it.each(moves)('%s is named, by its 40 mm', (id, shift) => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, LIMBED);
      const [fault, ...others] = faultsOfCase(one, shiftedOnSegment(one.trial, id, shift));
      expect(others).toEqual([]);
      expect(fault).toMatchObject({ code: 'marker-moved', markers: named(one, id), frames: [], action: 'kept' });
      const off_mm = Number(/sits (\d+) mm/.exec(fault!.detail)![1]);
      expect(Math.abs(off_mm - 40)).toBeLessThanOrEqual(5);
    }
  });

  it('square to the plane of four markers it could be any of them, which is said', () => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      // the four of the thorax lie in the plane of symmetry; sideways is the lab's x at the first frame
      const [fault] = faultsOfCase(one, shiftedOnSegment(one.trial, 'C7', [0.05, 0, 0]));
      expect(fault?.code).toBe('marker-moved');
      expect(fault!.markers.length).toBeGreaterThan(1);
      expect(fault!.markers).toContain('C7');
      expect(fault!.detail).toMatch(/^one of these sits .* the others do not show which$/);
    }
  });

  it('with three markers left of a segment all are named', () => {
    const one = truthCase(3, NOISY);
    const moved = shiftedOnSegment(one.trial, 'lead_ASIS', [0, 0, 0.06]);
    const points = new Map(moved.points);
    points.delete('trail_PSIS');
    const [fault, ...others] = faultsOfCase(one, { ...moved, points });
    expect(others).toEqual([]);
    expect(fault!.code).toBe('marker-moved');
    expect(named(one, 'lead_ASIS', 'trail_ASIS', 'lead_PSIS')).toEqual(expect.arrayContaining([...fault!.markers]));
    expect(fault!.markers).toContain(fileName('lead_ASIS', one.player.hand));
    expect(fault!.detail).toMatch(/^distances between these markers of the pelvis/);
  });

  it('what skin moves is none', () => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      expect(codesOf(faultsOfCase(one, shiftedOnSegment(one.trial, 'lead_ASIS', [0, 0.012, 0])))).toEqual([]);
    }
  });
});

describe('a segment that breaks', () => {
  it('is found with the marker and its frames', () => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      const broken = shiftedOnSegment(one.trial, 'lead_ASIS', [0.05, 0, 0.04], (f) => (f >= 150 && f <= 230 ? 1 : 0));
      const found = faultsOfCase(one, broken);
      expect(found).toMatchObject([{ code: 'segment-breaks', markers: named(one, 'lead_ASIS'), frames: [[150, 230]] }]);
    }
  });

  it('slides off: its frames begin where the distance is off by more than skin allows', () => {
    const one = truthCase(2, CLEAN);
    // 1 mm a frame from frame 100 to 160 and back: the distance of the ears changes one for one
    const share = (f: number): number => Math.max(0, 60 - Math.abs(f - 160)) / 60;
    const ears = ['lead_EAR', 'trail_EAR'].map((id) => one.trial.points.get(id as LandmarkId)!);
    const { frames } = one.trial.clock;
    const way = [0, 1, 2].map((c) => ears[1]!.data[c * frames]! - ears[0]!.data[c * frames]!);
    const size = Math.hypot(...way);
    const shift = way.map((d) => (0.06 * d) / size) as [number, number, number];
    const [fault] = faultsOfCase(one, shiftedOnSegment(one.trial, 'trail_EAR', shift, share));
    expect(fault?.code).toBe('segment-breaks');
    // twice 8 mm of skin on the head: from frame 117 to 203; distances to the orbits change less
    expect(fault!.frames).toHaveLength(1);
    expect(Math.abs(fault!.frames[0]![0] - 117)).toBeLessThanOrEqual(1);
    expect(Math.abs(fault!.frames[0]![1] - 203)).toBeLessThanOrEqual(1);
  });
});

describe('lost frames', () => {
  it.each([
    ['P3', 2], // of one frame at the speed of a backswing 1 mm of noise leaves too little
    ['P5', 1],
    ['P6', 3],
    ['P7', 1],
    ['P9', 2],
  ] as const)('after %s, %i of them: found between the right two, and how many', (position, count) => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      const last = frameOf(one, position, 240);
      const found = faultsOfCase(one, withoutFrames(one.trial, last, count), count);
      const dropped = found.filter(({ code }) => code === 'frames-dropped');
      expect(dropped).toMatchObject([{ frames: [[last, last + 1]], markers: [], action: 'kept' }]);
      expect(dropped[0]!.detail).toContain(`about ${count} frame`);
    }
  });

  it('a leap of one arm alone is no loss', () => {
    const one = truthCase(4, NOISY);
    const at = frameOf(one, 'P5', 240);
    let trial = one.trial;
    for (const id of ['lead_RS', 'lead_US', 'lead_EL', 'lead_EM'] as const) {
      const later = withoutFrames(one.trial, at, 1).points.get(id)!;
      const track = trial.points.get(id)!;
      const { frames } = track.clock;
      const data = track.data.slice();
      for (let f = 0; f < frames - 1; f++)
        for (let c = 0; c < 3; c++) data[c * frames + f] = later.data[c * (frames - 1) + f]!;
      trial = { ...trial, points: new Map(trial.points).set(id, { ...track, data }) };
    }
    expect(codesOf(faultsOfCase(one, trial))).not.toContain('frames-dropped');
  });
});

describe('the club where it is fast', () => {
  it('lost around impact: share, markers and frames', () => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      const impact = Math.floor(one.made.contact_s * 240);
      const trial = withoutMarkers(one.trial, HEAD.slice(0, 2), impact - 7, impact + 1);
      const [fault] = faultsOfCase(one, trial).filter(({ code }) => code === 'club-clipped');
      expect(fault).toMatchObject({ markers: HEAD.slice(0, 2), frames: [[impact - 7, impact]], action: 'kept' });
      expect(fault!.detail).toMatch(/^missing in up to 8 of 1[78] frames \(4[47] %\)/);
    }
  });

  it('one frame, or a marker with gaps everywhere, is no clipped club', () => {
    const one = truthCase(2, NOISY);
    const impact = Math.floor(one.made.contact_s * 240);
    expect(codesOf(faultsOfCase(one, withoutMarkers(one.trial, ['CLUB_HEAD_1'], impact, impact + 1)))).toEqual([]);
    const frames = one.trial.clock.frames;
    const mostly = withoutMarkers(
      withoutMarkers(one.trial, ['CLUB_HEAD_2'], 0, 300),
      ['CLUB_HEAD_2'],
      impact - 9,
      frames,
    );
    expect(codesOf(faultsOfCase(one, mostly))).not.toContain('club-clipped');
  });

  // scattered by 8 mm along its way at 1 mm of noise: found above 2.9 mm, and dozens of numbers scatter by a quarter
  it('drawn out along its way by 8 mm before impact: found, with about as much', () => {
    const sizes: number[] = [];
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      const impact = Math.floor(one.made.contact_s * 240);
      const found = faultsOfCase(one, blurred(one.trial, HEAD, 0.008, impact - 14, impact + 1, seed));
      const fault = found.find(({ code }) => code === 'club-blurred') as Fault;
      expect(fault.markers).toEqual([...HEAD, 'CLUB_SHAFT']);
      sizes.push(Number(/by ([\d.]+) mm/.exec(fault.detail)![1]));
    }
    const mean = sizes.reduce((sum, size) => sum + size, 0) / sizes.length;
    expect(mean).toBeGreaterThan(5);
    expect(mean).toBeLessThan(9);
  });
});

describe('a rate that is not the one of the recording', () => {
  const found = (trial: MarkerTrial, plan: TruthCase['plan']): readonly string[] =>
    analysed(trial, plan).flatMap(({ code, detail }) => (code === 'rate-contradicts-swing' ? [detail] : []));

  it('three times too high: a way up or down takes less than a swing’s', () => {
    for (const seed of [1, 2, 3]) {
      const { trial, plan } = truthCase(seed, { ...NOISY, rate_Hz: 480 });
      expect(found(thinned(trial, 3), plan)).toEqual([expect.stringMatching(/^at 480 Hz .* 0\.30? .*possible/)]);
    }
  });

  it('three times too low: the downswing takes more than a swing’s', () => {
    for (const seed of [1, 2, 3]) {
      const { trial, plan } = truthCase(seed, NOISY);
      const down = /P4 to P7 takes (0\.\d+) s; 0\.12 to 0\.60 s are possible/;
      const [said, ...others] = found(withRate(trial, 80), plan);
      expect(others).toEqual([]);
      // three times 0.255 s; filters set for the stated rate smooth three times too long and shift the top
      expect(Math.abs(Number(down.exec(said!)![1]) - 0.765)).toBeLessThan(0.1);
    }
  });
});
