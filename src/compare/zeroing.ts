import { CATALOGUE } from '../model/catalogue.ts';
import { isLimb } from '../model/motion.ts';
import type { Quantity } from '../model/quantity.ts';
import type { Reapplication } from '../model/reapplication.ts';
import type { Zero } from '../model/sessions.ts';
import { type StillAngle, type StillRecord, trunkFrames } from '../model/stillRecord.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { toDisplay } from '../model/units.ts';

/** Angles of two days against the still pose of each: what markers put on again moved is in both and goes. */

export interface StillDay {
  /** ISO. */
  readonly date: string;
  readonly stills: readonly StillRecord[];
}

export interface Zeroing {
  /** By quantity. */
  readonly zeros: ReadonlyMap<string, Zero>;
  /** What was zeroed and what not, with the reason; empty where no day holds a still pose. */
  readonly notes: readonly string[];
}

/**
 * Zeros of a player's two days. Bends of pelvis, thorax and head, the joints between them and the turn difference have one; turns against the
 * target line have none, since which way a player faces in a static trial is not fixed, and a shift of the markers about the vertical cannot be
 * told from it. Nothing is zeroed on one trial for both days, on a still pose of other landmark sets than the swings', on an angle that moves or is
 * near-singular in it, and where a re-application is set.
 */
export function zeroingOf(
  player: string,
  before: StillDay,
  after: StillDay,
  records: readonly SwingRecord[],
  set: Reapplication,
): Zeroing {
  const days = [before, after];
  const stills = days.map((day) => day.stills.find(({ head }) => head.player === player) ?? null);
  const zeros = new Map<string, Zero>();
  if (stills.every((still) => still === null)) return { zeros, notes: [] };
  const [first, second] = stills as [StillRecord | null, StillRecord | null];
  const none = (why: string): Zeroing => ({ zeros, notes: [`not zeroed on static trials: ${why}`] });
  if (first === null || second === null) {
    return none(`the results of ${(first === null ? before : after).date} hold no angles of one`);
  }
  if (first.sha256 === second.sha256) return none('both days rest on one file, so that no markers were put on between');
  if (
    records.some(
      ({ datum }) =>
        trunkFrames(datum) !== trunkFrames(first.datum) || trunkFrames(datum) !== trunkFrames(second.datum),
    )
  ) {
    return none('the pelvis or chest of the swings rests on other landmarks than that of the static trials');
  }
  const refused: string[] = [];
  for (const quantity of CATALOGUE) {
    if (!isZeroed(quantity) || Object.hasOwn(set, quantity.id)) continue;
    const angles = [first, second].map((still) => still.angles.find((angle) => angle.quantity === quantity.id));
    const why = angles.map((angle, i) => unusable(quantity, angle, days[i]!.date)).find((text) => text !== '');
    if (why !== undefined) refused.push(`${quantity.label} (${why})`);
    else
      zeros.set(quantity.id, { before: toDisplay(angles[0]!.value, 'deg'), after: toDisplay(angles[1]!.value, 'deg') });
  }
  if (zeros.size === 0) return none(refused.join(', ') || 'a re-application is set for every angle');
  const shift = largestShift(zeros);
  return {
    zeros,
    notes: [
      `${zeros.size} angles of the trunk and head zeroed on the static trials of both days, so that standing otherwise in them looks like a change of the swing; largest difference of the two ${shift}`,
      ...(refused.length === 0 ? [] : [`not zeroed: ${refused.join(', ')}`]),
    ],
  };
}

function isZeroed({ reading }: Quantity): boolean {
  switch (reading.kind) {
    case 'orientation':
      return !isLimb(reading.segment) && reading.component > 0;
    case 'joint':
      return !isLimb(reading.proximal) && !isLimb(reading.distal);
    default:
      return reading.kind === 'turn-difference';
  }
}

/** Why an angle of a still pose zeroes nothing, or ''. */
function unusable({ order }: Quantity, angle: StillAngle | undefined, date: string): string {
  if (angle === undefined) return `not in the static trial of ${date}`;
  if (angle.order !== order) return `in another order of the axes on ${date}`;
  if (angle.flags.includes('moves')) return `moves by ${toDisplay(angle.range, 'deg').toFixed(1)}° in that of ${date}`;
  return angle.flags.length > 0 ? `${angle.flags.join(', ')} in that of ${date}` : '';
}

function largestShift(zeros: ReadonlyMap<string, Zero>): string {
  const size = ({ before, after }: Zero): number => Math.abs(after - before);
  const [id, zero] = [...zeros].reduce((most, next) => (size(next[1]) > size(most[1]) ? next : most));
  const { label } = CATALOGUE.find((quantity) => quantity.id === id)!;
  return `${size(zero).toFixed(1)}° (${label})`;
}
