import { describe, expect, it } from 'vitest';
import type { Diagnostic } from '../../../../src/base/diagnostics.ts';
import { absent, present } from '../../../../src/model/availability.ts';
import type { FoundPositions } from '../../../../src/model/delivery.ts';
import type { Motion } from '../../../../src/model/motion.ts';
import type { Moment, PositionId } from '../../../../src/model/positions.ts';
import { CLIPPED_ACC, type SensorPlace, type SensorTrack } from '../../../../src/model/sensors.ts';
import { createWorkspace } from '../../../../src/numeric/workspace.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions, type PositionOptions } from '../../../../src/stages/findPositions.ts';
import { sensorPoses } from '../../../../src/stages/sensorPoses.ts';
import { shockOf } from '../../../../src/stages/sensors/shocks.ts';
import { CLUB, calibrated, type OrientedSwing, orientedSwing, session } from '../sensorSupport.ts';

interface Case {
  readonly made: OrientedSwing;
  readonly motion: Motion;
  readonly found: FoundPositions;
  readonly diagnostics: readonly Diagnostic[];
}

/** 250 Hz: half a sample. */
const HALF_ms = 2;

function run(
  seed: number,
  options: {
    readonly without?: readonly SensorPlace[];
    readonly change?: (motion: Motion, made: OrientedSwing) => Motion;
    readonly positions?: Partial<PositionOptions>;
    readonly height?: boolean;
  } = {},
): Case {
  const one = session(seed);
  const made = orientedSwing(one, seed + 30, { without: options.without ?? [] });
  const ws = createWorkspace({ poison: true });
  const pose = {
    plan: one.plan,
    calibration: present(calibrated(one).value),
    club: options.height === false ? { ...CLUB, length_m: null } : CLUB,
    height_m: options.height === false ? null : one.player.height_m,
  };
  const plain = sensorPoses(made.trial, made.oriented, pose, ws).value;
  const motion = options.change?.(plain, made) ?? plain;
  const outcome = findPositions(motion, { ...DEFAULT_POSITION_OPTIONS, ...options.positions }, ws);
  return { made, motion, found: outcome.value, diagnostics: outcome.diagnostics };
}

function at({ found }: Case, position: PositionId): Extract<Moment, { found: true }> {
  const moment = found.moments.get(position);
  if (!moment?.found) throw new Error(`${position} is missing: ${moment?.why.needed ?? 'never sought'}`);
  return moment;
}

function why({ found }: Case, position: PositionId): string {
  const moment = found.moments.get(position);
  return moment === undefined ? 'never sought' : moment.found ? 'found' : `${moment.why.code}: ${moment.why.needed}`;
}

/** Milliseconds from the truth of sensors, or of the markers' rules. */
function error(c: Case, position: Exclude<PositionId, 'P4(arm)'>, times = c.made.truth.time_s): number {
  return 1000 * (at(c, position).time_s + c.made.start_s - times[position]);
}

describe('positions without points', () => {
  const cases = [1, 2, 3, 4, 5, 6].map((seed) => run(seed));

  it('P2 to P9 lie within half a sample of the truth', () => {
    for (const c of cases) {
      for (const position of ['P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9'] as const) {
        expect(Math.abs(error(c, position)), position).toBeLessThan(HALF_ms);
      }
    }
  });

  it('are named by what they were found with: the forearm is no arm', () => {
    const c = cases[0]!;
    expect(['P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9'].map((p) => at(c, p as PositionId).method)).toEqual([
      'shaft-horizontal',
      'lead-forearm-horizontal',
      'shaft-reversal',
      'lead-forearm-horizontal',
      'shaft-horizontal',
      'shock',
      'shaft-horizontal',
      'trail-forearm-horizontal',
    ]);
    expect(c.found.moments.has('P4(arm)')).toBe(false);
  });

  it('P1 and P10 lie within 20 ms of the markers’ rule, with fewer sensors and without lengths too', () => {
    const fewer: readonly (readonly SensorPlace[])[] = [
      [],
      ['thorax'],
      ['pelvis'],
      ['lead_forearm'],
      ['lead_forearm', 'thorax', 'pelvis'],
    ];
    for (const without of fewer) {
      for (const seed of [1, 2, 3]) {
        for (const height of [true, false]) {
          const c = run(seed, { without, height });
          for (const position of ['P1', 'P10'] as const) {
            const off = error(c, position, c.made.markerTimes_s);
            expect(Math.abs(off), `${position} without ${without.join(', ')}, seed ${seed}`).toBeLessThan(20);
          }
          expect(at(c, 'P1').method).toBe('stillness');
        }
      }
    }
  });

  it('without a sensor on the club the shaft’s are missing with the reason, and the top is the forearm’s', () => {
    const c = run(2, { without: ['club'] });
    for (const position of ['P2', 'P4', 'P5.5', 'P6', 'P8'] as const) {
      expect(why(c, position)).toBe('no-sensor: a sensor on the club');
    }
    expect(at(c, 'P4(arm)').method).toBe('lead-forearm-reversal');
    expect(at(c, 'P7').method).toBe('shock');
    // The forearm turns back 30 to 100 ms before or after the shaft (definitions 6).
    expect(Math.abs(at(c, 'P4(arm)').time_s + c.made.start_s - c.made.truth.time_s.P4)).toBeLessThan(0.12);
    expect(Math.abs(error(c, 'P3'))).toBeLessThan(HALF_ms);
    expect(at(c, 'P1').found).toBe(true);
  });

  it('without forearms P3, P5 and P9 are missing with the reason', () => {
    const c = run(3, { without: ['lead_forearm', 'trail_forearm'] });
    expect(why(c, 'P3')).toBe('no-sensor: a sensor on the lead forearm');
    expect(why(c, 'P9')).toBe('no-sensor: a sensor on the trail forearm');
    expect(why(c, 'P5.5')).toBe('neighbour-missing: P5');
    expect(Math.abs(error(c, 'P4'))).toBeLessThan(HALF_ms);
  });

  it('with the trunk alone nothing but stillness could be found: every reason is told', () => {
    const c = run(3, { without: ['lead_forearm', 'trail_forearm', 'club'] });
    expect(why(c, 'P4(arm)')).toBe('no-sensor: a sensor on the lead forearm');
    expect(why(c, 'P7')).toMatch(/^no-impact-evidence: a sensor on the club, a hand or a forearm/);
    expect(why(c, 'P1')).toMatch(/^no-top/);
  });

  it('a forearm that never comes up is told as a forearm', () => {
    const c = run(1, {
      change: (motion) => {
        const arm = motion.directions.get('lead_arm')!;
        if (!arm.ok) return motion;
        const { frames } = motion.clock;
        const data = arm.value.data.slice();
        for (let f = 0; f < frames; f++) data[frames + f] = -0.3;
        return {
          ...motion,
          directions: new Map([...motion.directions, ['lead_arm', present({ ...arm.value, data })]]),
        };
      },
    });
    expect(why(c, 'P3')).toMatch(/the lead forearm at the horizontal; the lead forearm peaked \d+° below/);
  });
});

