/** What the program finds of segments, time base and club in recordings that are clean or damaged in a known way. */

import type { AnalysisPlan } from '../../src/model/analysisPlan.ts';
import { DEFAULT_BODY_FAULT_LIMITS } from '../../src/model/bodyFaultLimits.ts';
import { DEFAULT_FAULTS, DEFAULT_FILTER, DEFAULT_GAPS } from '../../src/model/dayPlan.ts';
import type { Fault } from '../../src/model/faults.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { checkSegments } from '../../src/stages/checkSegments.ts';
import { clubBlurred } from '../../src/stages/faults/clubBlurred.ts';
import { clubClipped } from '../../src/stages/faults/clubClipped.ts';
import { fastPartOf } from '../../src/stages/faults/fastPart.ts';
import { measureMarkers } from '../../src/stages/measureMarkers.ts';
import { clubPlan, playerPlan } from './plans.ts';
import { type Conditions, type TruthCase, truthCase } from './truthCases.ts';
import { twoLinkTrial } from './twoLinkTrial.ts';

const ws = createWorkspace();

/** Faults of the segments and the time base, and of the club around a known impact. */
export function bodyFaults(
  trial: MarkerTrial,
  impact_s: number,
  calibration: AnalysisPlan['calibration'],
): readonly Fault[] {
  ws.reset();
  const { trial: measured } = measureMarkers(trial, ws);
  const limits = DEFAULT_BODY_FAULT_LIMITS;
  const part = fastPartOf(measured, impact_s);
  return [
    ...checkSegments(measured, { limits, calibration, known: [] }, ws).value,
    ...clubClipped(measured, part, limits),
    ...clubBlurred(measured, part, limits),
  ];
}

/** The same of a case whose trial was changed; `frames` taken out of it before impact. */
export function faultsOfCase({ made, plan }: TruthCase, trial: MarkerTrial, frames = 0): readonly Fault[] {
  return bodyFaults(trial, made.contact_s - frames / trial.clock.rate_Hz, plan.calibration);
}

export function codesOf(faults: readonly Fault[]): readonly string[] {
  return faults.map(({ code }) => code);
}

/** Faults in the record of a trial. */
export function analysed(trial: MarkerTrial, plan: AnalysisPlan): readonly Fault[] {
  ws.reset();
  return analyseTrial(trial, plan, ws).faults ?? [];
}

/** Every fault that the whole analysis finds in clean swings of the seed: of each generator, with and without a static trial. */
export function faultsOfClean(seed: number, conditions: Conditions): readonly string[] {
  const options = { ...conditions.options, limbs: seed % 2 === 0 };
  const { trial, plan } = truthCase(seed, { ...conditions, options });
  const twoLink = twoLinkTrial(seed, conditions.noise_mm / 1000, seed % 3 === 0 ? 'left' : 'right', {
    rate_Hz: conditions.rate_Hz,
  });
  const bare: AnalysisPlan = {
    player: playerPlan(),
    club: clubPlan(),
    calibration: null,
    filter: DEFAULT_FILTER,
    gaps: DEFAULT_GAPS,
    faults: DEFAULT_FAULTS,
    orders: [],
    sensors: null,
    sha256: '',
  };
  const all = {
    'with a static trial': analysed(trial, plan),
    'without one': analysed(trial, { ...plan, calibration: null }),
    'of two links': analysed(twoLink.trial, bare),
  };
  return Object.entries(all).flatMap(([what, faults]) =>
    faults.map(
      ({ code, markers, detail }) =>
        `seed ${seed}, ${conditions.rate_Hz} Hz, ${what}: ${code} ${markers.join()} ${detail}`,
    ),
  );
}
