import { parseFormats, type TableFormat } from '../tables/formats.ts';
import { UsageError } from './exit.ts';

/** The formats that `--tables` names; `hasTrials`: of a day, not of a comparison. @throws UsageError */
export function formatsOf(text: string | undefined, hasTrials = false): readonly TableFormat[] {
  try {
    return parseFormats(text ?? '', hasTrials);
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`--tables: ${error.message}`);
    throw error;
  }
}
