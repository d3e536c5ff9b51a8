import { describe, expect, it } from 'vitest';
import { intake } from '../../../src/intake/intake.ts';
import type { MarkerTrial } from '../../../src/model/trial.ts';
import { type FakeOptions, fakeC3d } from '../../support/fakeC3d.ts';
import { clubPlan, playerPlan, trialPlan } from '../../support/plans.ts';

type V = readonly [number, number, number];

/**
 * A right-hander at address in millimetres, typed by hand in the player frame of definitions 1
 * (X toward the ball, Y up, Z to the player's right; the target toward −Z, so the left side leads).
 */
const ADDRESS: readonly (readonly [string, V])[] = [
  ['L_ASIS', [60, 1000, -120]],
  ['R_ASIS', [60, 1000, 120]],
  ['L_PSIS', [-90, 1020, -45]],
  ['R_PSIS', [-90, 1020, 45]],
  ['IJ', [250, 1400, 0]],
  ['C7', [130, 1480, 0]],
  ['L_HEEL', [-60, 30, -250]],
  ['R_HEEL', [-60, 30, 250]],
  ['L_TOE', [180, 30, -300]],
  ['R_TOE', [180, 30, 300]],
  ['L_RS', [400, 800, -60]],
  ['L_US', [380, 800, -60]],
  ['R_RS', [420, 740, 0]],
  ['R_US', [400, 740, 0]],
  ['CLUB_GRIP', [420, 800, -20]],
  ['CLUB_SHAFT', [800, 200, 0]],
  ['CLUB_HEAD_1', [850, 40, 0]],
];

/** G → a file frame with +Z up and +X toward the target, right-handed: X_file = −Z_G, Y_file = X_G... so that X × Y = Z. */
const toZUp = ([x, y, z]: V): V => [-z, -x, y];

function fileOf(rows: readonly (readonly [string, V])[], map: (v: V) => V, options: FakeOptions = {}) {
  return fakeC3d(
    rows.map(([label, place]) => [label, () => map(place)] as const),
    options,
  );
}

function accepted(
  file: Parameters<typeof intake>[0],
  changes: Parameters<typeof trialPlan>[0] = {},
  hand: 'left' | 'right' | null = 'right',
): MarkerTrial {
  const { value } = intake(file, {
    trial: trialPlan({ target: '+X', ...changes }),
    player: playerPlan({ hand }),
    club: clubPlan(),
  });
  if (!value.ok) throw new Error(value.why.needed);
  return value.value;
}

function refusal(
  file: Parameters<typeof intake>[0],
  changes: Parameters<typeof trialPlan>[0] = {},
  hand: 'left' | 'right' | null = 'right',
): string {
  const { value } = intake(file, {
    trial: trialPlan({ target: '+X', ...changes }),
    player: playerPlan({ hand }),
    club: clubPlan(),
  });
  return value.ok ? 'accepted' : `${value.why.code}: ${value.why.needed}`;
}

/** L of a point given in G (definitions 1): X_L = −Z_G, Y_L = Y_G, Z_L = X_G. */
function inLab(trial: MarkerTrial, id: string): number[] {
  const track = trial.points.get(id as never);
  if (track === undefined) return [];
  const { frames } = trial.clock;
  return [track.data[0]!, track.data[frames]!, track.data[2 * frames]!];
}

const reflected = (rows: readonly (readonly [string, V])[]): (readonly [string, V])[] =>
  rows.map(([label, [x, y, z]]) => {
    const other = label.startsWith('L_')
      ? `R_${label.slice(2)}`
      : label.startsWith('R_')
        ? `L_${label.slice(2)}`
        : label;
    return [other, [x, y, -z]] as const;
  });

