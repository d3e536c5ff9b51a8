import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import type { AnalysisPlan } from '../../../src/model/analysisPlan.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { analyseDay, type DayOptions, type DayResult } from '../../../src/pipeline/analyseDay.ts';
import { renderDay } from '../../../src/pipeline/renderDay.ts';
import { wholeText } from '../../support/userDay.ts';
import { recordOf } from '../tables/fixture.ts';

const RATE_Hz = 100;
const DEGREE = Math.PI / 180;

/**
 * A table of two sensors (or of one, whose name is that of its file) that stand with y up, still but for noise; `bow_deg`: then once forward by so much and back about x to −x,
 * which an accelerometer in place feels as gravity turning.
 */
function table(seed: number, bow_deg = 0, sensors: readonly string[] = ['back', 'chest']): string {
  const random = createRandom(seed);
  const named = sensors.length > 0;
  const rows = [`time_s,${named ? 'sensor,' : ''}gyro_x,gyro_y,gyro_z,acc_x,acc_y,acc_z`];
  const shown = (value: number, sd: number): string => (value + sd * random.normal()).toFixed(5);
  for (const sensor of named ? sensors : ['']) {
    for (let i = 0; i < 6 * RATE_Hz; i++) {
      const t = i / RATE_Hz;
      const phase = Math.min(1, Math.max(0, (t - 2.5) / 2));
      const angle = -0.5 * bow_deg * DEGREE * (1 - Math.cos(2 * Math.PI * phase));
      const rate = phase > 0 && phase < 1 ? -0.25 * bow_deg * 2 * Math.PI * Math.sin(2 * Math.PI * phase) : 0;
      const acc = [0, 9.81 * Math.cos(angle), -9.81 * Math.sin(angle)];
      const gyro = [rate, 0, 0];
      const cells = [...gyro.map((w) => shown(w, 0.05)), ...acc.map((a) => shown(a, 0.01))];
      rows.push([t.toFixed(4), ...(named ? [sensor] : []), ...cells].join(','));
    }
  }
  return `${rows.join('\n')}\n`;
}

const SAMPLES = join(import.meta.dirname, '../../../samples/day/wren');
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

function files(more: Readonly<Record<string, Uint8Array | null>> = {}): Map<string, Uint8Array> {
  const all: Record<string, Uint8Array | null> = {
    'static.c3d': readFileSync(join(SAMPLES, '0-static.c3d')),
    'm1.c3d': readFileSync(join(SAMPLES, '1-driver-1.c3d')),
    's/still.csv': utf8(table(1)),
    's/bow.csv': utf8(table(2, 50)),
    's/tilt.csv': utf8(table(3, 30)),
    's/d1.csv': utf8(table(4)),
    's/i1.csv': utf8(table(5)),
    'f/d2/back.csv': utf8(table(6, 0, [])),
    'f/d2/chest.csv': utf8(table(7, 0, [])),
    ...more,
  };
  return new Map(Object.entries(all).flatMap(([path, bytes]) => (bytes === null ? [] : [[path, bytes] as const])));
}

const SENSORS = `sensors: {gyro_unit: deg/s, acc_unit: m/s2, places: {pelvis: back, thorax: chest}}`;
const HEAD = `swingbasis: 1
day: d
lab: {target: +X}
players: [{id: w, hand: right, sex: female}]
clubs: [{id: dr, kind: driver}, {id: i7, kind: iron}]
${SENSORS}
`;
const ROWS = {
  statik: '  - {file: static.c3d, role: static}\n',
  m1: '  - {file: m1.c3d, club: dr}\n',
  still: '  - {file: s/still.csv, role: static}\n',
  bow: '  - {file: s/bow.csv, role: functional, movement: bow}\n',
  tilt: '  - {file: s/tilt.csv, role: functional, movement: pelvic-tilt}\n',
  d1: '  - {file: s/d1.csv, club: dr}\n',
  i1: '  - {file: s/i1.csv, club: i7}\n',
  d2: '  - {file: f/d2/, club: dr}\n',
};
const ALL = `${HEAD}trials:\n${ROWS.d1}${ROWS.i1}${ROWS.d2}${ROWS.m1}${ROWS.still}${ROWS.bow}${ROWS.tilt}${ROWS.statik}`;

