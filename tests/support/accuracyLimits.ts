/** The limits of definitions 9, each with how it is measured. */
import { CLUB_AT_IMPACT_QUANTITIES } from '../../src/model/quantities/clubAtImpact.ts';
import type { Measured } from './accuracy.ts';
import type { ErrorTable } from './truthCases.ts';

export interface Reading {
  /** Which quantity, position or club figure was the worst. */
  readonly of: string;
  readonly value: number;
}

export interface Limit {
  readonly what: string;
  readonly unit: string;
  readonly read: (measured: Measured) => Reading;
  /** Largest allowed value without noise and filter at 240 Hz, with 1 mm and the default filter at 240 Hz, and at 500 Hz; null: not limited. */
  readonly clean: number | null;
  readonly noisy: number | null;
  readonly noisy500: number | null;
}

const PLANES = ['plane', 'late_plane', 'plane_after'].flatMap((of) => [`club.${of}_slope`, `club.${of}_direction`]);

const TRUNK = /^(pelvis|thorax|head|trunk)\.(turn|side_bend|forward_bend|flexion|axial)@/;

function worst(table: ErrorTable, passes: (name: string) => boolean): Reading {
  const { name, rms } = table.worst(passes);
  return { of: name, value: rms };
}

const times =
  (...positions: readonly string[]) =>
  (measured: Measured): Reading =>
    worst(measured.times, (name) => positions.includes(name));

const figure =
  (...names: readonly string[]) =>
  (measured: Measured): Reading =>
    worst(measured.club, (name) => names.includes(name));

function bias(measured: Measured): Reading {
  const found = ['club.attack', 'club.path'].map((name) => ({
    of: name,
    value: Math.abs(measured.club.at(name).bias),
  }));
  return found[0]!.value > found[1]!.value ? found[0]! : found[1]!;
}

const OF_DEFINITIONS: readonly Limit[] = [
  {
    what: 'angles of pelvis, thorax, head and trunk, at the true time',
    unit: '°',
    read: (m) => worst(m.atTrueTime, (name) => TRUNK.test(name)),
    clean: 0.01,
    noisy: 0.4,
    noisy500: null,
  },
  {
    what: 'all other angles of the catalogue, at the true time',
    unit: '°',
    read: (m) => worst(m.atTrueTime, (name) => !TRUNK.test(name)),
    clean: 0.01,
    noisy: 0.4,
    noisy500: null,
  },
  {
    what: 'any angle at the time found',
    unit: '°',
    read: (m) => worst(m.atFoundTime, () => true),
    clean: 0.02,
    noisy: 0.5,
    noisy500: null,
  },
  {
    what: 'P5, P5.5, P6, P8',
    unit: 'ms',
    read: times('P5', 'P5.5', 'P6', 'P8'),
    clean: 0.02,
    noisy: 0.6,
    noisy500: null,
  },
  { what: 'P2, P3, P9', unit: 'ms', read: times('P2', 'P3', 'P9'), clean: 0.02, noisy: 0.8, noisy500: null },
  { what: 'P4', unit: 'ms', read: times('P4'), clean: 0.5, noisy: 1, noisy500: null },
  { what: 'P7, from the ball', unit: 'ms', read: times('P7'), clean: 0.02, noisy: 0.1, noisy500: null },
  { what: 'P1, P10, by their rule', unit: 'ms', read: times('P1', 'P10'), clean: 2, noisy: 10, noisy500: null },
  {
    what: 'attack angle, path',
    unit: '°',
    read: figure('club.attack', 'club.path'),
    clean: 0.1,
    noisy: 0.5,
    noisy500: 0.35,
  },
  { what: 'attack angle, path: bias', unit: '°', read: bias, clean: null, noisy: 0.15, noisy500: null },
  { what: 'head speed', unit: '%', read: figure('club.head_speed'), clean: 0.1, noisy: 0.9, noisy500: 0.65 },
];

/**
 * Figures that definitions 9 does not name. Without noise as attack and path, and what is fitted to the same samples with them. With noise: face
 * and loft rest on head markers 65 to 105 mm apart, where 1 mm is 1.5 to 2° in one frame; a fit over 60 ms, read at its end, leaves half of it.
 * A rate there is off by that much in some 10 ms (faces of the generator turn at 1,000 to 2,300°/s). The shaft markers are 420 mm apart: 0.2
 * to 0.3° in one frame. A plane has the samples of its whole stretch. Attack turns by 1.3° while the head goes 45 mm: its 0.35° move the
 * lowest point by 12 mm.
 */
const CLUB_LIMITS: readonly Limit[] = [
  {
    what: 'face, loft, face to path, face to velocity',
    unit: '°',
    read: figure('club.face', 'club.loft', 'club.face_to_path', 'club.face_to_velocity'),
    clean: 0.1,
    noisy: 1.2,
    noisy500: 0.9,
  },
  {
    what: 'lie, shaft lean',
    unit: '°',
    read: figure('club.lie', 'club.shaft_lean'),
    clean: 0.1,
    noisy: 0.5,
    noisy500: 0.35,
  },
  { what: 'face turning rate', unit: '°/s', read: figure('club.face_rate'), clean: 10, noisy: 140, noisy500: 120 },
  {
    what: 'slope and direction of planes, before and after impact',
    unit: '°',
    read: figure(...PLANES),
    clean: 0.01,
    noisy: 0.25,
    noisy500: 0.2,
  },
  {
    what: 'path against plane',
    unit: '°',
    read: figure('club.plane_disagreement', 'club.late_plane_disagreement'),
    clean: 0.1,
    noisy: 0.5,
    noisy500: 0.35,
  },
  { what: 'low point', unit: 'mm', read: figure('club.low_point'), clean: 2, noisy: 20, noisy500: 15 },
  {
    what: 'low point by the path after impact',
    unit: 'mm',
    read: figure('club.low_point_after'),
    clean: 4,
    noisy: 20,
    noisy500: 15,
  },
];

export const LIMITS: readonly Limit[] = [...OF_DEFINITIONS, ...CLUB_LIMITS];

/** What has a stated ±: positions and club figures. */
export const COVERED = [
  'P1',
  'P2',
  'P3',
  'P4',
  'P5',
  'P5.5',
  'P6',
  'P7',
  'P8',
  'P9',
  'P10',
  'club.attack',
  'club.path',
  'club.head_speed',
  ...CLUB_AT_IMPACT_QUANTITIES.map(({ id }) => id),
];
/**
 * Carried on past the strike, the low point rests on what the priors of the path allow, which are wider than what paths of the generator do
 * (numeric/pathFit): its ± is too wide rather than too narrow, and may hold the truth always.
 */
export const CAUTIOUS: ReadonlySet<string> = new Set(['club.low_point', 'club.low_point_after']);
/** 90 to 98 % (definitions 9), and one counting error of 200 swings: √(0.9 · 0.1 / 200) below, √(0.98 · 0.02 / 200) above. */
export const COVERAGE_LOW = 0.9 - 0.021;
export const COVERAGE_HIGH = 0.98 + 0.01;
