import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { readDay } from '../../../src/day/readDay.ts';
import type { DayPlan } from '../../../src/model/dayPlan.ts';
import { type Cutoffs, DEFAULT_FILTER, NO_FILTER } from '../../../src/model/dayPlan.ts';
import type { MarkerRun } from '../../../src/model/markerRuns.ts';
import { rereadRecord } from '../../../src/model/storedRecord.ts';
import { storedRunSchema } from '../../../src/model/storedRun.ts';
import { analyseDay, type DayOptions } from '../../../src/pipeline/analyseDay.ts';
import { filterText } from '../../../src/pipeline/filterText.ts';
import { headlineOf } from '../../../src/pipeline/headline.ts';
import type { DayIo } from '../../../src/pipeline/io.ts';
import { parseOrders } from '../../../src/pipeline/orders.ts';
import { runRecordText } from '../../../src/pipeline/runRecord.ts';
import { storedRecordText } from '../../../src/tables/storedRecord.ts';
import { recordOf } from '../tables/fixture.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day/wren');
const FILES: ReadonlyMap<string, Uint8Array> = new Map([
  ['static.c3d', readFileSync(join(SAMPLES, '0-static.c3d'))],
  ['b.c3d', readFileSync(join(SAMPLES, '1-driver-1.c3d'))],
  ['a.c3d', readFileSync(join(SAMPLES, '2-iron7-1.c3d'))],
]);

function planOf(text: string, listing = [...FILES.keys()]): DayPlan {
  const { plan, problems } = readDay(
    `swingbasis: 1\nday: d\nplayers: [{id: w, hand: right}]\nlab: {target: +X}\n${text}`,
    {
      file: 'day.yaml',
      listing,
    },
  );
  expect(problems).toEqual([]);
  return plan!;
}

const PLAN = planOf(`clubs: [{id: dr, kind: driver}, {id: i7, kind: iron}]
trials:
  - {file: b.c3d, club: dr}
  - {file: a.c3d, club: i7}
  - {file: static.c3d, role: static}
`);

interface Told {
  readonly opened: string[];
  closed: number;
}

function ioOf(told: Told, more: Partial<DayIo> = {}): DayIo {
  return {
    open(path) {
      told.opened.push(path);
      const bytes = FILES.get(path);
      if (bytes === undefined) throw Object.assign(new Error(`${path} cannot be opened`), { name: 'FileError' });
      return {
        ...bytesSource(bytes),
        close() {
          told.closed += 1;
        },
      };
    },
    sha256(source) {
      const bytes = new Uint8Array(source.size);
      source.read(0, source.size, bytes);
      return createHash('sha256').update(bytes).digest('hex');
    },
    pause: async () => {},
    program: { name: 'swingbasis', version: '0' },
    libraries: { zod: '4', commander: '14' },
    ...more,
  };
}

const QUICK: DayOptions = { orders: [], strict: false, analyse: (trial) => recordOf(trial.head.trial) };

