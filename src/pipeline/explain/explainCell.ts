/** How one number of a stored day was made. */
import { FILE_LANDMARKS, type FileLandmark } from '../../model/landmarks.ts';
import type { PositionId } from '../../model/positions.ts';
import type { Cell, SwingRecord } from '../../model/swingRecord.ts';
import { toDisplay } from '../../model/units.ts';
import { filterGroupOf } from '../../stages/shared/landmarkGroups.ts';
import { framesInside } from '../../stages/shared/motionView.ts';
import { wholeSpread } from '../../tables/angles.ts';
import { filterText } from '../filterText.ts';
import type { StoredDay } from '../storedDay.ts';
import { type Asked, askedCell } from './asked.ts';
import type { Explanation, MarkerUsed, MomentUsed, PartUsed } from './explanation.ts';
import { partNames, positionsOf } from './restsOn.ts';

type Frames = readonly [number, number];

/** What was asked for on the command line. */
export interface ExplainRequest {
  readonly quantity: string;
  /** Null: the only one that the quantity has. */
  readonly position: string | null;
}

/** From the stored record alone; `record` is one of `day`. @throws ExplainError for a name that stands for nothing */
export function explainCell(day: StoredDay, record: SwingRecord, request: ExplainRequest): Explanation {
  const asked = askedCell(record, request.quantity, request.position);
  const { cell, row, reading } = asked;
  const { head } = record;
  const moments = positionsOf(cell, reading).map((position) => momentUsed(record, position, cell.position !== 'swing'));
  const parts = partsUsed(record, asked);
  const names = new Set(parts.flatMap(({ markers }) => markers));
  const stretches = moments.flatMap(({ frames }) => (frames === null ? [] : [frames]));
  const outcome = day.outcomes.find(({ trial }) => trial === head.trial);
  return {
    program: `swingbasis ${day.version}`,
    day: day.day,
    trial: head.trial,
    file: head.file,
    sha256: record.sha256,
    player: head.player,
    club: head.club,
    set: head.set,
    source: head.source ?? 'markers',
    quantity: cell.quantity,
    label: row.label,
    term: row.term,
    plus: row.plus,
    minus: row.minus,
    position: cell.position,
    value: displayed(cell.value, cell),
    unit: cell.unit,
    decimals: row.decimals,
    why: cell.why,
    plusMinus: {
      both: displayed(wholeSpread(cell), cell),
      noise: displayed(cell.plusMinus, cell),
      placement: displayed(cell.placement ?? null, cell),
    },
    formula: row.definition,
    order: cell.order,
    rule: cell.rule ?? null,
    flags: cell.flags,
    moments,
    parts,
    markers: markersUsed(record, names, stretches),
    sensors: (record.sensors ?? []).filter(({ name }) => parts.some(({ from }) => from.endsWith(`sensor ${name}`))),
    faults: (record.faults ?? []).filter(
      ({ markers }) => markers.length === 0 || markers.some((marker) => names.has(marker)),
    ),
    smoothing: smoothingOf(day, record),
    datum: record.datum,
    substitutions: head.substitutions,
    facts: head.facts,
    gate: outcome?.gate ?? null,
    outlying: outcome?.outlying ?? null,
  };
}

function displayed(value: number | null, { unit }: Cell): number | null {
  return value === null ? null : toDisplay(value, unit);
}

/** Six frames carry the value at an instant, a window is averaged; what a swing has once is not read at its positions (`isRead` false). */
function momentUsed({ moments, frames, head }: SwingRecord, position: PositionId, isRead: boolean): MomentUsed {
  const moment = moments[position];
  if (moment?.found !== true) {
    const why = moment?.why ?? { code: 'position-missing', needed: `the moment of ${position}` };
    const none = { time_s: null, plusMinus_s: null, frame: null, method: null, confidence: null, window_s: null };
    return { position, found: false, ...none, frames: null, flags: [], why };
  }
  const { time_s, sd_s, method, confidence, window_s, flags } = moment;
  const rate = head.facts.rate_Hz.value;
  const frame = time_s * rate;
  const read: Frames =
    window_s === null
      ? [Math.max(0, Math.floor(frame) - 2), Math.min(frames - 1, Math.floor(frame) + 3)]
      : framesInside([window_s[0] * rate, window_s[1] * rate], frames);
  return {
    position,
    found: true,
    time_s,
    plusMinus_s: 1.96 * sd_s,
    frame,
    method,
    confidence,
    window_s,
    frames: isRead ? read : null,
    flags,
    why: null,
  };
}

function partsUsed({ origins, moments }: SwingRecord, { cell, reading }: Asked): PartUsed[] {
  return partNames(reading, cell.rule ?? null, moments).flatMap((name) => {
    const origin = origins?.parts[name];
    return origin === undefined ? [] : [{ name, ...origin }];
  });
}

function markersUsed(record: SwingRecord, names: ReadonlySet<string>, stretches: readonly Frames[]): MarkerUsed[] {
  const cutoffs = record.origins?.cutoffs ?? null;
  return record.quality
    .filter(({ marker }) => names.has(marker))
    .map(({ marker, noise_m, filled, missing, runs = [] }) => {
      const group = (FILE_LANDMARKS as readonly string[]).includes(marker)
        ? filterGroupOf(marker as FileLandmark)
        : null;
      return {
        marker,
        noise_mm: Number.isNaN(noise_m) ? null : 1000 * noise_m,
        cutoff_Hz: group === null ? null : (cutoffs?.[group] ?? null),
        chosenBy: group === null ? null : (cutoffs?.chosen?.[group] ?? null),
        filled,
        missing,
        here: runs
          .filter(([first, last]) => stretches.some(([from, to]) => first <= to && last >= from))
          .map(([first, last, what]) => ({ frames: [first, last] as const, what })),
      };
    });
}

function smoothingOf({ players }: StoredDay, { head, origins, smoothing }: SwingRecord): string {
  if (head.source === 'sensors') return '';
  const own = origins?.cutoffs ?? smoothing ?? null;
  return own === null ? (players.find(({ id }) => id === head.player)?.smoothing ?? '') : filterText([own]);
}