describe('impact by sensors', () => {
  const event = (time_s: number) => [{ label: 'hit', position: 'P7', time_s }];

  it('lies between two samples of all sensors that feel it, and its sd is that of the stretch and of the clocks', () => {
    const one = run(1);
    const shocks = one.motion.shocks!;
    expect(shocks.map(({ place }) => place)).toEqual(['club', 'lead_forearm', 'trail_forearm']);
    const contact = one.made.swing.setup.contact - one.made.start_s;
    for (const { before_s, after_s } of shocks) {
      expect(before_s).toBeLessThan(contact);
      expect(after_s).toBeGreaterThanOrEqual(contact);
    }
    const before = Math.max(...shocks.map(({ before_s }) => before_s));
    const after = Math.min(...shocks.map(({ after_s }) => after_s));
    const moment = at(one, 'P7');
    expect(moment.time_s).toBeCloseTo((before + after) / 2, 12);
    expect(moment.sd_s).toBeCloseTo(Math.hypot((after - before) / Math.sqrt(12), 0.0003), 12);
    if (!one.found.impact.ok) throw new Error('no impact');
    expect(one.found.impact.value.before / 250).toBeLessThanOrEqual(before + 1e-9);
    expect(one.found.impact.value.after / 250).toBeGreaterThanOrEqual(after - 1e-9);
    expect(one.found.impact.value.evidence).toBe('shock');
  });

  it('windows that only meet, by rounding or by less than the clocks are known to, are not narrowed to a point', () => {
    for (const overlap_s of [-1e-9, 0, 5e-10, 2e-4]) {
      const one = run(1, {
        change: (m) => {
          const first = m.shocks![0]!;
          const late = {
            ...first,
            place: 'lead_forearm' as const,
            before_s: first.after_s - overlap_s,
            after_s: first.after_s + 0.004,
          };
          return { ...m, shocks: [first, late] };
        },
      });
      const first = one.motion.shocks![0]!;
      expect(at(one, 'P7').time_s, String(overlap_s)).toBeCloseTo((first.before_s + first.after_s) / 2, 12);
    }
  });

  it('an event near a shock means that shock; the difference is kept', () => {
    const c = run(1, {
      change: (m, { swing, start_s }) => ({ ...m, events: event(swing.setup.contact - start_s + 0.004) }),
    });
    expect(at(c, 'P7').method).toBe('shock');
    expect(at(c, 'P7').eventOffset_s).toBeCloseTo(0.004, 2);
    expect(Math.abs(error(c, 'P7'))).toBeLessThan(HALF_ms);
  });

  it('an event without a shock near it gives its own time; one far from the shock is not used', () => {
    const near = run(1, {
      change: (m, { swing, start_s }) => ({ ...m, events: event(swing.setup.contact - start_s + 0.03) }),
    });
    expect([at(near, 'P7').method, at(near, 'P7').flags]).toEqual(['event', ['event-time']]);
    const far = run(1, {
      change: (m, { swing, start_s }) => ({ ...m, events: event(swing.setup.contact - start_s + 0.3) }),
    });
    expect(at(far, 'P7').method).toBe('shock');
    expect(far.diagnostics.map(({ code }) => code)).toContain('impact-event-ignored');
    expect(far.diagnostics.map(({ message }) => message).join()).toMatch(/the shock is at/);
  });

  it('a trigger holds where nothing is felt', () => {
    const c = run(1, { change: (m) => ({ ...m, shocks: [] }), positions: { trigger_s: 2.5 } });
    expect([at(c, 'P7').method, at(c, 'P7').time_s]).toEqual(['trigger', 2.5]);
  });

  it('nothing at all is said, and the swing is still sought around the fastest moment', () => {
    const c = run(1, { change: (m) => ({ ...m, shocks: [] }) });
    expect(why(c, 'P7')).toMatch(/^no-impact-evidence/);
    expect(Math.abs(error(c, 'P4'))).toBeLessThan(HALF_ms);
    expect(Math.abs(error(c, 'P2'))).toBeLessThan(HALF_ms);
    expect(why(c, 'P8')).toMatch(/^no-impact-evidence/);
  });

  it('without a nominal speed stillness is missing with its reason', () => {
    const c = run(1, { change: (m) => ({ ...m, nominalSpeed: absent('no-sensor', 'a sensor') }) });
    expect(why(c, 'P1')).toBe('no-sensor: a sensor');
    expect(Math.abs(error(c, 'P7'))).toBeLessThan(HALF_ms);
  });
});

