import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../src/model/calibration.ts';
import {
  DEFAULT_SENSOR_PLAN,
  type OrientedSensor,
  type OrientedSensors,
  type SensorPlace,
  type SensorPlan,
} from '../../../src/model/sensors.ts';
import { FILLED_CUBIC, MEASURED, MISSING } from '../../../src/model/track.ts';
import type { SensorTrial } from '../../../src/model/trial.ts';
import { complementaryFilter, DEFAULT_COMPLEMENTARY } from '../../../src/numeric/orientationFilters/complementary.ts';
import { DEFAULT_GRADIENT, gradientFilter } from '../../../src/numeric/orientationFilters/gradient.ts';
import { DEFAULT_INCLINATION, inclinationFilter } from '../../../src/numeric/orientationFilters/inclination.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { type OrientOptions, orientSensors } from '../../../src/stages/orientSensors.ts';
import { DEG, END_s, errorsOf, FASTEST_s, type Made, sensor, sensorTrial, TAKEAWAY_s } from './orient/support.ts';

interface Done {
  readonly value: OrientedSensors;
  readonly codes: readonly string[];
  readonly messages: readonly string[];
}

function orient(trial: SensorTrial, plan: Partial<SensorPlan> = {}, bias: OrientOptions['bias'] = new Map()): Done {
  const options = { plan: { ...DEFAULT_SENSOR_PLAN, ...plan }, bias };
  const { value, diagnostics } = orientSensors(trial, options, createWorkspace({ poison: true }));
  return { value, codes: diagnostics.map(({ code }) => code), messages: diagnostics.map(({ message }) => message) };
}

function of(done: Done, place: SensorPlace = 'thorax'): OrientedSensor {
  const found = done.value.sensors.get(place)!;
  if (!found.ok) throw new Error(found.why.needed);
  return found.value;
}

function errors(made: Made, done: Done, from_s = 0, to_s = END_s): ReturnType<typeof errorsOf> {
  const { clock, start_s } = done.value;
  const at = (f: number): number => start_s + f / clock.rate_Hz - made.clock_s;
  return errorsOf(made, of(done, made.track.place).R.data, at, from_s, to_s);
}

const NOISY = { gyroNoise_degPerS: 0.1, accNoise: 0.05, bias_degPerS: [0.4, -0.7, 0.2] as Vec3 };

