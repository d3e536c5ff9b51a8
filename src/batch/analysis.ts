import { pathToFileURL } from 'node:url';
import { analyseTrial } from '../pipeline/analyseTrial.ts';
import type { AnalyseTrial } from '../pipeline/oneTrial.ts';

/** The analysis of a trial: the program's own, or the `analyse` of a module, which tests put in its place. */
export async function loadAnalysis(module: string | null): Promise<AnalyseTrial> {
  if (module === null) return analyseTrial;
  return ((await import(pathToFileURL(module).href)) as { readonly analyse: AnalyseTrial }).analyse;
}
