import type { Shares } from '../model/comparison.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import { toDisplay } from '../model/units.ts';
import { angleNear, anglesFromRotation } from '../numeric/eulerAngles.ts';
import { mul3, mulT3 } from '../numeric/rotation.ts';
import { sortedPercentile } from '../numeric/statistics.ts';
import { type MethodChoice, methodClass } from './methods.ts';
import { type Resamples, resampleSwings } from './resampling.ts';
import type { SwingGroup } from './swings.ts';

/** What a thorax difference is made of: the pelvis below it, or the trunk between. */

/** Angles of the thorax against the player frame, Y-X-Z: component and trade sign (definitions 2). */
const COMPONENTS = [
  { quantity: 'thorax.turn', component: 0, sign: 1 },
  { quantity: 'thorax.side_bend', component: 1, sign: 1 },
  { quantity: 'thorax.forward_bend', component: 2, sign: -1 },
] as const;

/** Percentages are not given from this side bend on: near ±90° turn and forward bend cannot be told apart. */
const STEEPEST_SIDE_BEND_DEG = 80;

/** Pelvis share, trunk share of one driver swing against one iron swing, radians, for turn, side bend, forward bend in turn. */
export type PairShares = (
  pelvisD: Float64Array,
  thoraxD: Float64Array,
  pelvisI: Float64Array,
  thoraxI: Float64Array,
  out6: Float64Array,
) => void;

/**
 * Definitions 8, for rotations R_G_pelvis P and R_G_thorax T, J = Pᵀ·T, f(P, J) an angle of P·J on the branch nearest f(P_I, J_I):
 * pelvis share = ½[f(P_D,J_I) − f(P_I,J_I) + f(P_D,J_D) − f(P_I,J_D)], trunk share = ½[f(P_I,J_D) − f(P_I,J_I) + f(P_D,J_D) − f(P_D,J_I)].
 * The two add up to f(P_D,J_D) − f(P_I,J_I). Writes pelvis and trunk share of turn, side bend, forward bend. Keeps scratch of its own.
 */
export function pairShares(): PairShares {
  const jointD = new Float64Array(9);
  const jointI = new Float64Array(9);
  const mixed = new Float64Array(9);
  const angles = [new Float64Array(3), new Float64Array(3), new Float64Array(3), new Float64Array(3)] as const;
  const [ii, di, id, dd] = angles;
  return (pelvisD, thoraxD, pelvisI, thoraxI, out6) => {
    mulT3(pelvisD, 0, thoraxD, 0, jointD, 0);
    mulT3(pelvisI, 0, thoraxI, 0, jointI, 0);
    anglesFromRotation(thoraxI, 0, 'YXZ', ii);
    mul3(pelvisD, 0, jointI, 0, mixed, 0);
    anglesFromRotation(mixed, 0, 'YXZ', di);
    mul3(pelvisI, 0, jointD, 0, mixed, 0);
    anglesFromRotation(mixed, 0, 'YXZ', id);
    anglesFromRotation(thoraxD, 0, 'YXZ', dd);
    for (let c = 0; c < 3; c++) {
      const { component, sign } = COMPONENTS[c]!;
      const base = ii[component]!;
      const pelvisMoved = angleNear(di[component]!, base);
      const trunkMoved = angleNear(id[component]!, base);
      const both = angleNear(dd[component]!, base);
      out6[2 * c] = 0.5 * sign * (pelvisMoved - base + both - trunkMoved);
      out6[2 * c + 1] = 0.5 * sign * (trunkMoved - base + both - pelvisMoved);
    }
  };
}

interface Pose {
  readonly pelvis: Float64Array;
  readonly thorax: Float64Array;
}

function posesAt(side: SwingGroup, position: PositionId, choice: MethodChoice): Pose[] {
  return side.records.flatMap((record) => {
    const pose = record.poses[position];
    if (!pose?.pelvis || !pose.thorax || methodClass(record, position) !== choice.methods[position]) return [];
    return [{ pelvis: Float64Array.from(pose.pelvis), thorax: Float64Array.from(pose.thorax) }];
  });
}

function steepest(poses: readonly Pose[]): number {
  const angles = new Float64Array(3);
  let most = 0;
  for (const { thorax } of poses) {
    anglesFromRotation(thorax, 0, 'YXZ', angles);
    most = Math.max(most, Math.abs(angles[1]!));
  }
  return toDisplay(most, 'deg');
}