describe('a recording becomes metres in the lab frame', () => {
  it('puts a right-hander where definitions 1 says: the ball side toward +Z, the lead side toward +X', () => {
    const trial = accepted(fileOf(ADDRESS, toZUp));
    expect(inLab(trial, 'lead_ASIS')).toEqual([0.12, 1, 0.06]);
    expect(inLab(trial, 'trail_ASIS')).toEqual([-0.12, 1, 0.06]);
    expect(trial.head.facts.up).toMatchObject({ value: '+Z', source: 'detected' });
    expect(trial.head.facts.hand).toMatchObject({ value: 'right', source: 'set' });
    expect(trial.head.facts.mirrored.value).toBe(false);
  });

  it('reflects a left-hander once, so that the mirror image gives the same numbers to the last bit', () => {
    const right = accepted(fileOf(ADDRESS, toZUp));
    // A left-hander to the same target stands on the other side of the ball: the mirror image along the target line,
    // turned about the vertical so that the target is again +X: x_file is kept and the ball side changes sign.
    const left = accepted(
      fileOf(reflected(ADDRESS), ([x, y, z]) => [z, x, y], {}),
      {},
      'left',
    );
    for (const id of ['lead_ASIS', 'trail_PSIS', 'lead_TOE', 'CLUB_HEAD_1', 'IJ']) {
      expect(inLab(left, id)).toEqual(inLab(right, id));
    }
  });

  it('finds a left-handed file frame and reflects it without exchanging names', () => {
    const file = fileOf(ADDRESS, (v) => {
      const [x, y, z] = toZUp(v);
      return [x, -y, z];
    });
    const trial = accepted(file);
    expect(trial.head.facts.mirrored.value).toBe(true);
    expect(inLab(trial, 'lead_ASIS')).toEqual([0.12, 1, 0.06]);
  });

  it('exchanges sides back where the declared hand says that the names are wrong', () => {
    const swapped = ADDRESS.map(([label, p]) => [reflected([[label, p]])[0]![0], p] as const);
    const trial = accepted(fileOf(swapped, toZUp));
    expect(trial.head.facts.mirrored.value).toBe(false);
    expect(inLab(trial, 'lead_ASIS')).toEqual([0.12, 1, 0.06]);
  });

  it('refuses a mirrored-looking body without a declared hand, with both readings', () => {
    const file = fileOf(ADDRESS, (v) => {
      const [x, y, z] = toZUp(v);
      return [x, -y, z];
    });
    expect(refusal(file, {}, null)).toMatch(
      /mirrored-or-exchanged.*left-handed and the player is right-handed, or left and right are exchanged/,
    );
  });

  it('gives the same trial whichever way the lab is turned', () => {
    const right = accepted(fileOf(ADDRESS, toZUp));
    const turned = accepted(
      fileOf(ADDRESS, (v) => {
        const [x, y, z] = toZUp(v);
        return [y, z, x];
      }),
      { target: '+Z' },
    );
    for (const id of right.points.keys()) expect(inLab(turned, id)).toEqual(inLab(right, id));
  });
});

describe('facts are detected, said and checked against what is set', () => {
  const metres = (v: V): V => {
    const [x, y, z] = toZUp(v);
    return [x / 1000, y / 1000, z / 1000];
  };

  it.each([
    ['mm', toZUp, 'mm', 'file'],
    ['', toZUp, 'mm', 'detected'],
    ['mete', metres, 'm', 'file'],
    ['m   ', toZUp, 'mm', 'detected'],
    ['', metres, 'm', 'detected'],
  ] as const)('units text "%s" is read or the body decides', (text, map, value, source) => {
    expect(accepted(fileOf(ADDRESS, map, { units: [text] })).head.facts.units).toMatchObject({ value, source });
  });

  it('refuses set units, up, rate, hand and target that the data contradict, with both values', () => {
    const file = fileOf(ADDRESS, toZUp);
    expect(refusal(file, { units: 'm' })).toMatch(/conflict-units.*sets units m, the data show mm/);
    expect(refusal(file, { up: '+Y' })).toMatch(/conflict-up.*sets up \+Y, the data show \+Z/);
    expect(refusal(file, { rate_Hz: 200 })).toMatch(/conflict-rate.*200 Hz, the data show 240 Hz/);
    expect(refusal(file, {}, 'left')).toMatch(/conflict-hand.*sets hand left, the data show right/);
    expect(refusal(file, { target: '+Y' })).toMatch(/conflict-target.*sets target \+Y, the data show \+X/);
    expect(refusal(file, { target: '+Z' })).toMatch(/target-is-up/);
  });

  it('holds an insisted value and says so', () => {
    const { value, diagnostics } = intake(fileOf(ADDRESS, toZUp), {
      trial: trialPlan({ target: '+X', rate_Hz: 200, insist: ['rate'] }),
      player: playerPlan(),
      club: clubPlan(),
    });
    expect(value.ok && value.value.head.facts.rate_Hz).toMatchObject({ value: 200, source: 'insisted' });
    expect(diagnostics.map((d) => d.code)).toContain('insisted-against-data');
  });

  it('assumes an unset target from the feet and flags it', () => {
    const { value, diagnostics } = intake(fileOf(ADDRESS, toZUp), {
      trial: trialPlan(),
      player: playerPlan(),
      club: clubPlan(),
    });
    expect(value.ok && value.value.head.facts.target).toMatchObject({ value: '+X', source: 'assumed' });
    expect(diagnostics.map((d) => d.code)).toContain('target-assumed');
  });

  it('follows the body where the screen axes contradict it, and reports that', () => {
    const { value, diagnostics } = intake(fileOf(ADDRESS, toZUp, { screen: { x: '-X', y: '-Z' } }), {
      trial: trialPlan({ target: '+X' }),
      player: playerPlan(),
      club: clubPlan(),
    });
    expect(value.ok && value.value.head.facts.up.value).toBe('+Z');
    expect(diagnostics.map((d) => d.code)).toContain('screen-contradicts-body');
  });
});

