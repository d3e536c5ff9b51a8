/** A draft of C3D files that hold rotations and no landmark: recordings of sensors. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { writeC3d } from '../../../src/c3d/writeC3d.ts';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import type { SignedAxis } from '../../../src/model/dayPlan.ts';
import { draftDay, type Seen } from '../../../src/pipeline/draft.ts';
import { trialLines } from '../../../src/pipeline/draftTrials.ts';
import { inspectFile } from '../../../src/pipeline/inspect.ts';
import { utf8 } from '../../support/imuFiles.ts';
import { openData } from '../../support/openData.ts';
import { longTable } from '../../support/standingSensors.ts';

interface Made {
  readonly labels: readonly string[];
  /** Heights of the bodies along the file's Z; all 0: no body is above another. */
  readonly heights?: readonly number[];
  /** Turn about Z in each frame, radians. */
  readonly step_rad?: number;
  readonly points?: readonly string[];
  readonly rate_Hz?: number;
}

const FRAMES = 50;

function rotationFile({ labels, heights = [], step_rad = 0.05, points = [], rate_Hz = 100 }: Made): Uint8Array {
  const n = labels.length;
  const matrices = new Float64Array(9 * n * FRAMES);
  const translations = new Float64Array(3 * n * FRAMES);
  for (let r = 0; r < n; r++) {
    for (let f = 0; f < FRAMES; f++) {
      const [c, s] = [Math.cos(step_rad * f), Math.sin(step_rad * f)];
      matrices.set([c, -s, 0, s, c, 0, 0, 0, 1], 9 * (r * FRAMES + f));
      translations[3 * (r * FRAMES + f) + 2] = heights[r] ?? 0;
    }
  }
  return writeC3d({
    labels: points,
    units: 'mm',
    rate_Hz,
    frames: FRAMES,
    xyz: Float64Array.from({ length: 3 * points.length * FRAMES }, (_, i) => 10 * (i + 1)),
    word4: null,
    rotations: { labels, matrices, translations, reliability: new Float32Array(n * FRAMES).fill(1) },
  });
}

function draft(files: Readonly<Record<string, Uint8Array>>): string {
  const open = (path: string) => ({ ...bytesSource(files[path]!), close: () => undefined });
  return draftDay({ folder: 'suit', listing: Object.keys(files).sort(), open }).text;
}

/** Lines that are no comments. */
function plainLines(text: string): readonly string[] {
  return text.split('\n').filter((line) => line !== '' && !line.trimStart().startsWith('#'));
}

const KNOWN: Made = { labels: ['pelvis_4X4', 'torso_4X4', 'l_hand_4X4', 'B7_4X4'], heights: [1, 1.4, 1, 0] };

describe('a draft of rotations', () => {
  it('names the recognised ones, says the others, and asks for hand and club alone', () => {
    const text = draft({ 'swing.c3d': rotationFile(KNOWN) });
    expect(plainLines(text)).toEqual([
      'swingbasis: 1',
      'day: suit',
      'sensors:',
      '  places:',
      '    pelvis: pelvis # by its name',
      '    thorax: torso # by its name',
      '    left_hand: l_hand # by its name',
      'players:',
      '  - id: player1',
      '    hand: "?" # right or left',
      'clubs:',
      '  - { id: "?", kind: "?" }',
      'trials:',
      '  - { file: swing.c3d, source: sensors, club: "?" }',
    ]);
    expect(text).toContain('    # "B7" has no place yet: ');
    expect(text).not.toMatch(/knock_s|columns/);
  });

  it('asks for pelvis, thorax and club where names say no place, with the names there are, and for up where no place shows it', () => {
    const text = draft({ 'swing.c3d': rotationFile({ labels: ['B1', 'B2', 'B3'] }) });
    for (const place of ['pelvis', 'thorax', 'club']) {
      expect(text).toContain(`    ${place}: "?" # the name of its sensor in the files: "B1", "B2", "B3"`);
    }
    expect(text).toContain('lab: { up: "?" } # ');
    expect(plainLines(text).filter((line) => /target|units/.test(line))).toEqual([]);
  });

  it('is a day file that is taken once its ? are filled in, as sensors', () => {
    const files = { 'a/driver-1.c3d': rotationFile({ labels: ['B1', 'B2', 'pelvis'] }) };
    const text = draft(files)
      .replace('thorax: "?"', 'thorax: B1')
      .replace('club: "?"', 'club: B2')
      .replace('hand: "?"', 'hand: right')
      .replace('up: "?"', 'up: +Z');
    const { plan, problems } = readDay(text, { file: 'day.yaml', listing: Object.keys(files) });
    expect(problems.map(renderProblemLine)).toEqual([]);
    expect(plan!.trials[0]).toMatchObject({ source: 'sensors', club: 'driver', up: '+Z' });
    expect(plan!.trials[0]!.sensors.places).toEqual({ pelvis: 'pelvis', thorax: 'B1', club: 'B2' });
  });

  it('points that are no landmarks leave it a recording of sensors; a landmark makes it one of markers', () => {
    const virtual = draft({ 'driver.c3d': rotationFile({ ...KNOWN, points: ['*12', 'spot'] }) });
    expect(virtual).toContain('{ file: driver.c3d, source: sensors, club: driver }');
    const marked = draft({ 'driver.c3d': rotationFile({ ...KNOWN, points: ['L_ASIS', 'spot'] }) });
    expect(marked).toContain('{ file: driver.c3d, club: driver }');
    expect(marked).toMatch(/^lab:$/m);
    expect(marked).not.toContain('sensors:');
  });

  it('roles are told by names, else by whether anything turns', () => {
    const text = draft({
      'a/bow.c3d': rotationFile(KNOWN),
      'a/iron7-1.c3d': rotationFile(KNOWN),
      'a/iron7-2.c3d': rotationFile({ ...KNOWN, step_rad: 0.06 }),
      'a/hang-iron7.c3d': rotationFile({ labels: ['club'], step_rad: 0 }),
      // 50 frames of 0.005 rad: 14° in all, as someone who stands may turn; of 0.0055 rad: 15.4°.
      'a/x.c3d': rotationFile({ ...KNOWN, step_rad: 0.005 }),
      'a/y.c3d': rotationFile({ ...KNOWN, step_rad: 0.0055 }),
    });
    expect(
      text
        .slice(text.indexOf('\ntrials:\n') + 9)
        .trimEnd()
        .split('\n'),
    ).toEqual([
      '  - { file: a/bow.c3d, source: sensors, role: functional, movement: bow } # by its name',
      '  - { file: a/hang-iron7.c3d, source: sensors, role: calibration, club: iron7 } # by its name: the club hangs still',
      '  - { pattern: "a/iron7-*.c3d", source: sensors, club: iron7 } # 2 files',
      '  - { file: a/x.c3d, source: sensors, role: static } # nothing turns in it',
      '  - { file: a/y.c3d, source: sensors, club: "?" }',
    ]);
  });

  it('beside tables and markers: one block for all sensors, a lab for the markers', () => {
    const standing = rotationFile({ labels: ['pelvis'], points: ['L_ASIS', 'R_ASIS'] });
    const text = draft({
      'a/markers-driver.c3d': standing,
      'a/driver.c3d': rotationFile(KNOWN),
      'a/driver.csv': utf8(longTable({ rate_Hz: 100, seconds: 4, fastest_degPerS: 600 }, ['pelvis', 'chest'])),
    });
    expect(text).toMatch(/^lab:\n {2}up: /m);
    expect(text).toContain('  gyro_unit: deg/s');
    expect(text).toContain('    pelvis: pelvis # by its name');
    expect(text).toContain('    # thorax has a name in each file: "torso", "chest"');
    expect(text).toContain('{ file: a/driver.csv, club: driver }');
    expect(text).toContain('{ file: a/driver.c3d, source: sensors, club: driver }');
  });
});