interface Seen {
  readonly opened: string[];
  closed: number;
  readonly plans: Map<string, AnalysisPlan>;
}

/** What a swing is analysed with, instead of the science: its datum says its source. */
function quick(seen: Seen): NonNullable<DayOptions['analyse']> {
  return (trial, plan): SwingRecord => {
    seen.plans.set(trial.head.trial, plan);
    const calibration = plan.sensors?.calibration;
    const id = calibration?.ok === true ? `calibration ${calibration.value.still}` : 'not calibrated';
    return recordOf(trial.head.trial, {
      head: trial.head,
      datum: trial.source === 'markers' ? { kind: 'anatomical', id: 'isb' } : { kind: 'calibration', id },
    });
  };
}

const sha = (bytes: Uint8Array | string): string => createHash('sha256').update(bytes).digest('hex');

async function run(
  text: string,
  all: ReadonlyMap<string, Uint8Array>,
  options: Partial<DayOptions> = {},
): Promise<{ result: DayResult; seen: Seen; of: (trial: string) => DayResult['outcomes'][number] }> {
  const seen: Seen = { opened: [], closed: 0, plans: new Map() };
  const { plan, problems } = readDay(text, {
    file: 'day.yaml',
    listing: [...new Set([...files().keys(), ...all.keys()])],
  });
  expect(problems.map(renderProblemLine)).toEqual([]);
  const result = await analyseDay(
    plan!,
    {
      open(path) {
        seen.opened.push(path);
        const bytes = all.get(path);
        if (bytes === undefined) throw Object.assign(new Error(`${path} cannot be opened`), { name: 'FileError' });
        return {
          ...bytesSource(bytes),
          close() {
            seen.closed += 1;
          },
        };
      },
      sha256(source) {
        const bytes = new Uint8Array(source.size);
        source.read(0, source.size, bytes);
        return sha(bytes);
      },
      pause: async () => {},
      program: { name: 'swingbasis', version: '0' },
      libraries: {},
    },
    { orders: [], strict: false, analyse: quick(seen), ...options },
  );
  const of = (trial: string) => result.outcomes.find((outcome) => outcome.trial === trial)!;
  return { result, seen, of };
}

