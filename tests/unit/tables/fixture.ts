import type { ComparisonRow, PlayerComparison } from '../../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord, TrialOutcome } from '../../../src/model/swingRecord.ts';
import type { SwingSeries } from '../../../src/model/swingSeries.ts';
import type { TrialHead } from '../../../src/model/trial.ts';

export function headOf(trial: string): TrialHead {
  const fact = <T>(value: T) => ({ value, source: 'set', evidence: '' }) as const;
  return {
    trial,
    file: `${trial}.c3d`,
    player: 'auk',
    club: 'dr',
    kind: 'driver',
    set: '=first, "one"',
    role: 'swing',
    order: 0,
    facts: {
      units: fact('mm'),
      rate_Hz: fact(240),
      up: fact('+Y'),
      target: fact('-Z'),
      hand: fact('right'),
      mirrored: fact(false),
    },
    substitutions: [],
  };
}

export function recordOf(trial: string, more: Partial<SwingRecord> = {}): SwingRecord {
  return {
    head: headOf(trial),
    sha256: 'ab'.repeat(32),
    datum: { kind: 'anatomical', id: 'isb' },
    form: 'full',
    headPoint: null,
    frames: 480,
    moments: {
      P1: {
        found: true,
        time_s: 0.5,
        sd_s: 0.001,
        method: 'stillness',
        confidence: 0.9,
        flags: [],
        window_s: [0.4, 0.5],
        eventOffset_s: null,
      },
      P7: {
        found: true,
        time_s: 1.5,
        sd_s: 0.0001,
        method: 'ball-contact',
        confidence: 1,
        flags: ['late'],
        window_s: null,
        eventOffset_s: -0.0021,
      },
      P2: { found: false, why: { code: 'no-shaft', needed: 'two shaft markers' } },
    },
    cells: [
      {
        quantity: 'pelvis.turn',
        position: 'P4',
        value: -Math.PI / 4,
        plusMinus: 0.001,
        order: 'YXZ',
        unit: 'deg',
        flags: ['a', 'b'],
        why: null,
      },
      {
        quantity: 'pelvis.rise',
        position: 'P4',
        value: -0.0000001,
        plusMinus: null,
        order: null,
        unit: 'mm',
        flags: [],
        why: null,
      },
      {
        quantity: 'club.path',
        position: 'swing',
        value: null,
        plusMinus: null,
        order: null,
        unit: 'deg',
        flags: [],
        why: { code: 'target-assumed', needed: 'the target line' },
      },
    ],
    curveBase: { times_s: Float64Array.from({ length: 81 }, (_, i) => (i === 0 ? Number.NaN : i / 100)), shared: [] },
    curves: [
      {
        quantity: 'pelvis.turn',
        unit: 'deg',
        order: 'YXZ',
        values: Float64Array.from({ length: 81 }, (_, i) => (i * Math.PI) / 180),
      },
    ],
    figures: [],
    poses: {},
    quality: [
      {
        marker: 'IJ',
        frames: 480,
        missing: 3,
        filled: 2,
        longestGap_s: 0.0125,
        noise_m: Number.NaN,
        flags: ['x', 'y'],
      },
    ],
    diagnostics: [],
    ...more,
  };
}

/** Three frames of a swing: a turn that is missing once and near a singular position once, and a place. */
export function seriesOf(trial: string): SwingSeries {
  const none = { order: null, flags: [], singular: null, filled: null } as const;
  return {
    trial,
    clock: { rate_Hz: 240, frames: 3 },
    quantities: [
      {
        quantity: 'pelvis.turn',
        unit: 'deg',
        order: 'YXZ',
        values: Float64Array.of(0, Number.NaN, -Math.PI / 4),
        flags: ['target-assumed'],
        singular: Uint8Array.of(0, 0, 1),
        filled: Uint8Array.of(2, 0, 3),
      },
      { quantity: 'pelvis.rise', unit: 'mm', ...none, values: Float64Array.of(0, -1e-10, 0.0123456) },
    ],
    angles: [],
    points: [],
    segments: [],
    file: null,
  };
}

export function outcomeOf(trial: string, more: Partial<TrialOutcome> = {}): TrialOutcome {
  return {
    trial,
    file: `${trial}.c3d`,
    sha256: 'cd'.repeat(32),
    player: 'auk',
    club: null,
    kind: null,
    set: '',
    role: 'swing',
    status: 'used',
    reason: '',
    record: null,
    diagnostics: [],
    ...more,
  };
}

export const ROW: ComparisonRow = {
  quantity: 'pelvis.turn',
  position: 'P4',
  basis: 'change',
  unit: 'deg',
  order: 'YXZ',
  nGroup: 6,
  nReference: 7,
  meanGroup: 1,
  meanReference: 2.00049,
  sdGroup: 0.5,
  sdReference: 0.25,
  difference: -1.00049,
  low95: -2,
  high95: -0.0001,
  low90: -1.5,
  high90: -0.5,
  hedgesG: -1.23456,
  margin: 2,
  marginRule: 'default',
  sdWithin: 0.2,
  mdc: 0.55,
  detectable: 1.1,
  p: 0.000001,
  pBeyond: 0.5,
  pWithin: 0.04,
  pAdjusted: 0.1,
  pBeyondAdjusted: 1,
  family: 'change-screening',
  verdict: 'undecided',
  outsideUsual: true,
  excludesBeyond: 2,
  moreSwings: { count: 41, club: 'dr' },
  pPermutation: 0.02,
  bcaLow95: -1.9,
  bcaHigh95: -0.0002,
  gLow95: -2.5,
  gHigh95: -0.05,
  trend: {
    clubs: ['iron7', 'wood3'],
    length_m: 1.14,
    slopePer10cm: 0.5,
    expected: 3.5,
    low95: 2,
    high95: 5,
    difference: -2.5,
    differenceLow95: -4.5,
    differenceHigh95: -0.5,
    verdict: 'none',
    reason: 'too uncertain to judge',
  },
  flags: [],
  reason: '1 swing lacked the value',
};

export function comparisonOf(player: string, rows: readonly ComparisonRow[]): PlayerComparison {
  return {
    player,
    part: {
      source: 'markers',
      datum: { kind: 'anatomical', id: 'isb' },
      calibration: null,
      label: '',
      suffix: '',
    },
    hand: 'right',
    group: { label: 'driver', clubs: ['dr'], trials: [] },
    reference: { label: 'irons', clubs: ['i7'], trials: [] },
    rows,
    familySizes: { primary: 0, screening: 0, limbs: 0, 'change-primary': 0, 'change-screening': 0, 'change-limbs': 0 },
    firstDepartures: [],
    shares: [],
    drift: [],
    orderOfMotion: null,
    chains: [],
    blocks: [],
    orderConfounded: false,
    curves: [],
    figures: [],
    marks: [],
    times: [],
    counts: { departs: 0, matches: 0, 'differs-slightly': 0, undecided: 0, none: 0 },
    checkpoints: [],
    reason: '',
    notes: [],
    options: DEFAULT_COMPARE,
  };
}
