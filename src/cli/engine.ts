/** The JavaScript engine set for work that lasts seconds, not hours. */
import { setFlagsFromString } from 'node:v8';

/**
 * Nine times the default of Node 20: a function is compiled to fast code when it has run so much longer. With the default a quarter of the processor
 * time of a day of fifty trials, in each thread, goes to compiling functions that are then hardly called (measured: a fifth less of all of it).
 * Later versions compile in more steps and decide by other counts.
 */
const BUDGET_OF_NODE_20 = 600_000;

/** Flags of the engine for a version of Node (`20.19.0`). They change when code is compiled and no result. */
export function engineFlags(version: string): readonly string[] {
  return version.startsWith('20.') ? [`--interrupt-budget=${BUDGET_OF_NODE_20}`] : [];
}

/** Sets them for this process and the threads it starts. */
export function setEngine(): void {
  for (const flag of engineFlags(process.versions.node)) setFlagsFromString(flag);
}