describe('strap-down from the still address', () => {
  it('without noise is the motion itself, whatever the mounting, the bias and the place of the sensor', () => {
    for (const [seed, mount] of [
      [1, [0, 0, 0]],
      [2, [3, 0.2, -0.5]],
      [3, [0.4, -1.1, 0.7]],
    ] as const) {
      const made = sensor({ seed, mount, bias_degPerS: [1.5, -0.8, 0.3] });
      const done = orient(sensorTrial([made]));
      const one = of(done);
      expect(one.method).toBe('strap-down');
      expect(done.value.clock).toEqual({ rate_Hz: 240, frames: made.track.times_s.length });
      const e = errors(made, done);
      expect(e.frames).toBe(made.track.times_s.length);
      // What is left is the first hundredth of a degree of the takeaway, which is too slow to be told from stillness and goes into the bias.
      expect(e.worst).toBeLessThan(0.005);
      [1.5, -0.8, 0.3].forEach((v, c) => {
        expect(one.bias_radPerS![c]! / DEG).toBeCloseTo(v, 3);
        expect(one.w_radPerS[c * done.value.clock.frames]! / DEG).toBeCloseTo(0, 3);
      });
      expect(one.closingTilt_rad! / DEG).toBeLessThan(0.01);
      const [from, to] = done.value.still_s!;
      expect(to - from).toBeCloseTo(1, 1);
      expect(Math.abs(to - TAKEAWAY_s)).toBeLessThan(0.1);
    }
  });

  it('with the usual noise is within its bound at the finish, and within 0.5° RMS of the motion, 19 times of 20', () => {
    let inside = 0;
    let largest = 0;
    const swings = 40;
    for (let seed = 1; seed <= swings; seed++) {
      const made = sensor({ ...NOISY, seed, bias_degPerS: [0.4 + 0.05 * seed, -0.7, 0.02 * seed] });
      const done = orient(sensorTrial([made]));
      const bound = of(done).driftBound_rad / DEG;
      const e = errors(made, done, 1.5, END_s);
      if (errors(made, done, 1.5, END_s).worst <= bound) inside += 1;
      largest = Math.max(largest, e.rms);
    }
    expect(inside / swings).toBeGreaterThanOrEqual(0.85);
    expect(largest).toBeLessThan(0.5);
  });

  it('leaves the drift that a bias would make, were it not taken off: 0.86°/s for three seconds', () => {
    const made = sensor({ bias_degPerS: [0.5, 0.5, 0.5] });
    const flat = { ...made.track, gyro: made.track.gyro!.map((v) => v) };
    const done = orient(sensorTrial([{ ...made, track: flat }]));
    expect(errors(made, done).worst).toBeLessThan(0.01);
    const norm = Math.hypot(...of(done).bias_radPerS!) / DEG;
    expect(norm * (END_s - TAKEAWAY_s)).toBeGreaterThan(2.5);
  });

  it('puts sensors of 100, 225 and 500 Hz on the clock of the fastest, from the latest first to the earliest last sample', () => {
    const made = [
      sensor({ place: 'pelvis', rate_Hz: 100, motion: { size: 0.6 }, from_s: 0.013, to_s: 4.9 }),
      sensor({ place: 'thorax', rate_Hz: 225, from_s: 0.0021 }),
      sensor({ place: 'lead_forearm', rate_Hz: 500, motion: { size: 2.3 }, to_s: 4.95 }),
    ];
    const done = orient(sensorTrial(made));
    const { clock, start_s } = done.value;
    expect(start_s).toBe(0.013);
    expect(clock.rate_Hz).toBe(500);
    const last = made[0]!.track.times_s.at(-1)!;
    expect(clock.frames).toBe(Math.floor((last - 0.013) * 500 + 1e-6) + 1);
    // Cubic of the rates at the sensor's own rate: 0.02° at 100 Hz, 0.002° at 225 and above.
    const limits = [0.02, 0.005, 0.005];
    made.forEach((one, i) => {
      const e = errors(one, done);
      expect(e.frames).toBe(clock.frames);
      expect(e.worst, one.track.place).toBeLessThan(limits[i]!);
    });
    const f = Math.round((FASTEST_s - start_s) * 500);
    const w = of(done, 'lead_forearm').w_radPerS;
    const rate = Math.hypot(w[f]!, w[clock.frames + f]!, w[2 * clock.frames + f]!) / DEG;
    expect(rate).toBeGreaterThan(1400);
  });

  // What specific force does in a swing, by the filters' default gains: chest 1.9, 1.1 and 0.1°, forearm 22, 3 and 0.2°.
  it.each([
    ['thorax', 1, [0.1, 0.15, 0.02], 1],
    ['lead_forearm', 2.3, [0.3, -0.4, 0.1], 2.5],
  ] as const)(
    'of the %s without correction errs less than any filter that specific force corrects in the swing',
    (place, size, arm, most) => {
      const made = sensor({ place, motion: { size, arm } });
      const { track } = made;
      const n = track.times_s.length;
      const signals = { count: n, times_s: track.times_s, gyro: track.gyro!, acc: track.acc!, mag: null, held: null };
      const worst = [
        (R: Float64Array) => inclinationFilter(signals, DEFAULT_INCLINATION, R),
        (R: Float64Array) => complementaryFilter(signals, DEFAULT_COMPLEMENTARY, R),
        (R: Float64Array) => gradientFilter(signals, DEFAULT_GRADIENT, R),
      ].map((run) => {
        const R = new Float64Array(9 * n);
        run(R);
        return errorsOf(made, R, (k) => track.times_s[k]!, TAKEAWAY_s, 3.6).worst;
      });
      const strapped = errors(made, orient(sensorTrial([made])), TAKEAWAY_s, 3.6).worst;
      expect(Math.min(...worst)).toBeGreaterThan(10 * strapped);
      expect(Math.max(...worst)).toBeGreaterThan(most);
    },
  );

  it('takes the jitter of stamps as it is', () => {
    const made = sensor({ jitter_s: 0.003 });
    expect(errors(made, orient(sensorTrial([made]))).worst).toBeLessThan(0.01);
  });

  it('a pause at the top is no address', () => {
    const made = sensor({ motion: { pause_s: 0.35 }, ...NOISY });
    const done = orient(sensorTrial([made]));
    expect(done.value.still_s![1]).toBeLessThan(TAKEAWAY_s + 0.1);
    expect(errors(made, done, 1.5).worst).toBeLessThan(1);
  });
});