/** Means over pairs when swings are drawn again, Σ cᵢ cⱼ sᵢⱼ / (n₁ n₂), of three components at once; `shares3`: pair by pair, three each. */
function redrawnMeans(
  shares3: Float64Array,
  nD: number,
  nI: number,
  draws: Float64Array,
  out: readonly [Float64Array, Float64Array, Float64Array],
): void {
  const n = nD + nI;
  const [turn, side, forward] = out;
  for (let r = 0; r < turn.length; r++) {
    const at = r * n;
    let a = 0;
    let b = 0;
    let c = 0;
    for (let d = 0; d < nD; d++) {
      const times = draws[at + d]!;
      if (times === 0) continue;
      let rowA = 0;
      let rowB = 0;
      let rowC = 0;
      let pair = 3 * d * nI;
      for (let i = at + nD; i < at + n; i++) {
        const each = draws[i]!;
        rowA += each * shares3[pair]!;
        rowB += each * shares3[pair + 1]!;
        rowC += each * shares3[pair + 2]!;
        pair += 3;
      }
      a += times * rowA;
      b += times * rowB;
      c += times * rowC;
    }
    turn[r] = a / (nD * nI);
    side[r] = b / (nD * nI);
    forward[r] = c / (nD * nI);
  }
}

/** Whether the thorax difference departs at a position; given by the caller, who knows the rows. */
export type Departs = (quantity: string, position: PositionId) => boolean;

/**
 * Shares of the thorax difference at every position where two swings of each side have pelvis and thorax, degrees, with the bootstrap
 * percentile interval of the pelvis share. Means over all pairs of a driver and an iron swing. Percentages only where the thorax
 * difference departs, both shares have its sign and no swing's thorax side bend reaches 80°.
 */
export function thoraxShares(
  group: SwingGroup,
  reference: SwingGroup,
  choice: MethodChoice,
  departs: Departs,
  seed: number,
  resamples: Resamples,
): Shares[] {
  const out: Shares[] = [];
  const pair = pairShares();
  const pair6 = new Float64Array(6);
  const { count } = resamples;
  const means = [new Float64Array(count), new Float64Array(count), new Float64Array(count)] as const;
  const drawn = new Map([[`${resamples.nGroup}+${resamples.n - resamples.nGroup}`, resamples.draws]]);
  for (const position of POSITIONS) {
    if ((position === 'P4' || position === 'P4(arm)') && position !== choice.top) continue;
    const D = posesAt(group, position, choice);
    const I = posesAt(reference, position, choice);
    if (D.length < 2 || I.length < 2) continue;
    const key = `${D.length}+${I.length}`;
    const draws = drawn.get(key) ?? resampleSwings(D.length, I.length, seed, count).draws;
    drawn.set(key, draws);
    const pairs = D.length * I.length;
    const pelvis = new Float64Array(3 * pairs);
    const pelvisSum = [0, 0, 0];
    const trunkSum = [0, 0, 0];
    D.forEach((d, a) => {
      I.forEach((i, b) => {
        pair(d.pelvis, d.thorax, i.pelvis, i.thorax, pair6);
        for (let c = 0; c < 3; c++) {
          pelvis[3 * (a * I.length + b) + c] = pair6[2 * c]!;
          pelvisSum[c]! += pair6[2 * c]!;
          trunkSum[c]! += pair6[2 * c + 1]!;
        }
      });
    });
    redrawnMeans(pelvis, D.length, I.length, draws, means);
    const steep = Math.max(steepest(D), steepest(I)) >= STEEPEST_SIDE_BEND_DEG;
    COMPONENTS.forEach(({ quantity }, c) => {
      const pelvis_deg = toDisplay(pelvisSum[c]! / pairs, 'deg');
      const trunk_deg = toDisplay(trunkSum[c]! / pairs, 'deg');
      const total_deg = pelvis_deg + trunk_deg;
      const ascending = means[c]!.sort();
      const [low, high] = [sortedPercentile(ascending, 2.5), sortedPercentile(ascending, 97.5)];
      const sign = Math.sign(total_deg);
      const told =
        sign !== 0 &&
        !steep &&
        Math.sign(pelvis_deg) === sign &&
        Math.sign(trunk_deg) === sign &&
        departs(quantity, position);
      out.push({
        quantity,
        position,
        total_deg,
        pelvis_deg,
        trunk_deg,
        pelvisLow95_deg: toDisplay(low, 'deg'),
        pelvisHigh95_deg: toDisplay(high, 'deg'),
        pelvisPercent: told ? (100 * pelvis_deg) / total_deg : null,
        trunkPercent: told ? (100 * trunk_deg) / total_deg : null,
      });
    });
  }
  return out;
}
