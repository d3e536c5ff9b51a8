import { parseFormats, type TableFormat } from '../tables/formats.ts';
import { UsageError } from './exit.ts';

/** The formats that `--tables` names. @throws UsageError */
export function formatsOf(text: string | undefined): readonly TableFormat[] {
  try {
    return parseFormats(text ?? '');
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`--tables: ${error.message}`);
    throw error;
  }
}