describe('a day with markers and sensors', () => {
  it('reads movements first, then the marker static trial, then the still pose, then the swings, and closes every file', async () => {
    const { result, seen } = await run(ALL, files());
    expect(
      result.outcomes.filter(({ status }) => status !== 'used').map(({ trial, reason }) => [trial, reason]),
    ).toEqual([]);
    expect(seen.opened).toEqual([
      's/bow.csv',
      's/tilt.csv',
      'static.c3d',
      's/still.csv',
      's/d1.csv',
      's/i1.csv',
      'f/d2/back.csv',
      'f/d2/chest.csv',
      'm1.c3d',
    ]);
    expect(seen.closed).toBe(seen.opened.length);
  });

  it('gives every swing of sensors the calibration of its still pose, with the bends of the marker static trial, and markers none', async () => {
    const { seen } = await run(ALL, files());
    for (const trial of ['s/d1', 's/i1', 'f/d2']) {
      const calibration = seen.plans.get(trial)!.sensors!.calibration;
      expect(calibration).toMatchObject({
        ok: true,
        value: { still: 's/still', player: 'w', anatomicalFrom: 'static' },
      });
      const mountings = calibration.ok ? calibration.value.mountings : new Map();
      expect(mountings.get('pelvis')).toMatchObject({
        value: { method: 'pose-and-movement', trials: ['s/still', 's/tilt'] },
      });
      expect(mountings.get('thorax')).toMatchObject({
        value: { method: 'pose-and-movement', trials: ['s/still', 's/bow'] },
      });
    }
    expect(seen.plans.get('m1')).toMatchObject({ sensors: null, calibration: { source: 'static' } });
    expect(seen.plans.get('s/d1')!.calibration).toBeNull();
  });

  it('compares markers and sensors apart', async () => {
    const { result } = await run(ALL, files());
    expect(
      result.comparisons.map(({ part, group, reference }) => [part.label, part.suffix, group.trials, reference.trials]),
    ).toEqual([
      ['markers', '', ['m1'], []],
      ['sensors', '-sensors', ['f/d2', 's/d1'], ['s/i1']],
    ]);
  });

  it('writes two sheets and a page for each part, each with the trials of its own', async () => {
    const { result } = await run(ALL, files());
    const out = new Map<string, string>();
    for await (const file of renderDay(result, [], { curves: false, strict: false, orders: [] })) {
      out.set(file.path, wholeText(file));
    }
    expect([...out.keys()].filter((path) => path.startsWith('players/'))).toEqual([
      'players/w.svg',
      'players/w-details.svg',
      'players/w.html',
      'players/w-sensors.svg',
      'players/w-sensors-details.svg',
      'players/w-sensors.html',
    ]);
    expect(out.get('players/w-details.svg')).not.toContain('s/still');
    expect(out.get('players/w-sensors-details.svg')).toContain('Trials used (6)');
    expect(out.get('index.html')).toContain('players/w-sensors.svg');
  });

  it('says what a trial was read from: source, samples, every file with its sum, and one sum of all', async () => {
    const { of } = await run(ALL, files());
    const folder = of('f/d2');
    const sums = ['f/d2/back.csv', 'f/d2/chest.csv'].map((path) => ({ path, sha256: sha(files().get(path)!) }));
    expect(folder).toMatchObject({ file: 'f/d2/', files: sums });
    // as `sha256sum f/d2/back.csv f/d2/chest.csv | sha256sum` gives it
    expect(folder.sha256).toBe(sha(sums.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join('')));
    expect(of('s/still')).toMatchObject({ sha256: sha(files().get('s/still.csv')!), record: null, frames: 600 });
    expect(of('s/bow').head).toMatchObject({ source: 'sensors', role: 'functional' });
    expect(of('m1').head?.source ?? 'markers').toBe('markers');
  });

  it('gives a swing the same calibration whatever was run before it: memory that is lent again does not show', async () => {
    const whole = (await run(ALL, files())).seen.plans.get('f/d2')!.sensors!.calibration;
    const alone = `${HEAD}trials:\n${ROWS.d2}${ROWS.statik}${ROWS.still}${ROWS.tilt}${ROWS.bow}`;
    const single = (await run(alone, files())).seen.plans.get('f/d2')!.sensors!.calibration;
    expect(single).toEqual(whole);
  });
});