describe('shockOf', () => {
  /** Specific force of a smooth swing at 250 Hz that is fastest at 1 s, and a blow at `hit_s`. */
  function track(hit_s: number | null, changes: Partial<SensorTrack> = {}): SensorTrack {
    const n = 500;
    const times_s = Float64Array.from({ length: n }, (_, k) => k / 250);
    const acc = new Float64Array(3 * n);
    for (let k = 0; k < n; k++) {
      const t = times_s[k]!;
      const swing = Math.exp(-((t - 1) * (t - 1)) / 0.02);
      const hit = hit_s !== null && t >= hit_s ? 300 * Math.exp(-(t - hit_s) / 0.008) * Math.cos(900 * (t - hit_s)) : 0;
      acc[k] = 400 * swing + hit;
      acc[n + k] = 9.81;
      acc[2 * n + k] = 90 * swing;
    }
    return {
      place: 'club',
      name: 'shaft',
      rate_Hz: 250,
      times_s,
      gyro: null,
      acc,
      mag: null,
      orientation: absent('none', 'none'),
      trigger_s: null,
      clipped: new Uint8Array(n),
      ...changes,
    };
  }

  it('finds the two samples between which the blow falls, on the clock of the motion', () => {
    for (const hit_s of [0.981, 0.9985, 1.0301]) {
      const shock = shockOf(track(hit_s), 'club', 0.2, 0.8)!;
      expect(shock.before_s + 0.2).toBeLessThan(hit_s);
      expect(shock.after_s + 0.2).toBeGreaterThanOrEqual(hit_s);
      expect(shock.after_s - shock.before_s).toBeCloseTo(0.004, 12);
    }
  });

  it('finds none in a smooth swing, in one without accelerometer, and none long before or after', () => {
    expect(shockOf(track(null), 'club', 0, 1)).toBeNull();
    expect(shockOf(track(0.99, { acc: null }), 'club', 0, 1)).toBeNull();
    expect(shockOf(track(0.5), 'club', 0, 1)).toBeNull();
    expect(shockOf(track(1.5), 'club', 0, 1)).toBeNull();
  });

  it('says where the accelerometer was at its limit', () => {
    const clipped = new Uint8Array(500).fill(CLIPPED_ACC, 245, 252);
    expect(shockOf(track(0.999, { clipped }), 'club', 0, 1)!.clipped).toBe(true);
    expect(shockOf(track(0.999), 'club', 0, 1)!.clipped).toBe(false);
  });

  it('takes no dropped sample for a blow', () => {
    const whole = track(null);
    const keep = Array.from({ length: 500 }, (_, k) => k).filter((k) => k < 246 || k > 249);
    const n = keep.length;
    const acc = new Float64Array(3 * n);
    keep.forEach((k, i) => {
      for (let c = 0; c < 3; c++) acc[c * n + i] = whole.acc![c * 500 + k]!;
    });
    const times_s = Float64Array.from(keep, (k) => k / 250);
    expect(shockOf({ ...whole, times_s, acc, clipped: new Uint8Array(n) }, 'club', 0, 1)).toBeNull();
  });
});

describe('the stated spread of times', () => {
  it('covers the truth of 12 swings in at least nine cases of ten', () => {
    let covered = 0;
    let all = 0;
    for (let seed = 41; seed < 53; seed++) {
      const c = run(seed);
      for (const position of ['P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9'] as const) {
        all += 1;
        if (Math.abs(error(c, position)) <= 1960 * at(c, position).sd_s) covered += 1;
      }
    }
    expect(all).toBe(96);
    expect(covered / all).toBeGreaterThan(0.9);
  });
});