describe('lines of trials of rotations', () => {
  const described = { sensors: [], questions: [], diagnostics: [] };
  const guess = { role: 'swing', movement: null, why: '' } as const;
  const seen = (path: string, shownUp: SignedAxis | null): Seen => ({
    path, player: 'p', guess, facts: null, described, shownUp,
  }); // biome-ignore format: one glance

  it('say up where the rotations show another axis than is said for all', () => {
    const all = [seen('d/driver1.c3d', '+Y'), seen('d/driver2.c3d', '+Z'), seen('d/driver3.c3d', null)];
    const listing = all.map(({ path }) => path);
    expect(trialLines(all, 'p', false, listing, '+Z')).toEqual([
      '  - { file: d/driver1.c3d, source: sensors, club: driver, up: "+Y" }',
      '  - { file: d/driver2.c3d, source: sensors, club: driver }',
      '  - { file: d/driver3.c3d, source: sensors, club: driver }',
    ]);
    const same = all.map((one) => ({ ...one, shownUp: '+Y' as const }));
    expect(trialLines(same, 'p', false, listing, '+Z')).toEqual([
      '  - { pattern: "d/driver*.c3d", source: sensors, club: driver, up: "+Y" } # 3 files',
    ]);
    expect(trialLines(same, 'p', false, listing, null)[0]).not.toContain('up');
  });
});

describe('inspect of rotations', () => {
  it('shows the up axis that the places of the bodies show, and numbers without digits of single precision', () => {
    const one = inspectFile(bytesSource(rotationFile({ ...KNOWN, rate_Hz: 59.94 })), 'a.c3d', {
      parent: 'pelvis',
      child: 'torso',
      order: 'ZXY',
    });
    // 59.94 is 59.939998626708984 in single precision, as the file has it.
    expect(one).toMatchObject({ up: '+Z', rate_Hz: 59.94, source: 'sensors' });
    if ('error' in one) throw new Error(one.error.message);
    expect(one.sensors[0]!.rate_Hz).toBe(59.94);
    expect(one.sensors[0]!.span_s).toBe(0.817484); // 49 / 59.94
    for (const { min_deg, max_deg } of one.angles!.angles) expect([min_deg, max_deg]).toEqual([0, 0]);
  });
});

const open = openData('c3d/layout/rotation-group.c3d');

describe.skipIf(open === null)('a draft of an open file of 21 rotations', () => {
  const text = open === null ? '' : draft({ 'rotation-group.c3d': new Uint8Array(readFileSync(open)) });

  it('is a trial of sensors with the places of its labels, and asks for hand and club alone', () => {
    expect(plainLines(text).filter((line) => line.includes('"?"'))).toEqual([
      '    hand: "?" # right or left',
      '  - { id: "?", kind: "?" }',
      '  - { file: rotation-group.c3d, source: sensors, club: "?" }',
    ]);
    expect(plainLines(text)).not.toContain('lab:');
    expect(text).toContain('    pelvis: pelvis # by its name');
    // 21 labels: 15 are places that are used here, 6 are not (toes, clavicles, neck and the room).
    expect(text.match(/ # by its name$/gm)).toHaveLength(15);
    expect(text).toMatch(/^ {4}# (".*?", ){5}"neck" have no place yet: /m);
  });
});