describe('missing and clipped samples', () => {
  it('a gap of 50 ms in the downswing is bridged, said, and its frames are filled, not measured', () => {
    const made = sensor({ lost: [[3.0, 3.05]] });
    const done = orient(sensorTrial([made]));
    const { state } = of(done).R;
    expect(done.codes).toContain('sensor-gap-bridged');
    expect(Array.from(state).filter((s) => s === FILLED_CUBIC).length).toBeGreaterThan(8);
    const e = errors(made, done);
    expect(e.worst).toBeLessThan(of(done).driftBound_rad / DEG);
    expect(e.worst).toBeLessThan(0.6);
  });

  it('a gap of 150 ms in the swing ends the orientation there, with the reason', () => {
    const made = sensor({ lost: [[2.9, 3.05]] });
    const done = orient(sensorTrial([made]));
    const { R, w_radPerS } = of(done);
    const { rate_Hz, frames } = done.value.clock;
    const cut = Math.floor(2.9 * rate_Hz);
    for (let f = 0; f < frames; f++) {
      expect(R.state[f] === MISSING).toBe(f > cut);
      expect(Number.isNaN(R.data[9 * f])).toBe(f > cut);
      expect(Number.isNaN(w_radPerS[f])).toBe(f > cut);
    }
    expect(done.messages.join('\n')).toMatch(
      /thorax: no samples for 0\.15 s after 2\.90 s: orientation is missing from there on/,
    );
  });

  it('a gap before the address leaves what comes before it missing; one while the sensor is still costs nothing', () => {
    const moved = sensor({
      lost: [[0.2, 0.5]],
      motion: { drift_radPerS: 0 },
      knock: { at_s: 0.15, size: 60, width_s: 0.1 },
    });
    const done = orient(sensorTrial([moved]));
    expect(of(done).R.state[0]).toBe(MISSING);
    expect(done.messages.join('\n')).toMatch(/missing up to there/);
    const still = sensor({ lost: [[0.6, 0.9]] });
    const whole = orient(sensorTrial([still]));
    expect(of(whole).R.state.includes(MISSING)).toBe(false);
    expect(of(whole).R.state[0]).toBe(MEASURED);
    expect(errors(still, whole).worst).toBeLessThan(0.01);
  });

  it('a gyro that clips is flagged, and the bound grows to hold what is lost', () => {
    const made = sensor({ motion: { size: 2.3 }, limit_degPerS: 1000, place: 'lead_forearm' });
    const done = orient(sensorTrial([made]));
    const e = errors(made, done);
    expect(e.worst).toBeGreaterThan(10);
    expect(of(done, 'lead_forearm').driftBound_rad / DEG).toBeGreaterThan(e.worst);
    expect(of(done, 'lead_forearm').driftBound_rad / DEG).toBeLessThan(3 * e.worst);
    expect(done.codes).toContain('gyro-clipped-angle');
  });
});

