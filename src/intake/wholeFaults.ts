/** Faults of a whole recording that show when it is taken in: sides exchanged in the names, a unit that does not fit the body. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { compareCodeUnits } from '../base/text.ts';
import type { C3dFile } from '../c3d/types.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { Fault } from '../model/faults.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import { axisVector, BODY_SPAN_m, type DetectedFacts, detectFacts, METRES_PER } from './detectFacts.ts';
import { intakeDiagnostic } from './diagnosticCodes.ts';
import { type ExchangedPair, exchangedPairs } from './exchangedSides.ts';
import { PointSamples } from './pointSamples.ts';
import type { SettledFacts } from './settleFacts.ts';

export interface TrueNames {
  /** Landmark → index of the point, with exchanged pairs put right where the plan allows it. */
  readonly found: ReadonlyMap<FileLandmark, number>;
  readonly detected: DetectedFacts;
  readonly faults: readonly Fault[];
}

/** The facts that the data show, after pairs of markers whose sides contradict the rest of the body were exchanged back (`faults.repair`). */
export function trueNames(
  file: C3dFile,
  found: ReadonlyMap<FileLandmark, number>,
  { trustCoordinates, up, faults }: Pick<TrialPlan, 'trustCoordinates' | 'up' | 'faults'>,
): Outcome<TrueNames> {
  const samples = new PointSamples(file, found, trustCoordinates);
  const detected = detectFacts(file, samples, up);
  const axis = up ?? detected.up?.value ?? null;
  const pairs = axis === null ? [] : exchangedPairs(samples, axisVector(axis));
  if (pairs.length === 0) return { value: { found, detected, faults: [] }, diagnostics: [] };
  const detail = pairs.map(({ evidence }) => evidence).join('; ');
  const said = faults.repair ? 'they were exchanged back' : 'they stay so, as the day file or --no-repair asks';
  const diagnostics = [intakeDiagnostic('sides-exchanged', `${detail}: ${said}`)];
  const fault: Fault = {
    code: 'sides-exchanged',
    markers: pairs.flatMap(({ name }) => [`L_${name}`, `R_${name}`]).sort(compareCodeUnits),
    frames: [],
    action: faults.repair ? 'repaired' : 'kept',
    detail,
  };
  if (!faults.repair) return { value: { found, detected, faults: [fault] }, diagnostics };
  const names = exchangedBack(found, pairs);
  const again = detectFacts(file, new PointSamples(file, names, trustCoordinates), up);
  return { value: { found: names, detected: again, faults: [fault] }, diagnostics };
}

/** The map in its own order, each exchanged pair with the other's point. */
function exchangedBack(
  found: ReadonlyMap<FileLandmark, number>,
  pairs: readonly ExchangedPair[],
): ReadonlyMap<FileLandmark, number> {
  const names = new Map(found);
  for (const { name } of pairs) {
    const left = found.get(`L_${name}`);
    const right = found.get(`R_${name}`);
    if (left === undefined || right === undefined) throw new RangeError(`${name} is no pair of this recording`);
    names.set(`L_${name}`, right).set(`R_${name}`, left);
  }
  return names;
}

/** What settling the facts showed: every name of one side is the other's; the unit is not the one that the file or the day file says. */
export function settledFaults(
  { facts, exchangeSides, diagnostics }: SettledFacts,
  extent: number | null,
): Outcome<readonly Fault[]> {
  const value: Fault[] = [];
  const more: Diagnostic[] = [];
  const whole = (code: Fault['code'], action: Fault['action'], detail: string): void => {
    value.push({ code, markers: [], frames: [], action, detail });
  };
  const said = (code: string): string => diagnostics.find((one) => one.code === code)?.message ?? '';
  if (exchangeSides) whole('sides-exchanged', 'repaired', said('sides-exchanged'));
  const unit = facts.units.value;
  const span_m = extent === null ? null : extent * METRES_PER[unit];
  const contradiction = said('units-contradict-body');
  if (contradiction !== '') whole('units-contradict', 'repaired', contradiction);
  else if (span_m !== null && (span_m < BODY_SPAN_m[0] || span_m > BODY_SPAN_m[1])) {
    const detail = `in ${unit} the body spans ${Number(span_m.toPrecision(3))} m from head to foot; ${BODY_SPAN_m.join(' to ')} m are possible`;
    whole('units-contradict', 'kept', detail);
    more.push(intakeDiagnostic('units-contradict-body', `${detail}; no other unit fits, ${unit} is used`));
  }
  return { value, diagnostics: more };
}
