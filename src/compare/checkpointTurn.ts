import type { TurnBeside } from '../model/checkpoint.ts';
import type { PositionId } from '../model/positions.ts';
import { type Quantity, turnOf } from '../model/quantity.ts';
import { fromDisplay, toDisplay } from '../model/units.ts';
import { changeBetween, type SampleIndex, valuesAt } from './checkpointReadings.ts';
import { summarise } from './twoSamples.ts';

/** Bends of pelvis, chest and head are in the segment's own heading, so that turning alone changes them: they are read with the turn (definitions 2). */

/**
 * Bends in the segment's heading after it turned by `turn` while its long axis stays fixed in the room, radians, from those before. With
 * R = Ry(ψ)·Rx(φ)·Rz(−f) that axis in its own heading is (sin f, cos φ cos f, sin φ cos f). A spine 35° toward the ball under a chest turned
 * by −90°: forward bend 0, side bend −35°.
 */
export function bendsByTurnAlone(
  forward: number,
  side: number,
  turn: number,
): { readonly forward: number; readonly side: number } {
  const x = Math.sin(forward);
  const y = Math.cos(side) * Math.cos(forward);
  const z = Math.sin(side) * Math.cos(forward);
  // Ry(−ψ)
  const ahead = Math.cos(turn) * x - Math.sin(turn) * z;
  const across = Math.sin(turn) * x + Math.cos(turn) * z;
  return { forward: Math.asin(Math.max(-1, Math.min(1, ahead))), side: Math.atan2(across, y) };
}

interface Reading {
  readonly quantity: Quantity;
  readonly from: PositionId | null;
  readonly at: PositionId;
  /** Of the quantity itself: swings without a value are left out of the turn as well. */
  readonly values: Float64Array;
  readonly nGroup: number;
}

function meanOver(values: Float64Array, read: Float64Array, start: number, end: number): number | null {
  const { mean } = summarise(
    values.map((value, i) => (Number.isNaN(read[i]!) ? Number.NaN : value)),
    start,
    end,
  );
  return Number.isNaN(mean) ? null : mean;
}

/** The turn beside a bend; null where a quantity is not read with one. */
export function turnBeside(index: SampleIndex, { quantity, from, at, values, nGroup }: Reading): TurnBeside | null {
  const turn = turnOf(quantity);
  if (turn === null || quantity.reading.kind !== 'orientation') return null;
  const n = values.length;
  const turnAt = valuesAt(index, n, turn, at).values;
  return {
    quantity: turn,
    at: meanOver(turnAt, values, 0, nGroup),
    from: from === null ? null : meanOver(valuesAt(index, n, turn, from).values, values, 0, nGroup),
    referenceAt: meanOver(turnAt, values, nGroup, n),
    alone: from === null ? null : meanOver(byTurnAlone(index, quantity, from, at, n), values, 0, nGroup),
  };
}

/** Change of a bend from one position to another that turning alone would give, degrees, by swing; NaN where that is not known. */
export function byTurnAlone(
  index: SampleIndex,
  quantity: Quantity,
  from: PositionId,
  to: PositionId,
  n: number,
): Float64Array {
  const { reading } = quantity;
  const out = new Float64Array(n).fill(Number.NaN);
  if (reading.kind !== 'orientation') return out;
  const forward = valuesAt(index, n, `${reading.segment}.forward_bend`, from).values;
  const side = valuesAt(index, n, `${reading.segment}.side_bend`, from).values;
  const turn = changeBetween(index, n, `${reading.segment}.turn`, from, to).values;
  const own = quantity.id.endsWith('.forward_bend') ? 'forward' : 'side';
  return out.map((_, i) => {
    const before = { forward: fromDisplay(forward[i]!, 'deg'), side: fromDisplay(side[i]!, 'deg') };
    const after = bendsByTurnAlone(before.forward, before.side, fromDisplay(turn[i]!, 'deg'));
    return toDisplay(after[own] - before[own], 'deg');
  });
}