describe('a day', () => {
  it('begins with the static trial, gives results by trial id and closes every file', async () => {
    const told: Told = { opened: [], closed: 0 };
    const calibrated: (string | null)[] = [];
    const progress: string[] = [];
    const result = await analyseDay(
      PLAN,
      ioOf(told),
      {
        ...QUICK,
        analyse: (trial, plan) => {
          calibrated.push(plan.calibration?.source ?? null);
          return recordOf(trial.head.trial);
        },
      },
      ({ done, total, outcome }) => progress.push(`${done}/${total} ${outcome.trial}`),
    );
    expect(told.opened).toEqual(['static.c3d', 'b.c3d', 'a.c3d']);
    expect(told.closed).toBe(3);
    expect(calibrated).toEqual(['static', 'static']);
    expect(progress).toEqual(['1/3 static', '2/3 b', '3/3 a']);
    expect(result.outcomes.map(({ trial, status }) => `${trial} ${status}`)).toEqual([
      'a used',
      'b used',
      'static used',
    ]);
    expect(result.records.map(({ head }) => head.trial)).toEqual(['a', 'b']);
    expect(result.outcomes[2]).toMatchObject({ record: null, frames: 72, head: { player: 'w' } });
  });

  it('is not stopped by a failure of the program in one trial, which is said to be its own', async () => {
    const told: Told = { opened: [], closed: 0 };
    const { outcomes } = await analyseDay(PLAN, ioOf(told), {
      ...QUICK,
      analyse: (trial) => {
        if (trial.head.trial === 'b') throw new TypeError('x is undefined');
        return recordOf(trial.head.trial);
      },
    });
    expect(outcomes[1]).toMatchObject({
      status: 'failed',
      reason: expect.stringMatching(/please report it$/) as string,
    });
    expect(outcomes[1]!.diagnostics.map(({ code }) => code)).toContain('program-error');
    expect(outcomes[0]!.status).toBe('used');
    expect(told.closed).toBe(3);
  });

  it('keeps the quality of a swing that is analysed but not used, and reads it back from the run record', async () => {
    const runs: readonly MarkerRun[] = [[3, 7, 'rigid']];
    const { outcomes, ...result } = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), {
      ...QUICK,
      analyse: (trial) => {
        const record = recordOf(trial.head.trial);
        if (trial.head.trial !== 'b') return record;
        const quality = [{ ...record.quality[0]!, noise_m: 0.001, missing: 5, filled: 5, runs }];
        return { ...record, moments: {}, quality };
      },
    });
    const [used, rejected] = outcomes;
    expect(used).not.toHaveProperty('quality');
    expect(rejected).toMatchObject({ status: 'rejected', record: null });
    expect(rejected?.quality).toMatchObject({ trial: 'b', moments: {}, markers: [{ marker: 'IJ', runs }], faults: [] });
    const text = runRecordText({ outcomes, ...result }, [], { curves: false, strict: false, orders: [] });
    const run = storedRunSchema.parse(JSON.parse(text));
    expect(run.without_record?.find(({ trial }) => trial === 'b')?.quality).toEqual(rejected?.quality);
    expect(run.without_record?.find(({ trial }) => trial === 'static')).not.toHaveProperty('quality');
  });

  it('names a file that went away meanwhile', async () => {
    const plan = planOf('trials: [{file: gone.c3d}]\n', ['gone.c3d']);
    const { outcomes } = await analyseDay(plan, ioOf({ opened: [], closed: 0 }), QUICK);
    expect(outcomes[0]).toMatchObject({ status: 'failed', reason: 'gone.c3d cannot be opened', sha256: '' });
  });

  it('without a usable static trial fixes joint centres from each swing and says so', async () => {
    const plan = planOf(
      'clubs: [{id: dr, kind: driver}]\ntrials: [{file: b.c3d, club: dr}, {file: s.c3d, role: static}]\n',
      ['b.c3d', 's.c3d'],
    );
    const calibrations: unknown[] = [];
    const { outcomes } = await analyseDay(plan, ioOf({ opened: [], closed: 0 }), {
      ...QUICK,
      analyse: (trial, given) => {
        calibrations.push(given.calibration);
        return recordOf(trial.head.trial);
      },
    });
    expect(calibrations).toEqual([null]);
    expect(outcomes[0]!.diagnostics.map(({ code }) => code)).toContain('static-not-used');
    expect(outcomes[1]!.status).toBe('failed');
  });

  it('leaves out what is not used and trials with use: no, without calling it an error', async () => {
    const plan = planOf('trials: [{file: a.c3d, use: no}, {file: b.c3d, role: calibration}]\n');
    const { outcomes } = await analyseDay(plan, ioOf({ opened: [], closed: 0 }), QUICK);
    expect(outcomes.map(({ status, reason }) => `${status}: ${reason}`)).toEqual([
      'left-out: left out in the day file',
      'left-out: a calibration trial needs club: it shows the face or the shaft of one',
    ]);
  });

  it('rejects a recording without a swing', async () => {
    const missing = { found: false, why: { code: 'x', needed: 'the shaft' } } as const;
    const analyse: DayOptions['analyse'] = (trial) =>
      recordOf(trial.head.trial, { moments: { P4: missing, P7: missing } });
    const { outcomes } = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), { ...QUICK, analyse });
    expect(outcomes[0]).toMatchObject({
      status: 'rejected',
      reason: 'no swing was found in the recording: neither the top nor impact (the shaft)',
      record: null,
    });
  });

  it('with strict rejects a trial for its first warning and names the code', async () => {
    const diagnostics = [
      { code: 'fine', severity: 'info', message: 'm', offset: null },
      { code: 'doubt', severity: 'warning', message: 'is doubtful', offset: null },
    ] as const;
    const analyse: DayOptions['analyse'] = (trial) =>
      recordOf(trial.head.trial, trial.head.trial === 'a' ? { diagnostics } : {});
    const { outcomes } = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), { ...QUICK, analyse, strict: true });
    expect(outcomes[0]).toMatchObject({ status: 'rejected', reason: 'refused with --strict: is doubtful (doubt)' });
    expect(outcomes[1]).toMatchObject({ status: 'used' });
  });

  it('ends where the pause is interrupted', async () => {
    let calls = 0;
    const pause = async () => {
      calls += 1;
      if (calls === 2) throw new Error('stop');
    };
    const told: Told = { opened: [], closed: 0 };
    await expect(analyseDay(PLAN, ioOf(told, { pause }), QUICK)).rejects.toThrow('stop');
    expect(told.opened).toEqual(['static.c3d']);
    expect(told.closed).toBe(1);
  });

  it('gives a trial the same record whatever was run before it: reused memory does not show', async () => {
    const options: DayOptions = { orders: parseOrders('thorax:ZXY'), strict: false };
    const turned: DayPlan = { ...PLAN, trials: [...PLAN.trials].reverse() };
    const first = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), options);
    const second = await analyseDay(turned, ioOf({ opened: [], closed: 0 }), options);
    expect(second.records).toEqual(first.records);
    expect(headlineOf(first.comparisons[0]!)).toMatch(
      /^no comparison: only 1 swing|^no comparison: |^No verdict: fewer than 5 swings/,
    );
  });
});