describe('landmarks and missing samples', () => {
  it('removes subject prefixes, drops unlabelled points, sets model outputs aside and counts both', () => {
    const rows: (readonly [string, V])[] = [
      ...ADDRESS.map(([label, p]) => [`someone:${label}`, p] as const),
      ['*12', [1, 2, 3]],
      ['', [1, 2, 3]],
      ['LHipAngles', [10, 5, 2]],
    ];
    const { value, diagnostics } = intake(fileOf(rows, toZUp, { typeGroups: new Map([['ANGLES', ['LHipAngles']]]) }), {
      trial: trialPlan({ target: '+X' }),
      player: playerPlan(),
      club: clubPlan(),
    });
    expect(value.ok && value.value.points.size).toBe(ADDRESS.length);
    const said = diagnostics.map((d) => `${d.code} ${d.message}`).join('\n');
    expect(said).toContain('unlabelled-points-dropped 2 of 20');
    expect(said).toContain('model-outputs-set-aside 1 of 20');
  });

  it('takes names from the day file by label, description and number', () => {
    const rows = ADDRESS.map(([, p], index) => [`${2000 + index}`, p] as const);
    const descriptions = rows.map((_, index) => (index === 1 ? 'rechte Hüfte' : ''));
    const markers = Object.fromEntries(
      ADDRESS.map(([label], index) => [
        label,
        index === 1 ? 'rechte Hüfte' : index % 2 === 0 ? `#${index + 1}` : `${2000 + index}`,
      ]),
    );
    const trial = accepted(fileOf(rows, toZUp, { descriptions }), { markers });
    expect([...trial.points.keys()]).toHaveLength(ADDRESS.length);
    expect(inLab(trial, 'trail_ASIS')).toEqual([-0.12, 1, 0.06]);
  });

  it('takes residual < 0, NaN and exact zeros as missing: NaN in the data and 0 in the state, never zero', () => {
    const rows: readonly (readonly [string, (frame: number) => V | null])[] = ADDRESS.map(([label, p]) => [
      label,
      (frame) => {
        if (label !== 'IJ') return toZUp(p);
        if (frame === 3) return null;
        if (frame === 4) return [0, 0, 0];
        return frame === 5 ? [Number.NaN, 1, 1] : toZUp(p);
      },
    ]);
    const { value, diagnostics } = intake(fakeC3d(rows), {
      trial: trialPlan({ target: '+X' }),
      player: playerPlan(),
      club: clubPlan(),
    });
    if (!value.ok) throw new Error(value.why.needed);
    const track = value.value.points.get('IJ')!;
    expect([...track.state.subarray(2, 7)]).toEqual([1, 0, 0, 0, 1]);
    for (const frame of [3, 4, 5]) expect(track.data[frame]).toBeNaN();
    expect(diagnostics.map((d) => d.code)).toContain('zeros-taken-as-missing');
  });

  it('refuses a file whose every residual is −1 with the way out, and uses it when told to trust', () => {
    const file = fileOf(ADDRESS, toZUp, { allInvalid: true });
    expect(refusal(file)).toMatch(/all-samples-invalid.*set trust_coordinates: true/);
    expect(accepted(file, { trustCoordinates: true }).points.size).toBe(ADDRESS.length);
  });

  it('refuses files without points or known landmarks with a full sentence', () => {
    expect(refusal(fakeC3d([]))).toMatch(/no-points/);
    expect(refusal(fakeC3d([['Q1', () => [1, 2, 3]]]))).toMatch(/no-landmarks.*name the markers in the day file/);
  });

  it('leaves out events before the first and after the last frame: they are no moments of the recording', () => {
    const event = (label: string, time_s: number) => ({
      label,
      context: 'General',
      time_s,
      frame: Math.round(time_s * 240),
      store: 'group' as const,
    });
    const events = [event('P1', -0.3), event('P2', -0.001), event('P6', 23.4 / 240), event('P7', 9)];
    const trial = accepted(fileOf(ADDRESS, toZUp, { events }));
    expect(trial.events.map((e) => e.position)).toEqual(['P2', 'P6']);
  });

  it('maps events by the day file, by position names and by the plain words', () => {
    const event = (label: string, time_s: number) => ({
      label,
      context: '',
      time_s,
      frame: 0,
      store: 'group' as const,
    });
    const trial = accepted(
      fileOf(ADDRESS, toZUp, {
        events: [event('hit', 0.09), event('P4', 0.05), event('Address', 0.01), event('x', 0.02)],
      }),
      {
        events: { hit: 'P7' },
      },
    );
    expect(trial.events.map((e) => [e.label, e.position])).toEqual([
      ['Address', 'P1'],
      ['x', null],
      ['P4', 'P4'],
      ['hit', 'P7'],
    ]);
  });
});
