import { runExplain } from '../disk/runExplain.ts';
import { ExplainError } from '../pipeline/explain/asked.ts';
import { explanationJson, explanationText } from '../pipeline/explain/explainText.ts';
import { EXIT, UsageError } from './exit.ts';
import type { ExplainFlags } from './main.ts';

/** Columns where the output is no terminal, and the widest that is read well. */
const USUAL_WIDTH = 80;
const WIDEST = 120;

/** Exit code 0 where the number, or why there is none, could be told. @throws UsageError @throws FileError */
export function explainCommand(
  [folder, trial, quantity]: readonly [string, string, string],
  position: string | null,
  { json }: ExplainFlags,
): number {
  try {
    const explanation = runExplain({ folder, trial, quantity, position });
    const width = Math.min(process.stdout.columns ?? USUAL_WIDTH, WIDEST);
    process.stdout.write(json ? explanationJson(explanation) : explanationText(explanation, width));
    return EXIT.used;
  } catch (error) {
    if (error instanceof ExplainError) throw new UsageError(error.message);
    throw error;
  }
}