describe('what cannot be used stops nothing', () => {
  it('a movement that cannot be read: its reason, a warning on the still pose and on every swing that rests on it', async () => {
    const { of, seen } = await run(ALL, files({ 's/tilt.csv': utf8('time_s,gyro_x\n') }));
    expect(of('s/tilt')).toMatchObject({ status: 'failed' });
    expect(of('s/tilt').reason).not.toBe('');
    for (const trial of ['s/still', 's/d1', 'f/d2']) {
      expect(of(trial).status).toBe('used');
      const said = of(trial).diagnostics.find(({ code }) => code === 'movement-not-used');
      expect(said?.message).toMatch(/^the pelvic-tilt in s\/tilt could not be used: /);
    }
    const calibration = seen.plans.get('s/d1')!.sensors!.calibration;
    // a bow turns the pelvis too, and stands in
    expect(calibration.ok && calibration.value.mountings.get('pelvis')).toMatchObject({
      value: { trials: ['s/still', 's/bow'] },
    });
    expect(of('m1').diagnostics.some(({ code }) => code === 'movement-not-used')).toBe(false);
  });

  it('a still pose that is no longer there: the swings say so, those of markers are not touched', async () => {
    const { of, seen } = await run(ALL, files({ 's/still.csv': null }));
    expect(of('s/still')).toMatchObject({ status: 'failed', reason: 's/still.csv cannot be opened', sha256: '' });
    expect(seen.plans.get('s/d1')!.sensors!.calibration).toEqual({
      ok: false,
      why: {
        code: 'still-pose-not-used',
        needed: 'the still pose s/still, which could not be used (s/still.csv cannot be opened)',
      },
    });
    expect(of('s/d1').diagnostics.map(({ code }) => code)).toContain('still-not-used');
    expect(of('m1').diagnostics.map(({ code }) => code)).not.toContain('static-not-used');
    expect(seen.plans.get('m1')!.calibration).not.toBeNull();
  });

  it('no still pose at all: the swing says what it needs', async () => {
    const { seen } = await run(`${HEAD}trials:\n${ROWS.d1}`, files());
    expect(seen.plans.get('s/d1')!.sensors!.calibration).toMatchObject({
      ok: false,
      why: { code: 'no-still-pose', needed: expect.stringMatching(/^a still pose of the sensors: /) as string },
    });
  });

  it('a folder that lacks one of its tables fails as one trial, and every file that was opened is closed', async () => {
    const { of, seen } = await run(ALL, files({ 'f/d2/chest.csv': null }));
    expect(of('f/d2')).toMatchObject({ status: 'failed', reason: 'f/d2/chest.csv cannot be opened', sha256: '' });
    expect(seen.closed).toBe(seen.opened.length - 1);
    expect(of('s/d1').status).toBe('used');
  });

  it('a swing without a club is rejected as one of markers is', async () => {
    const { of } = await run(ALL.replace('s/d1.csv, club: dr', 's/d1.csv'), files());
    expect(of('s/d1')).toMatchObject({
      status: 'rejected',
      reason: expect.stringMatching(/no club is named/) as string,
    });
  });

  it('with strict a movement with a doubt is refused, and so is what it would have warned of', async () => {
    const { of } = await run(ALL, files({ 's/tilt.csv': utf8('time_s,gyro_x\n') }), { strict: true });
    expect(of('s/still')).toMatchObject({
      status: 'rejected',
      reason: expect.stringMatching(
        /^refused with --strict: the pelvic-tilt in s\/tilt .*\(movement-not-used\)$/,
      ) as string,
    });
    expect(of('s/d1').reason).toMatch(/\(still-not-used\)$/);
    expect(of('m1').status).toBe('used');
  });

  it('movements and hanging clubs of markers are left out: a C3D file is read to see what it holds', async () => {
    const text = `${HEAD}trials:
  - {file: static.c3d, role: functional, movement: bow}
  - {file: m1.c3d, role: calibration, club: dr}
${ROWS.still}${ROWS.d1}`;
    const { of, seen } = await run(text, files());
    expect(of('static')).toMatchObject({
      status: 'left-out',
      reason: 'functional trials are not used by this version',
    });
    expect(of('m1')).toMatchObject({ status: 'left-out' });
    expect(of('m1')!.reason).toMatch(/^none of its markers is on the face/);
    expect([...seen.plans.keys()]).toEqual(['s/d1']);
  });

  it('a functional trial of markers that fails is no matter of the sensors', async () => {
    const text = `${HEAD}trials:\n  - {file: m1.c3d, role: functional}\n${ROWS.statik}${ROWS.still}${ROWS.d1}`;
    const { of } = await run(text, files({ 'm1.c3d': null }));
    expect(of('m1').status).toBe('failed');
    expect(of('s/d1').diagnostics.map(({ code }) => code)).not.toContain('movement-not-used');
  });
});

describe('two calibrations of one player', () => {
  const text = ALL.replace('{id: w,', '{id: w, still: s/still,')
    .replace('s/i1.csv, club: i7', 's/i1.csv, club: i7, still: s/again')
    .replace(ROWS.still, `${ROWS.still}  - {file: s/again.csv, role: static}\n`)
    .replace(ROWS.statik, '');
  it('each swing has that of its own still pose; movements belong to theirs', async () => {
    const all = files({ 's/again.csv': utf8(table(8)) });
    const { seen, result } = await run(text, all);
    const of = (trial: string) => seen.plans.get(trial)!.sensors!.calibration;
    expect(of('s/d1')).toMatchObject({ value: { still: 's/still', anatomicalFrom: null } });
    expect(of('s/i1')).toMatchObject({ value: { still: 's/again' } });
    const again = of('s/i1');
    expect(again.ok && again.value.mountings.get('pelvis')).toMatchObject({ value: { hasFlexionAxis: false } });
    expect(result.comparisons.map(({ part }) => [part.label, part.suffix])).toEqual([
      ['markers', ''],
      ['sensors calibrated in s/still', '-sensors'],
      ['sensors calibrated in s/again', '-sensors-2'],
    ]);
  });
});