describe('the run record', () => {
  it('has inputs and libraries by code unit, and no clock', async () => {
    const result = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), QUICK);
    const inputs = [
      { path: 'b', bytes: 2, sha256: 'x' },
      { path: 'B', bytes: 1, sha256: 'y' },
    ];
    const text = runRecordText(result, inputs, { curves: true, strict: false, orders: parseOrders('pelvis:XYZ') });
    expect(JSON.parse(text)).toMatchObject({
      program: 'swingbasis',
      version: '0',
      tables: 1,
      day: 'd',
      date: null,
      options: { curves: true, strict: false, orders: ['pelvis:XYZ'] },
      inputs: [inputs[1], inputs[0]],
      trials: { used: 3, left_out: 0, rejected: 0, failed: 0 },
      libraries: { commander: '14', zod: '4' },
      checkpoints: { set: 'default', file: null, sha256: null },
    });
    expect(text.indexOf('commander')).toBeLessThan(text.indexOf('zod'));
  });
});

describe('the value of --orders', () => {
  it('asks for one order of every rotation, or for orders of single ones, each once', () => {
    expect(parseOrders('zxy').map(({ segment, order }) => `${segment}:${order}`)).toEqual([
      'pelvis:ZXY', 'thorax:ZXY', 'head:ZXY', 'trunk:ZXY', 'neck:ZXY',
    ]); // biome-ignore format: one glance
    expect(parseOrders('thorax:XYZ, thorax=XYZ,')).toEqual([{ segment: 'thorax', order: 'XYZ' }]);
    expect(parseOrders('')).toEqual([]);
  });
  it.each([
    ['XXY', '"XXY" is none of the orders'],
    ['neck:XYA', 'did you mean XYZ?'],
    [
      'nek:XYZ',
      '"nek" is none of pelvis, thorax, head, trunk, neck or of the limbs, such as lead_knee or trail_foot; did you mean neck?',
    ],
    ['lead_kne:XYZ', 'did you mean lead_knee?'],
    ['a:b:c', '"a:b:c" is not an order; write ZXY or thorax:ZXY'],
  ])('%s is refused', (text, message) => {
    expect(() => parseOrders(text)).toThrow(message);
  });
});

