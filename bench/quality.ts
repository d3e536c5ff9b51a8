/** What quality adds to one swing: 60 markers × 1200 frames at 240 Hz, clean and with gaps, beside the rest of its analysis. */
import { performance } from 'node:perf_hooks';
import type { AnalysisPlan } from '../src/model/analysisPlan.ts';
import { DEFAULT_BODY_FAULT_LIMITS } from '../src/model/bodyFaultLimits.ts';
import type { MarkerTrial } from '../src/model/trial.ts';
import { qualityOf } from '../src/model/trialQuality.ts';
import { createRandom } from '../src/numeric/random.ts';
import { createWorkspace } from '../src/numeric/workspace.ts';
import { analyseTrial } from '../src/pipeline/analyseTrial.ts';
import { checkSegments } from '../src/stages/checkSegments.ts';
import { fillComponents } from '../src/stages/fillComponents.ts';
import { fillGaps } from '../src/stages/fillGaps.ts';
import { findFaults } from '../src/stages/findFaults.ts';
import { leftGaps } from '../src/stages/leftGaps.ts';
import { measureMarkers } from '../src/stages/measureMarkers.ts';
import { rebuildLandmarks } from '../src/stages/rebuildLandmarks.ts';
import { withGaps } from '../tests/support/gapAccuracy.ts';
import { bigTrial, median } from './analyse.ts';

export interface QualityBenchRow {
  readonly name: string;
  readonly median_ms: number;
  /** The least of all runs: what is left where other programs share the cores. */
  readonly least_ms: number;
  /** Of the analysis without any of the steps, least times over least times, %. */
  readonly share: string;
}

const GAPS = 20;
const GAP_FRAMES = 20;

/** The trial with gaps of 20 frames in 20 markers of the body, anywhere in the recording, seeded. */
function gappy(trial: MarkerTrial): MarkerTrial {
  const random = createRandom(1);
  const ids = [...trial.points.keys()].filter((id) => id !== 'BALL' && !id.startsWith('CLUB'));
  const hidden = ids.slice(0, GAPS).map((id) => {
    const from = random.int(trial.clock.frames - GAP_FRAMES);
    return [id, { from, to: from + GAP_FRAMES }] as const;
  });
  return withGaps(trial, new Map(hidden));
}

/** Times of the steps of one trial, then of all of it; its runs. */
function timesOf(trial: MarkerTrial, plan: AnalysisPlan, runs: number): ReadonlyMap<string, number[]> {
  const ws = createWorkspace();
  const all = new Map<string, number[]>();
  const timed = <T>(name: string, work: () => T): T => {
    const start = performance.now();
    const value = work();
    const taken = performance.now() - start;
    all.set(name, [...(all.get(name) ?? []), taken]);
    return value;
  };
  for (let run = -runs; run < runs; run++) {
    if (run === 0) all.clear();
    ws.reset();
    const clusters = plan.calibration?.clusters ?? [];
    const mended = timed('findFaults', () => findFaults(trial, clusters, plan.faults, ws)).value;
    const measured = timed('measureMarkers', () => measureMarkers(mended.trial, ws));
    const check = { limits: DEFAULT_BODY_FAULT_LIMITS, calibration: plan.calibration, known: mended.faults };
    timed('checkSegments', () => checkSegments(measured.trial, check, ws));
    const rebuilt = timed('rebuildLandmarks', () => rebuildLandmarks(measured.trial, clusters, plan.gaps, ws)).value;
    const splined = timed('fillGaps', () => fillGaps(rebuilt.trial, plan.gaps, ws)).value;
    const filled = timed('fillComponents', () => fillComponents(splined, plan.gaps, ws)).value;
    timed('leftGaps', () => leftGaps(filled, measured.quality));
    ws.reset();
    const record = timed('analyseTrial, whole', () => analyseTrial(trial, plan, ws));
    if (record.faults !== undefined) throw new Error(`a trial of the bench has faults: ${record.faults[0]!.detail}`);
    timed('data of the figure', () => qualityOf(record));
  }
  return all;
}

/** Medians and least times of `runs` after as many to warm up; each step, their sum, and the share of the analysis that they add. */
export function benchQuality(runs = 101): QualityBenchRow[] {
  const { trial, plan } = bigTrial();
  const cases = { clean: trial, 'twenty gaps': gappy(trial) };
  return Object.entries(cases).flatMap(([name, one]) => rowsOf(name, timesOf(one, plan, runs)));
}

function rowsOf(name: string, times: ReadonlyMap<string, number[]>): QualityBenchRow[] {
  const whole = 'analyseTrial, whole';
  const figures = new Map(
    [...times].map(([step, all]) => [step, { median_ms: median(all), least_ms: Math.min(...all) }]),
  );
  const steps = [...figures].filter(([step]) => step !== whole);
  const sum = (key: 'median_ms' | 'least_ms'): number => steps.reduce((total, [, one]) => total + one[key], 0);
  const all = { median_ms: sum('median_ms'), least_ms: sum('least_ms') };
  const rest_ms = figures.get(whole)!.least_ms - all.least_ms;
  const row = (step: string, one: typeof all, share = `${((100 * one.least_ms) / rest_ms).toFixed(1)} %`) => ({
    name: `${name}: ${step}`,
    ...one,
    share,
  });
  return [
    ...steps.map(([step, one]) => row(step, one)),
    row('quality, all', all),
    row(whole, figures.get(whole)!, `without quality ${rest_ms.toFixed(3)} ms`),
  ];
}
