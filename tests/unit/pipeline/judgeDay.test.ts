import { describe, expect, it } from 'vitest';
import { contentKey, gateFindings } from '../../../src/compare/gateReadings.ts';
import { type ClubKind, type DayPlan, DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { Fault } from '../../../src/model/faults.ts';
import { GATE_RULE_IDS, type GateRuleId, gateRule } from '../../../src/model/gateRules.ts';
import { isBeyond, limitOf } from '../../../src/model/gates.ts';
import type { MarkerRun } from '../../../src/model/markerRuns.ts';
import type { Outlying } from '../../../src/model/outlying.ts';
import { reread } from '../../../src/model/storedRecord.ts';
import { storedRunSchema } from '../../../src/model/storedRun.ts';
import type { SwingRecord, TrialOutcome } from '../../../src/model/swingRecord.ts';
import type { MarkerQuality } from '../../../src/model/trial.ts';
import { qualityOf } from '../../../src/model/trialQuality.ts';
import { type JudgedBy, judgeDay as judgeBriefs } from '../../../src/pipeline/judgeDay.ts';
import { runRecordText } from '../../../src/pipeline/runRecord.ts';
import { briefOf, briefOutcome } from '../../../src/pipeline/swingBrief.ts';
import { trialPlan } from '../../support/plans.ts';
import { allMoments, cellOf, momentOf, notFound, swingRecord } from '../../support/swingRecords.ts';

/** A swing that no rule minds: values of a common swing, in display units. */
const GOOD: Readonly<Record<string, number>> = {
  'pelvis.turn@P1': 2,
  'pelvis.forward_bend@P1': 20,
  'thorax.forward_bend@P1': 38,
  'thorax.side_bend@P7': 30,
  'club.head_speed@swing': 40,
  'tempo.backswing@swing': 0.9,
  'tempo.downswing@swing': 0.27,
  'tempo.ratio@swing': 3.3,
};

let made = 0;

/** Each made swing has times of its own, as recorded ones have. */
function swing(changes: Partial<SwingRecord> = {}, values: Readonly<Record<string, number>> = {}): SwingRecord {
  made += 1;
  const trial = `t${String(made).padStart(2, '0')}`;
  const base = swingRecord({ trial, club: 'driver', kind: 'driver', order: made, values: { ...GOOD, ...values } });
  const moments = { ...allMoments(), P2: momentOf('P2', { time_s: 0.1 + made / 1000 }) };
  return { ...base, moments, ...changes };
}

function outcome(record: SwingRecord, changes: Partial<TrialOutcome> = {}): TrialOutcome {
  const { trial, file, player, club, kind, set, role } = record.head;
  const sha256 = trial.padEnd(64, '0');
  return {
    trial, file, sha256, player, club, kind, set, role, status: 'used', reason: '', record, diagnostics: [], ...changes,
  }; // biome-ignore format: one glance
}

/** Outcomes as the day holds them; the quality of what is rejected comes from the whole record. */
function judgeDay(outcomes: readonly TrialOutcome[], plan: JudgedBy) {
  const whole = new Map(outcomes.map(({ trial, record }) => [trial, record]));
  return judgeBriefs(outcomes.map(briefOutcome), plan, ({ trial }) => qualityOf(whole.get(trial)!));
}

function rulesOf(record: SwingRecord, plan: Partial<JudgedBy> = {}): readonly GateRuleId[] {
  const [judged] = judgeDay([outcome(record)], { trials: [], ...plan });
  return judged!.gate!.reasons.map(({ rule }) => rule);
}

function quality(marker: string, noise_mm: number): MarkerQuality {
  return { marker, frames: 480, missing: 0, filled: 0, longestGap_s: 0, noise_m: noise_mm / 1000, flags: [] };
}

/** A marker with stretches that are not measured. */
function lost(marker: string, ...runs: readonly MarkerRun[]): MarkerQuality {
  return { ...quality(marker, 0.5), runs };
}

const kept = (code: Fault['code']): Fault => ({ code, markers: [], frames: [], action: 'kept', detail: 'found' });

const missing = (position: 'P1' | 'P4' | 'P5.5' | 'P7'): Partial<SwingRecord> => ({
  moments: { ...allMoments(), [position]: notFound('the shaft') },
});

/** What trips each rule and what just does not. Of rules with a limit: the value at the limit passes. */
const CASES: Readonly<
  Record<Exclude<GateRuleId, 'same-content' | 'content-named-twice'>, [trips: SwingRecord, passes: SwingRecord]>
> = {
  // 240 Hz, P4 at 0.3 s, P7 at 0.8 s: P4 falls just behind frame 72: frames 73 to 192, 120 of them
  'marker-lost-in-downswing': [
    swing({ quality: [lost('L_PSIS', [73, 103, 'spline'])] }),
    swing({ quality: [lost('L_PSIS', [0, 102, 'missing'], [150, 192, 'rigid']), lost('L_EL', [72, 192, 'spline'])] }),
  ],
  'markers-lost-in-downswing': [
    swing({ quality: [lost('CLUB_GRIP', [73, 121, 'rigid']), lost('IJ')] }),
    swing({ quality: [lost('CLUB_GRIP', [73, 120, 'rigid'], [193, 200, 'missing']), lost('IJ')] }),
  ],
  'most-lost-in-downswing': [
    swing({ quality: [lost('R_ASIS', [72, 192, 'rigid']), lost('IJ', [71, 73, 'missing'])] }),
    swing({
      quality: [lost('R_ASIS', [72, 192, 'rigid']), lost('IJ'), { ...lost('T8', [0, 479, 'rigid']), missing: 480 }],
    }),
  ],
  'marker-noise': [
    swing({ quality: [quality('L_ASIS', 3.1)] }),
    swing({ quality: [quality('L_ASIS', 3), quality('L_TOE', 9)] }),
  ],
  'marker-noise-extreme': [swing({ quality: [quality('C7', 10.5)] }), swing({ quality: [quality('C7', 10)] })],
  'no-address': [swing(missing('P1')), swing()],
  'no-top': [
    swing(missing('P4')),
    swing({ moments: { ...allMoments(), P4: notFound('the shaft'), 'P4(arm)': momentOf('P4(arm)') } }),
  ],
  'no-late-downswing': [
    swing(missing('P5.5')),
    swing({
      moments: {
        ...allMoments(),
        P4: notFound('the shaft'),
        'P5.5': notFound('the shaft'),
        'P4(arm)': momentOf('P4(arm)'),
      },
    }),
  ],
  'no-impact': [swing(missing('P7')), swing()],
  'head-speed-low': [swing({}, { 'club.head_speed@swing': 19.9 }), swing({}, { 'club.head_speed@swing': 20 })],
  'head-speed-high': [swing({}, { 'club.head_speed@swing': 75.1 }), swing({}, { 'club.head_speed@swing': 75 })],
  'turned-at-address': [swing({}, { 'pelvis.turn@P1': -31 }), swing({}, { 'pelvis.turn@P1': 29.9 })],
  'turned-away-at-address': [swing({}, { 'pelvis.turn@P1': 61 }), swing({}, { 'pelvis.turn@P1': -59.9 })],
  'pelvis-bend-at-address': [
    swing({}, { 'pelvis.forward_bend@P1': -16 }),
    swing({}, { 'pelvis.forward_bend@P1': -14.9 }),
  ],
  'chest-bend-at-address': [swing({}, { 'thorax.forward_bend@P1': 76 }), swing({}, { 'thorax.forward_bend@P1': 74.9 })],
  'bend-impossible': [swing({}, { 'thorax.side_bend@P7': -86 }), swing({}, { 'thorax.side_bend@P7': 84.9 })],
  'backswing-time': [swing({}, { 'tempo.backswing@swing': 2.6 }), swing({}, { 'tempo.backswing@swing': 2.5 })],
  'downswing-time': [swing({}, { 'tempo.downswing@swing': 0.11 }), swing({}, { 'tempo.downswing@swing': 0.12 })],
  'tempo-ratio': [swing({}, { 'tempo.ratio@swing': 8.1 }), swing({}, { 'tempo.ratio@swing': 8 })],
  'fault-kept': [
    swing({ faults: [kept('labels-swapped')] }),
    swing({ faults: [{ ...kept('labels-swapped'), action: 'repaired' }] }),
  ],
  'fault-of-whole-trial': [
    swing({ faults: [kept('sides-exchanged')] }),
    swing({ faults: [{ ...kept('sides-exchanged'), action: 'repaired' }] }),
  ],
};

describe('the rules of the gates', () => {
  it('mind nothing of a common swing', () => {
    expect(rulesOf(swing())).toEqual([]);
  });
  it.each(Object.entries(CASES))('%s trips where it should and not just before', (rule, [trips, passes]) => {
    expect(rulesOf(trips)).toContain(rule);
    expect(rulesOf(passes)).not.toContain(rule);
  });
  it('every rule has a case here, or is of two swings', () => {
    expect(Object.keys(CASES).concat('same-content', 'content-named-twice').sort()).toEqual([...GATE_RULE_IDS].sort());
  });
  it.each(Object.entries(CASES))('%s can be switched off in the day file', (rule, [trips]) => {
    expect(rulesOf(trips, { gates: { [rule]: 'off' } })).not.toContain(rule);
  });
  it('a limit of the day file takes the place of the table’s, for every kind of club', () => {
    expect(rulesOf(swing(), { gates: { 'head-speed-high': 39 } })).toEqual(['head-speed-high']);
    expect(rulesOf(swing(), { gates: { 'downswing-time': [0.3, 0.5] } })).toEqual(['downswing-time']);
  });
  it('a value that is missing trips nothing by itself', () => {
    const bare = swing({ cells: [cellOf('club.head_speed@swing', null)], quality: [quality('C7', Number.NaN)] });
    expect(rulesOf(bare)).toEqual([]);
  });
  it('a rate that contradicts the swing is said once, not again by each time', () => {
    const slow = { 'tempo.downswing@swing': 0.9, 'tempo.ratio@swing': 0.5 };
    expect(rulesOf(swing({ faults: [kept('rate-contradicts-swing')] }, slow))).toEqual(['fault-kept']);
    expect(rulesOf(swing({}, slow))).toEqual(['downswing-time', 'tempo-ratio']);
  });
  it('speeds are judged by the kind of club, and not where none is known', () => {
    const speeds: Readonly<Record<ClubKind, [low: number, high: number]>> = {
      driver: [20, 75], wood: [18, 70], hybrid: [16, 65], iron: [14, 65], wedge: [6, 60], putter: [0.3, 10],
    }; // biome-ignore format: one glance
    for (const [kind, [low, high]] of Object.entries(speeds) as [ClubKind, [number, number]][]) {
      const judged = (value: number): readonly GateRuleId[] => {
        const record = swing({}, { 'club.head_speed@swing': value });
        return rulesOf({ ...record, head: { ...record.head, kind } });
      };
      expect([judged(low - 0.01), judged(low), judged(high), judged(high + 0.01)]).toEqual([
        ['head-speed-low'],
        [],
        [],
        ['head-speed-high'],
      ]);
    }
    expect(limitOf('head-speed-low', null, {})).toBe('off');
  });
  it('every limit is on the right side of the values of a common swing, and has a reason and a way out', () => {
    for (const id of GATE_RULE_IDS) {
      const { reason, whatToDo, looksAt, limit, short } = gateRule(id);
      expect([reason.endsWith('.'), whatToDo.endsWith('.'), looksAt.length > 0]).toEqual([true, true, true]);
      expect(short === '', id).toBe(limit === null);
      for (const { rule, found } of gateFindings(swing())) {
        const own = limitOf(rule, 'driver', {});
        if (rule === id && found !== null && own !== null && own !== 'off') expect(isBeyond(found, own)).toBe(false);
      }
    }
  });
});

describe('the verdict', () => {
  it('is the gravest of what trips; the words say what, how much and against what', () => {
    const record = swing({ quality: [quality('C7', 12)] }, { 'tempo.ratio@swing': 9.26 });
    const [judged] = judgeDay([outcome(record)], { trials: [] });
    expect(judged!.gate).toMatchObject({ verdict: 'reject', setBy: 'rules', note: '' });
    expect(judged!.gate!.reasons.map(({ text }) => text)).toEqual([
      'marker noise 12.0 mm (C7), more than 3 mm',
      'marker noise 12.0 mm (C7), more than 10 mm',
      'backswing over downswing 9.3, outside 1 to 8',
    ]);
  });
  it('a rejected swing has no record, keeps what is known, and says why and what to do', () => {
    const record = swing({}, { 'club.head_speed@swing': 96.2 });
    const [judged] = judgeDay([outcome(record)], { trials: [] });
    expect(judged).toMatchObject({ status: 'rejected', record: null, head: record.head, frames: 480 });
    expect(judged!.reason).toBe(
      `head speed 96.2 m/s, more than 75 m/s (head-speed-high). ${gateRule('head-speed-high').whatToDo.slice(0, -1)}`,
    );
  });
  it('a swing for review stays used and keeps its record', () => {
    const record = swing(missing('P1'));
    const [judged] = judgeDay([outcome(record)], { trials: [] });
    expect(judged).toMatchObject({ status: 'used', reason: '', record: briefOf(record), gate: { verdict: 'review' } });
    expect(judged!.gate!.reasons[0]!.text).toBe('address (P1) was not found: needs the shaft');
  });
  it('is forced either way by the day file, with its note, and what was found stays', () => {
    const bad = swing({}, { 'club.head_speed@swing': 96.2 });
    const good = swing();
    const trials = [
      { id: bad.head.trial, gate: 'accept' as const, note: 'radar says 43' },
      { id: good.head.trial, gate: 'reject' as const, note: 'topped' },
    ];
    const [accepted, refused] = judgeDay([outcome(bad), outcome(good)], { trials });
    expect(accepted).toMatchObject({ status: 'used', record: briefOf(bad) });
    expect(accepted!.gate).toMatchObject({ verdict: 'accept', setBy: 'day file', note: 'radar says 43' });
    expect(accepted!.gate!.reasons.map(({ rule }) => rule)).toEqual(['head-speed-high']);
    expect(refused).toMatchObject({ status: 'rejected', record: null, reason: 'rejected by hand: topped' });
    expect(refused!.gate).toMatchObject({ verdict: 'reject', setBy: 'day file', reasons: [] });
  });
  it('cannot accept what could not be worked out, and says so', () => {
    const failed = outcome(swing(), { status: 'failed', reason: 'too short', record: null });
    const trials = [{ id: failed.trial, gate: 'accept' as const, note: '' }];
    expect(judgeDay([failed], { trials })[0]).toMatchObject({
      status: 'failed',
      reason: 'too short; gate: accept cannot help, since nothing could be worked out',
    });
    expect(judgeDay([failed], { trials: [] })[0]).toEqual(failed);
  });
  it('does not depend on the order of the outcomes, and leaves its input alone', () => {
    const first = swing();
    const again = { ...swing(), moments: first.moments };
    const outcomes = [outcome(first), outcome(again), outcome(swing(missing('P7')))];
    const before = structuredClone(outcomes);
    const there = judgeDay(outcomes, { trials: [] });
    const back = judgeDay([...outcomes].reverse(), { trials: [] });
    expect([...back].reverse()).toEqual(there);
    expect(outcomes).toEqual(before);
  });
});

describe('the same content', () => {
  it('as the same file counts once: the first in the order of the day stays', () => {
    const first = swing();
    const copy = swing({}, { 'pelvis.turn@P1': 3 });
    const judged = judgeDay([outcome(copy, { sha256: 'f' }), outcome(first, { sha256: 'f' })], { trials: [] });
    expect(judged.map(({ status }) => status)).toEqual(['rejected', 'used']);
    expect(judged[0]!.reason).toContain(`the same file as ${first.head.trial} (same-content)`);
    expect(judged[1]!.gate!.verdict).toBe('accept');
  });
  it('as the same samples in another file counts once too', () => {
    const first = swing();
    const copy = { ...swing(), moments: first.moments };
    const [kept, rejected] = judgeDay([outcome(first), outcome(copy)], { trials: [] });
    expect([kept!.status, rejected!.status]).toEqual(['used', 'rejected']);
    expect(rejected!.reason).toContain(`the same samples as ${first.head.trial}`);
  });
  it('under another club marks the first as well: it cannot be both', () => {
    const first = swing();
    const copy = { ...swing(), moments: first.moments };
    const [kept] = judgeDay([outcome(first), outcome(copy, { club: 'iron7' })], { trials: [] });
    expect(kept).toMatchObject({ status: 'used', gate: { verdict: 'review' } });
    expect(kept!.gate!.reasons[0]!.text).toBe(
      `${copy.head.trial} holds the same samples as a swing of wren, iron7, set day`,
    );
  });
  it('of a swing that is rejected by hand does not cost the one that is meant', () => {
    const first = swing();
    const meant = swing();
    const trials = [{ id: first.head.trial, gate: 'reject' as const, note: 'wrong club' }];
    const judged = judgeDay([outcome(first, { sha256: 'f' }), outcome(meant, { sha256: 'f' })], { trials });
    expect(judged.map(({ status }) => status)).toEqual(['rejected', 'used']);
  });
  it('is not claimed of swings whose times differ in the last digit, nor of such of which little is known', () => {
    const first = swing();
    const near = { ...first, moments: { ...first.moments, P2: momentOf('P2', { time_s: 0.1 + made / 1000 + 1e-15 }) } };
    expect(contentKey(near)).not.toBe(contentKey(first));
    expect(contentKey(swing({ moments: {}, cells: [] }))).toBe('');
  });
});

describe('run.json', () => {
  it('keeps the gates that say more than accepted, and what stands apart, and gives them back equal', () => {
    const marked = swing(missing('P1'));
    const byHand = swing();
    const apart = swing();
    const plain = swing();
    const trials = [{ ...trialPlan({ id: byHand.head.trial, note: 'seen' }), gate: 'accept' as const }];
    const outlying: Outlying = {
      group: 'driver',
      swings: 8,
      distance: 4.25,
      limit: 2.7,
      values: [{ quantity: 'thorax.side_bend', position: 'P7', unit: 'deg', deviation: 6.5 }],
    };
    const outcomes = judgeDay(
      [marked, byHand, apart, plain].map((record) => outcome(record)),
      { trials },
    ).map((one) => (one.trial === apart.head.trial ? { ...one, outlying } : one));
    const plan: DayPlan = { day: 'd', date: null, players: [], clubs: [], trials, compare: DEFAULT_COMPARE };
    const result = {
      plan,
      outcomes,
      records: [],
      comparisons: [],
      program: { name: 'swingbasis', version: '0' },
      libraries: {},
    };
    const read = reread(runRecordText(result, [], { curves: false, strict: false, orders: [] }), storedRunSchema);
    if (!read.ok) throw new Error(read.problem);
    const of = (record: SwingRecord) => outcomes.find(({ trial }) => trial === record.head.trial)!;
    expect(read.value.gates).toEqual([
      { trial: marked.head.trial, gate: of(marked).gate },
      { trial: byHand.head.trial, gate: of(byHand).gate },
      { trial: apart.head.trial, outlying },
    ]);
  });
});