describe('the smoothing in words', () => {
  it('joins groups of one cutoff, says none, and says where trials differ', () => {
    const usual = 'zero-lag low-pass: trunk, head, legs 12 Hz; upper arm 15 Hz; forearm 20 Hz; club none';
    expect(filterText([DEFAULT_FILTER, { ...DEFAULT_FILTER }])).toBe(usual);
    const none = 'zero-lag low-pass: trunk, head, legs, upper arm, forearm none; club none';
    expect(filterText([NO_FILTER])).toBe(none);
    expect(filterText([DEFAULT_FILTER, NO_FILTER])).toBe(`smoothing differs between trials: ${usual} | ${none}`);
    expect(filterText([])).toBe('');
  });

  it('gives the range and the median of cutoffs that swings chose, with the rule', () => {
    const chosen = { trunk_Hz: 'residual', head_Hz: 'cross-validation' } as const;
    const of = (trunk_Hz: number): Cutoffs => ({ ...DEFAULT_FILTER, trunk_Hz, head_Hz: 9, chosen });
    expect(filterText([of(11), of(9.5), of(10)])).toBe(
      'zero-lag low-pass: trunk 9.5–11 Hz (median 10) by residual analysis; head 9 Hz of a cross-validated quintic spline; legs 12 Hz; upper arm 15 Hz; forearm 20 Hz; club none; chosen in each swing by itself',
    );
    expect(filterText([of(11), { ...of(11), chosen: { head_Hz: 'cross-validation' } }])).toContain(
      'smoothing differs between trials: ',
    );
  });

  it('is in the record of each swing, in run.json and in words where a rule chose, and nowhere else', async () => {
    const plan = planOf(`clubs: [{id: dr, kind: driver}, {id: i7, kind: iron}]
filter: {trunk_Hz: residual, forearm_Hz: autocorrelation, upper_arm_Hz: cross-validation}
trials:
  - {file: b.c3d, club: dr}
  - {file: a.c3d, club: i7, filter: {trunk_Hz: 11, forearm_Hz: 18, upper_arm_Hz: 14}}
  - {file: static.c3d, role: static}
`);
    const result = await analyseDay(plan, ioOf({ opened: [], closed: 0 }), { orders: [], strict: false });
    const [a, b] = result.records;
    expect(a).not.toHaveProperty('smoothing');
    expect(b!.smoothing).toMatchObject({
      head_Hz: 12,
      legs_Hz: 12,
      chosen: { trunk_Hz: 'residual', forearm_Hz: 'autocorrelation', upperArm_Hz: 'cross-validation' },
    });
    for (const key of ['trunk_Hz', 'forearm_Hz', 'upperArm_Hz'] as const) {
      expect(b!.smoothing![key]).toBeGreaterThanOrEqual(6);
      expect(b!.smoothing![key]).toBeLessThanOrEqual(30);
    }
    expect(rereadRecord(storedRecordText(b!))).toEqual({
      ok: true,
      value: expect.objectContaining({ smoothing: b!.smoothing }),
    });
    const run = JSON.parse(runRecordText(result, [], { curves: true, strict: false, orders: [] }));
    expect(run.smoothing).toEqual([{ trial: 'b', ...b!.smoothing }]);
    expect(run.comparison.players[0].smoothing).toMatch(
      /^smoothing differs between trials: .* by residual analysis.* \| .*trunk 11 Hz;/,
    );
    const set = await analyseDay(PLAN, ioOf({ opened: [], closed: 0 }), { orders: [], strict: false });
    expect(JSON.parse(runRecordText(set, [], { curves: true, strict: false, orders: [] }))).not.toHaveProperty(
      'smoothing',
    );
  });
});
