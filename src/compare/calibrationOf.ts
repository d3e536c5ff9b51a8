import type { ComparisonPart } from '../model/comparison.ts';

const CALIBRATION = 'calibration ';
const FILE_HEADINGS = ', headings of the file';

/**
 * The poses in the id of a datum of sensors: `calibration <still pose>`, then ` on <static trial>` where that lent its bends, then
 * `, headings of the file` where those hold. Null for a datum without a calibration.
 */
export function calibrationOf(id: string, statik: string | null): ComparisonPart['calibration'] {
  if (!id.startsWith(CALIBRATION)) return null;
  const tied = id.endsWith(FILE_HEADINGS);
  const poses = id.slice(CALIBRATION.length, tied ? -FILE_HEADINGS.length : id.length);
  const lent = statik === null ? '' : ` on ${statik}`;
  const isLent = lent !== '' && poses.endsWith(lent);
  return {
    still: isLent ? poses.slice(0, -lent.length) : poses,
    anatomicalFrom: isLent ? statik : null,
    headings: tied ? 'file' : 'address',
  };
}
