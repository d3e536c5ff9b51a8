import { CATALOGUE, quantityById } from '../../src/model/catalogue.ts';
import type { ClubKind } from '../../src/model/dayPlan.ts';
import type { HeadPoint } from '../../src/model/motion.ts';
import { type Moment, type MomentMethod, POSITIONS, type PositionId } from '../../src/model/positions.ts';
import { type Cell, CURVE_STEPS, type SwingRecord } from '../../src/model/swingRecord.ts';
import { fromDisplay } from '../../src/model/units.ts';
import { rotationFromAngles } from '../../src/numeric/eulerAngles.ts';
import type { Random } from '../../src/numeric/random.ts';

/** Swing records made up for tests: only what a comparison reads differs from one to the next. */

const METHODS: Readonly<Record<PositionId, MomentMethod>> = {
  P1: 'stillness',
  P2: 'shaft-horizontal',
  P3: 'lead-arm-horizontal',
  P4: 'shaft-reversal',
  'P4(arm)': 'lead-arm-reversal',
  P5: 'lead-arm-horizontal',
  'P5.5': 'shaft-rotation-share',
  P6: 'shaft-horizontal',
  P7: 'ball-contact',
  P8: 'shaft-horizontal',
  P9: 'trail-arm-horizontal',
  P10: 'stillness',
};

export function momentOf(position: PositionId, changes: Partial<Moment & { found: true }> = {}): Moment {
  return {
    found: true,
    time_s: 0.1 * POSITIONS.indexOf(position),
    sd_s: 0.0005,
    method: METHODS[position],
    confidence: 1,
    flags: [],
    window_s: null,
    eventOffset_s: null,
    ...changes,
  };
}

export function notFound(needed: string): Moment {
  return { found: false, why: { code: 'not-found', needed } };
}

/** Every position but P4(arm). */
export function allMoments(): Partial<Record<PositionId, Moment>> {
  return Object.fromEntries(POSITIONS.filter((p) => p !== 'P4(arm)').map((p) => [p, momentOf(p)]));
}

/** A cell from a value in display units; null is missing. */
export function cellOf(key: string, value: number | null, changes: Partial<Cell> = {}): Cell {
  const at = key.indexOf('@');
  const quantity = quantityById(key.slice(0, at));
  return {
    quantity: quantity.id,
    position: key.slice(at + 1) as Cell['position'],
    value: value === null ? null : fromDisplay(value, quantity.unit),
    plusMinus: null,
    order: quantity.order,
    unit: quantity.unit,
    flags: [],
    why: value === null ? { code: 'missing', needed: 'the left and right PSIS' } : null,
    ...changes,
  };
}

export interface MadeSwing {
  readonly trial: string;
  readonly club: string;
  readonly kind: ClubKind;
  readonly order: number;
  /** `quantity@position` → display units. */
  readonly values: Readonly<Record<string, number | null>>;
}

export const FACE_CENTRE: HeadPoint = { kind: 'face-centre', id: 'face-centre' };

export function swingRecord(made: MadeSwing, changes: Partial<SwingRecord> = {}): SwingRecord {
  const fact = <T>(value: T): { value: T; source: 'set'; evidence: string } => ({ value, source: 'set', evidence: '' });
  return {
    head: {
      trial: made.trial,
      file: `${made.trial}.c3d`,
      player: 'wren',
      club: made.club,
      kind: made.kind,
      set: 'day',
      role: 'swing',
      order: made.order,
      facts: {
        units: fact('mm'),
        rate_Hz: fact(240),
        up: fact('+Z'),
        target: fact('+X'),
        hand: fact('right'),
        mirrored: fact(false),
      },
      substitutions: [],
    },
    sha256: '',
    datum: { kind: 'anatomical', id: 'anatomical' },
    form: 'full',
    headPoint: FACE_CENTRE,
    frames: 480,
    moments: allMoments(),
    cells: Object.entries(made.values).map(([key, value]) => cellOf(key, value)),
    curveBase: { times_s: new Float64Array(CURVE_STEPS), shared: [] },
    curves: [],
    figures: [],
    poses: {},
    quality: [],
    diagnostics: [],
    ...changes,
  };
}

/** Display values of the same quantities for each swing, driver first: `wren-d01` …, then irons of two lengths in turn: `wren-i01` …. Orders interleave. */
export function twoGroups(
  driver: readonly Readonly<Record<string, number | null>>[],
  irons: readonly Readonly<Record<string, number | null>>[],
  changes: (trial: string) => Partial<SwingRecord> = () => ({}),
): SwingRecord[] {
  const two = (n: number): string => String(n + 1).padStart(2, '0');
  return [
    ...driver.map((values, i) => {
      const trial = `wren-d${two(i)}`;
      return swingRecord({ trial, club: 'driver', kind: 'driver', order: 2 * i, values }, changes(trial));
    }),
    ...irons.map((values, i) => {
      const trial = `wren-i${two(i)}`;
      const club = i % 2 === 0 ? 'iron7' : 'iron8';
      return swingRecord({ trial, club, kind: 'iron', order: 2 * i + 1, values }, changes(trial));
    }),
  ];
}

/** Swings with every quantity of the catalogue at every position, normal about 0 with the given SD; `shift` is added for the driver. */
export function fullDay(
  random: Random,
  nDriver: number,
  nIrons: number,
  sd: number,
  shift: (quantity: string, position: string) => number,
): SwingRecord[] {
  const values = (driver: boolean): Record<string, number> =>
    Object.fromEntries(
      CATALOGUE.filter((quantity) => quantity.form !== 'reduced').flatMap((quantity) =>
        (quantity.at === 'swing' ? (['swing'] as const) : quantity.at.filter((p) => p !== 'P4(arm)')).map(
          (position) => [
            `${quantity.id}@${position}`,
            30 + sd * random.normal() + (driver ? shift(quantity.id, position) : 0),
          ],
        ),
      ),
    );
  const curve = (): Float64Array => Float64Array.from({ length: CURVE_STEPS }, () => random.normal());
  const pose = (turn: number): number[] => {
    const out = new Float64Array(9);
    const about = (centre: number): number => centre + 0.03 * random.normal();
    rotationFromAngles(about(turn), about(-0.3), about(-0.5), 'YXZ', out);
    return [...out];
  };
  return twoGroups(
    Array.from({ length: nDriver }, () => values(true)),
    Array.from({ length: nIrons }, () => values(false)),
    () => ({
      curves: CATALOGUE.filter((quantity) => quantity.curve && quantity.form !== 'reduced').map((quantity) => ({
        quantity: quantity.id,
        unit: quantity.unit,
        order: quantity.order,
        values: curve(),
      })),
      poses: Object.fromEntries(
        POSITIONS.filter((p) => p !== 'P4(arm)').map((p) => [p, { pelvis: pose(-0.5), thorax: pose(-1.2) }]),
      ),
    }),
  );
}
