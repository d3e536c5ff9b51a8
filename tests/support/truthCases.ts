/** Synthetic swings whose motion is known, from generator to trial; errors gathered by quantity and position. */
import { DRIVER, IRON_5, IRON_7, IRON_9, makeClub } from '../../samples/generator/club.ts';
import {
  makeStatic,
  makeSwing,
  type Player,
  type SwingOptions,
  type SwingRecording,
  seededPlayer,
} from '../../samples/generator/makeSwing.ts';
import type { TruePosition } from '../../samples/generator/truth.ts';
import { readC3d } from '../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../src/c3d/types.ts';
import { type C3dContent, writeC3d } from '../../src/c3d/writeC3d.ts';
import { intake } from '../../src/intake/intake.ts';
import type { AnalysisPlan } from '../../src/model/analysisPlan.ts';
import type { PlayerCalibration } from '../../src/model/calibration.ts';
import {
  type ClubPlan,
  DEFAULT_FAULTS,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type FilterOptions,
  NO_FILTER,
  type PlayerPlan,
  type TrialPlan,
} from '../../src/model/dayPlan.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { calibrateStatic } from '../../src/pipeline/staticTrial.ts';
import { clubPlan, playerPlan, trialPlan } from './plans.ts';

export interface Conditions {
  readonly rate_Hz: number;
  readonly noise_mm: number;
  readonly filter: FilterOptions;
  /** Further options of the generator. */
  readonly options?: Partial<SwingOptions>;
}

export const CLEAN: Conditions = { rate_Hz: 240, noise_mm: 0, filter: NO_FILTER };
export const NOISY: Conditions = { rate_Hz: 240, noise_mm: 1, filter: DEFAULT_FILTER };

const CLUBS = [DRIVER, IRON_7, DRIVER, IRON_5, DRIVER, IRON_9];

export interface TruthCase {
  readonly seed: number;
  readonly player: Player;
  readonly made: SwingRecording;
  readonly trial: MarkerTrial;
  readonly plan: AnalysisPlan;
}

/** Columns of the generator as a file read without loss: no 32-bit rounding. */
export function exactFile(content: C3dContent): C3dFile {
  const { frames } = content;
  const points = content.labels.length;
  const file = readBack({ ...content, xyz: content.xyz.map((value) => (Number.isNaN(value) ? 0 : value)) });
  const word4 = new Int16Array(points * frames);
  for (let p = 0; p < points; p += 1) {
    for (let f = 0; f < frames; f += 1) {
      if (Number.isNaN(content.xyz[3 * p * frames + f]!)) word4[p * frames + f] = -1;
    }
  }
  return { ...file, xyz: content.xyz, word4 };
}

function readBack(content: C3dContent): C3dFile {
  return readC3d(bytesSource(writeC3d(content)));
}

function bytesSource(bytes: Uint8Array) {
  return {
    size: bytes.length,
    read(offset: number, length: number, into: Uint8Array): number {
      const part = bytes.subarray(offset, offset + length);
      into.set(part);
      return part.length;
    },
  };
}

const statics = new Map<string, PlayerCalibration>();

/** One swing of an invented player, as a trial with its plan. Every seed is another player, unless one is given; the club goes round. */
export function truthCase(seed: number, conditions: Conditions, player: Player = seededPlayer(seed)): TruthCase {
  const spec = CLUBS[seed % CLUBS.length]!;
  const options: SwingOptions = {
    rate_Hz: conditions.rate_Hz,
    noise_mm: conditions.noise_mm,
    rounding: false,
    slowing_s: 0,
    ...conditions.options,
  };
  const made = makeSwing(seed, player, spec, options);
  const hand = options.hand ?? player.hand;
  const plans = plansOf({ ...player, hand }, made, conditions, options);
  const trial = takenIn(exactFile(made.content), plans.trial, plans.player, plans.club);
  const key = `${seed}/${player.id}/${hand}/${conditions.rate_Hz}/${conditions.noise_mm}/${JSON.stringify(options.lab ?? null)}/${options.limbs ?? false}`;
  let calibration = statics.get(key);
  if (calibration === undefined) {
    const standing = makeStatic(seed, player, { ...options, hand });
    const staticPlan: TrialPlan = { ...plans.trial, id: 'static', file: 'static.c3d', role: 'static', club: null };
    const ws = createWorkspace();
    const still = takenIn(exactFile(standing.content), staticPlan, plans.player, null);
    calibration = calibrateStatic(still, plans.player, ws).value.calibration;
    statics.set(key, calibration);
  }
  return {
    seed,
    player,
    made,
    trial,
    plan: {
      player: plans.player,
      club: plans.club,
      calibration,
      filter: conditions.filter,
      gaps: DEFAULT_GAPS,
      faults: DEFAULT_FAULTS,
      orders: [],
      sensors: null,
      sha256: '',
    },
  };
}

function plansOf(
  player: Player,
  made: SwingRecording,
  conditions: Conditions,
  options: SwingOptions,
): { trial: TrialPlan; player: PlayerPlan; club: ClubPlan } {
  const { spec } = makeClub(made.club.spec);
  const [x, y, z] = made.faceCentre_mm;
  return {
    player: playerPlan({
      id: player.id,
      hand: player.hand,
      sex: player.sex,
      height_m: player.height_m,
      static: 'static',
    }),
    club: clubPlan({
      id: spec.id,
      kind: spec.kind,
      length_m: spec.length_m,
      faceCentre_mm: [x, y, z],
      faceNormal: made.faceNormal,
    }),
    trial: trialPlan({
      id: `swing-${player.id}`,
      file: `swing-${player.id}.c3d`,
      player: player.id,
      club: spec.id,
      up: options.lab?.up ?? '+Z',
      target: options.lab?.target ?? '+X',
      units: 'mm',
      filter: conditions.filter,
    }),
  };
}

export function takenIn(file: C3dFile, trial: TrialPlan, player: PlayerPlan, club: ClubPlan | null): MarkerTrial {
  const taken = intake(file, { trial, player, club });
  if (!taken.value.ok) throw new Error(`${trial.id}: ${taken.value.why.needed}`);
  return taken.value.value;
}

/** Errors of one row of the accuracy table. */
export class Errors {
  readonly values: number[] = [];

  add(error: number): void {
    this.values.push(error);
  }

  get count(): number {
    return this.values.length;
  }

  get rms(): number {
    return Math.sqrt(this.values.reduce((sum, e) => sum + e * e, 0) / this.values.length);
  }

  get bias(): number {
    return this.values.reduce((sum, e) => sum + e, 0) / this.values.length;
  }

  get worst(): number {
    return this.values.reduce((most, e) => Math.max(most, Math.abs(e)), 0);
  }
}

/** Errors by name, made on first use. */
export class ErrorTable {
  readonly rows = new Map<string, Errors>();

  at(name: string): Errors {
    let row = this.rows.get(name);
    if (row === undefined) {
      row = new Errors();
      this.rows.set(name, row);
    }
    return row;
  }

  /** The row with the largest RMS among those whose name passes. */
  worst(passes: (name: string) => boolean): { readonly name: string; readonly rms: number; readonly bias: number } {
    let found = { name: '', rms: 0, bias: 0 };
    for (const [name, row] of this.rows) {
      if (passes(name) && !(row.rms <= found.rms)) found = { name, rms: row.rms, bias: row.bias };
    }
    return found;
  }
}

export const ALL_TRUE: readonly TruePosition[] = ['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'];
