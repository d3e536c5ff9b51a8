/** The only inward conversion: a file as stored becomes a Trial in metres in the lab frame, sides under lead and trail. */
import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import { type Clock, frameOf } from '../model/clock.ts';
import type { ClubPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import { type FileLandmark, type LandmarkId, landmarkOfPlayer } from '../model/landmarks.ts';
import { MEASURED, MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial, TrialEvent } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { computedPoints } from './computedPoints.ts';
import { METRES_PER } from './detectFacts.ts';
import { intakeDiagnostic } from './diagnosticCodes.ts';
import { positionOfEvent } from './eventNames.ts';
import { readForces } from './forces.ts';
import { labAxes } from './labAxes.ts';
import { pointLabel } from './pointSamples.ts';
import { recogniseLandmarks } from './recogniseLandmarks.ts';
import { type SettledFacts, settleFacts } from './settleFacts.ts';
import { settledFaults, trueNames } from './wholeFaults.ts';

/** What the intake of markers needs of the day: the trial with its settings, its player and its club. */
export interface IntakePlan {
  readonly trial: TrialPlan;
  readonly player: PlayerPlan;
  readonly club: ClubPlan | null;
}

/**
 * C3dFile + plan → MarkerTrial in the lab frame L: metres, Y up, X toward the target, Z = X × Y;
 * a left-handed file frame reflected first, then a left-handed player (definitions 1 and 7). Refusals carry a full sentence.
 * Arrays are lent by `memory` where it is given, otherwise new.
 */
export function intake(file: C3dFile, plan: IntakePlan, memory?: Workspace): Outcome<Avail<MarkerTrial>> {
  const diagnostics: Diagnostic[] = [];
  const refuse = (code: string, needed: string): Outcome<Avail<MarkerTrial>> => ({
    value: absent(code, needed),
    diagnostics,
  });
  if (file.points === 0 || file.frames === 0) {
    return refuse(
      'no-points',
      file.points === 0 ? 'points: the file holds none (analog or rotations only)' : 'frames: the file holds none',
    );
  }
  const { trial, player, club } = plan;
  const names = recogniseLandmarks(file, { ...(club?.markers ?? {}), ...trial.markers });
  diagnostics.push(...names.diagnostics);
  if (names.found.size === 0) {
    return refuse(
      'no-landmarks',
      'landmarks: none of the labels is known; name the markers in the day file under markers',
    );
  }
  const trusted = trial.trustCoordinates;
  if (allInvalid(file, names.found)) {
    if (!trusted) {
      return refuse(
        'all-samples-invalid',
        'valid samples: every sample is marked invalid (residual −1); if the coordinates are good, set trust_coordinates: true in the day file',
      );
    }
    diagnostics.push(
      intakeDiagnostic(
        'coordinates-trusted',
        'every sample is marked invalid; the coordinates were used as the day file asks',
      ),
    );
  }
  const named = trueNames(file, names.found, trial);
  diagnostics.push(...named.diagnostics);
  const { found, detected } = named.value;
  const settled = settleFacts(file, detected, trial, player);
  if (!settled.ok) return { value: settled, diagnostics };
  const whole = settledFaults(settled.value, detected.extent);
  diagnostics.push(...settled.value.diagnostics, ...whole.diagnostics);
  const faults = [...named.value.faults, ...whole.value];
  if (trial.role === 'swing' && trial.club !== null && !found.has('CLUB_GRIP') && !found.has('CLUB_SHAFT')) {
    diagnostics.push(
      intakeDiagnostic(
        'no-club-in-recording',
        `club ${trial.club} is named in the day file, but the recording has no club markers`,
      ),
    );
  }

  const { facts } = settled.value;
  const clock: Clock = { rate_Hz: facts.rate_Hz.value, frames: file.frames };
  const points = new Map<LandmarkId, Track<3>>();
  let zeros = 0;
  for (const [name, index] of found) {
    const id = landmarkOfPlayer(settled.value.exchangeSides ? exchanged(name) : name, facts.hand.value);
    const { track, zeroSamples } = convert(file, index, settled.value, trusted, clock, memory);
    zeros += zeroSamples;
    if (track !== null) points.set(id, track);
  }
  if (zeros > 0)
    diagnostics.push(
      intakeDiagnostic('zeros-taken-as-missing', `${zeros} samples are exactly 0, 0, 0 and were taken as missing`),
    );
  const rigid = computedPoints(points, clock);
  if (rigid !== null) diagnostics.push(intakeDiagnostic('points-computed', rigid));
  const forces = readForces(file, settled.value, memory);
  diagnostics.push(...forces.diagnostics);
  const substitutions: string[] = [];
  if (!points.has('T8') && points.has('T10')) {
    substitutions.push('T10 for T8');
    diagnostics.push(intakeDiagnostic('landmark-substituted', 'T10 stands in for T8'));
  }
  if (!(points.has('lead_PSIS') && points.has('trail_PSIS')) && points.has('SACRUM')) {
    substitutions.push('sacrum marker for the PSIS midpoint');
    diagnostics.push(
      intakeDiagnostic('landmark-substituted', 'a sacrum marker stands in for the midpoint of the PSISs'),
    );
  }
  return {
    value: present({
      source: 'markers',
      head: {
        trial: trial.id,
        file: trial.file,
        player: player.id,
        club: trial.club,
        kind: club?.kind ?? null,
        set: trial.set,
        role: trial.role,
        order: trial.order,
        facts,
        substitutions,
      },
      fileFrame: { firstFrame: file.firstFrame, axes: labAxes(settled.value).flat() },
      clock,
      points,
      ...(forces.value === undefined ? {} : { forces: forces.value }),
      events: readEvents(file, trial, clock),
      ...(faults.length === 0 ? {} : { faults }),
      diagnostics: [],
    }),
    diagnostics,
  };
}

function exchanged(name: FileLandmark): FileLandmark {
  if (name.startsWith('L_')) return `R_${name.slice(2)}` as FileLandmark;
  if (name.startsWith('R_')) return `L_${name.slice(2)}` as FileLandmark;
  return name;
}

function allInvalid(file: C3dFile, found: ReadonlyMap<FileLandmark, number>): boolean {
  for (const index of found.values()) {
    for (let frame = 0; frame < file.frames; frame += 1) {
      if (file.word4[index * file.frames + frame]! >= 0) return false;
    }
  }
  return true;
}

/** One point into L. Null where no sample is valid. */
function convert(
  file: C3dFile,
  index: number,
  settled: SettledFacts,
  trusted: boolean,
  clock: Clock,
  memory: Workspace | undefined,
): { track: Track<3> | null; zeroSamples: number } {
  const { frames, xyz, word4 } = file;
  const scale = METRES_PER[settled.facts.units.value];
  const [t, u, s] = labAxes(settled);
  const data = memory?.float64(3 * frames) ?? new Float64Array(3 * frames);
  const state = memory?.uint8(frames) ?? new Uint8Array(frames);
  const xAt = 3 * index * frames;
  const yAt = xAt + frames;
  const zAt = yAt + frames;
  combineInto(data, 0, t, scale, xyz, xAt, frames);
  combineInto(data, frames, u, scale, xyz, xAt, frames);
  combineInto(data, 2 * frames, s, scale, xyz, xAt, frames);
  let measured = 0;
  let zeroSamples = 0;
  const w = index * frames;
  for (let frame = 0; frame < frames; frame += 1) {
    const x = xyz[xAt + frame]!;
    const y = xyz[yAt + frame]!;
    const z = xyz[zAt + frame]!;
    const isZero = x === 0 && y === 0 && z === 0;
    const valid = trusted || word4[w + frame]! >= 0;
    if (valid && !isZero && x + y + z - (x + y + z) === 0) {
      state[frame] = MEASURED;
      measured += 1;
      continue;
    }
    if (isZero && valid) zeroSamples += 1;
    data[frame] = Number.NaN;
    data[frames + frame] = Number.NaN;
    data[2 * frames + frame] = Number.NaN;
    state[frame] = MISSING;
  }
  if (measured === 0) return { track: null, zeroSamples };
  return {
    track: {
      dimension: 3,
      clock,
      data,
      state,
      noise: Number.NaN,
      provenance: pointLabel(file, index),
    },
    zeroSamples,
  };
}

/**
 * One column of L, scale · (a · p) for all frames of a point whose columns begin at `from`.
 * A vector along an axis of the file, the common case, needs one column only; adding 0 keeps zeros positive.
 */
function combineInto(
  out: Float64Array,
  at: number,
  a: readonly [number, number, number],
  scale: number,
  xyz: Float64Array,
  from: number,
  frames: number,
): void {
  const single = a.findIndex((value, i) => value !== 0 && a.every((other, k) => k === i || other === 0));
  if (single >= 0) {
    const factor = scale * a[single]!;
    const column = from + single * frames;
    for (let frame = 0; frame < frames; frame += 1) out[at + frame] = factor * xyz[column + frame]! + 0;
    return;
  }
  const [ax, ay, az] = a;
  for (let frame = 0; frame < frames; frame += 1) {
    const x = xyz[from + frame]!;
    const y = xyz[from + frames + frame]!;
    const z = xyz[from + 2 * frames + frame]!;
    out[at + frame] = scale * (ax * x + ay * y + az * z);
  }
}

/**
 * Events under their positions, by time. One outside the recording (of a trimmed trial, say) is no moment of it and is left out; the
 * file's diagnostics name it.
 */
function readEvents(file: C3dFile, trial: TrialPlan, clock: Clock): TrialEvent[] {
  const inside = (time_s: number): boolean => {
    const frame = frameOf(clock, time_s);
    return frame >= -0.5 && frame < clock.frames - 0.5;
  };
  return file.events
    .filter(({ time_s }) => inside(time_s))
    .map(({ label, time_s }) => ({ label: label.trim(), position: positionOfEvent(label, trial.events), time_s }))
    .sort((a, b) => a.time_s - b.time_s);
}