describe('bias', () => {
  it('of an address shorter than half a second is that of the still pose, and said', () => {
    const made = sensor({ ...NOISY, from_s: TAKEAWAY_s - 0.35 });
    const pose = new Map([['thorax', [0.4 * DEG, -0.7 * DEG, 0.2 * DEG] as Vec3]]) as OrientOptions['bias'];
    const done = orient(sensorTrial([made]), {}, pose);
    expect(of(done).bias_radPerS).toEqual(pose.get('thorax'));
    expect(done.codes).toContain('gyro-bias');
    expect(errors(made, done).worst).toBeLessThan(0.6);
  });

  it('of a quiet address goes before a still pose that is off, and the difference is said', () => {
    const made = sensor(NOISY);
    const pose = new Map([['thorax', [2 * DEG, -0.7 * DEG, 0.2 * DEG] as Vec3]]) as OrientOptions['bias'];
    const done = orient(sensorTrial([made]), {}, pose);
    expect(Math.abs(of(done).bias_radPerS![0]! / DEG - 0.4)).toBeLessThan(0.1);
    expect(done.codes).toContain('gyro-bias-differs');
  });

  it('that is not known of the still pose (NaN) is taken from the address', () => {
    const made = sensor({ ...NOISY, place: 'club' });
    const nan = [Number.NaN, Number.NaN, Number.NaN] as Vec3;
    const done = orient(sensorTrial([made]), {}, new Map([['club', nan]]));
    expect(Math.abs(of(done, 'club').bias_radPerS![1]! / DEG + 0.7)).toBeLessThan(0.05);
  });
});

describe('a player who sways at address', () => {
  // 0.2° and 0.5° at 0.5 Hz turn a sensor by up to 0.6 and 1.6°/s: taken for bias over the last second, 1.5° and 2.7° at the finish.
  it.each([
    [0.2, false, 0.5],
    [0.5, false, 1.2],
    [0.2, true, 0.5],
    [0.5, true, 0.5],
    [1, true, 0.6],
  ])('by %d°, with a bias of the still pose: %s, stays within %d° and within its bound', (sway, withPose, limit) => {
    for (let seed = 1; seed <= 20; seed++) {
      const motion = { sway_rad: sway * DEG };
      const made = sensor({ ...NOISY, seed, motion, from_s: -0.3 - 0.05 * seed });
      const off = 0.1 * DEG * Math.sin(seed);
      const known: Vec3 = [0.4 * DEG + off, -0.7 * DEG - off, 0.2 * DEG];
      const done = orient(sensorTrial([made]), {}, new Map(withPose ? [['thorax', known]] : []));
      const { worst } = errors(made, done, TAKEAWAY_s);
      expect(worst).toBeLessThan(limit);
      expect(worst).toBeLessThan(of(done).driftBound_rad / DEG);
    }
  });
});

