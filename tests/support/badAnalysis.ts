/** Analyses that go wrong in the worst ways, by the name of the trial: loops for ever, ends its thread, eats all memory. */

import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import type { AnalyseTrial } from '../../src/pipeline/oneTrial.ts';

export const LOOPS = 'wren/1-driver-1';
export const ENDS = 'heron/1-driver-2';
export const EATS = 'wren/2-iron7-2';

export const analyse: AnalyseTrial = (trial, plan, ws) => {
  const id = trial.head.trial;
  if (id === ENDS) process.exit(7);
  const eaten: number[][] = [];
  while (id === LOOPS || id === EATS) {
    if (id === EATS) eaten.push(Array.from({ length: 100_000 }, (_, i) => i + 0.5));
  }
  return analyseTrial(trial, plan, ws);
};