describe('where strap-down cannot start', () => {
  it.each(['inclination', 'mahony', 'madgwick'] as const)(
    'no still address: the %s filter, flagged, within 3°',
    (filter) => {
      const made = sensor({ ...NOISY, motion: { drift_radPerS: 0.4 } });
      const pose = new Map([['thorax', [0.4 * DEG, -0.7 * DEG, 0.2 * DEG] as Vec3]]) as OrientOptions['bias'];
      const done = orient(sensorTrial([made]), { filter }, pose);
      expect(of(done).method).toBe(filter);
      expect(done.codes).toContain('no-still-address');
      expect(done.value.still_s).toBeNull();
      // Filters on the open recording of a rigid body stay within 1°; here the sensor is also carried round.
      expect(errors(made, done).worst).toBeLessThan(3);
    },
  );

  it('a sensor that waggles starts from its own stillness; the others from theirs', () => {
    const waggle = sensor({ place: 'club', motion: { drift_radPerS: 0.3 } });
    const made = [sensor({ place: 'pelvis' }), waggle];
    const done = orient(sensorTrial(made));
    expect(of(done, 'pelvis').method).toBe('strap-down');
    expect(of(done, 'club').method).toBe('inclination');
    expect(done.value.still_s).toBeNull();
  });

  it('a sensor without gyro and orientation, and one whose clock is not joined, are absent with the reason', () => {
    const made = [sensor(), sensor({ place: 'pelvis', withoutGyro: true }), sensor({ place: 'club' })];
    const trial = {
      ...sensorTrial(made),
      unusable: new Map([['club' as const, { code: 'clock-not-joined', needed: 'a knock' }]]),
    };
    const { value } = orient(trial);
    expect(value.sensors.get('pelvis')).toEqual({
      ok: false,
      why: { code: 'no-gyro', needed: 'angular velocity, or orientations in the file, of the pelvis' },
    });
    expect(value.sensors.get('club')).toEqual({ ok: false, why: { code: 'clock-not-joined', needed: 'a knock' } });
    expect(value.sensors.get('thorax')!.ok).toBe(true);
  });

  it('a sensor that was on only before the swing is left out; the others keep their clock', () => {
    const made = [sensor(), sensor({ place: 'pelvis', to_s: 2.2 })];
    const done = orient(sensorTrial(made));
    expect(done.codes).toContain('outside-swing');
    expect(done.value.sensors.get('pelvis')!.ok).toBe(false);
    expect(done.value.clock.frames).toBe(made[0]!.track.times_s.length);
  });

  it('a trial in which nothing turns gives no frames and no orientation', () => {
    const made = sensor();
    const track = { ...made.track, gyro: made.track.gyro!.map(() => Number.NaN) };
    const { value } = orient(sensorTrial([{ ...made, track }]));
    expect(value.clock.frames).toBe(0);
    expect(value.sensors.get('thorax')).toMatchObject({ ok: false, why: { code: 'no-motion' } });
  });
});

describe('orientations of the file', () => {
  it('are used with headings of the file, and where there is no gyro; else the signals are preferred', () => {
    const suit = sensor({ withOrientation: true });
    const file = orient(sensorTrial([suit]), { heading: 'file' });
    expect(of(file).method).toBe('file');
    expect(errors(suit, file).worst).toBeLessThan(1e-5);
    expect(of(orient(sensorTrial([suit]))).method).toBe('strap-down');
    expect(of(orient(sensorTrial([suit]), { heading: 'file', useQuaternions: false })).method).toBe('strap-down');
    const bare = sensor({ withOrientation: true, withoutGyro: true });
    const done = orient(sensorTrial([bare]));
    expect(of(done).method).toBe('file');
    expect(of(done).bias_radPerS).toBeNull();
    const { frames } = done.value.clock;
    const f = Math.round(FASTEST_s * 240);
    const rate = [0, 1, 2].map((c) => of(done).w_radPerS[c * frames + f]!);
    expect(Math.hypot(...rate) / DEG).toBeGreaterThan(600);
  });
});

describe('purity', () => {
  it('inputs stay as they are, and a second run in the same workspace gives equal bytes', () => {
    const made = [sensor(NOISY), sensor({ ...NOISY, place: 'club', rate_Hz: 500, motion: { size: 2 } })];
    const trial = Object.freeze(sensorTrial(made));
    const kept = made.map(({ track }) => [track.times_s.slice(), track.gyro!.slice(), track.acc!.slice()] as const);
    const ws = createWorkspace({ poison: true });
    const options = { plan: DEFAULT_SENSOR_PLAN, bias: new Map() };
    const first = orientSensors(trial, options, ws).value;
    const bytes = [...first.sensors.values()].map((s) => (s.ok ? s.value.R.data.slice() : null));
    ws.reset();
    const second = orientSensors(trial, options, ws).value;
    [...second.sensors.values()].forEach((s, i) => {
      expect(s.ok && s.value.R.data).toEqual(bytes[i]);
    });
    made.forEach(({ track }, i) => {
      expect([track.times_s, track.gyro, track.acc]).toEqual([...kept[i]!]);
    });
  });
});
