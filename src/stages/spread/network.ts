/** Carries the noise of measured points through everything that is made of them, to first order, at one moment at a time. */

import type { MadeOf, Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { byInput } from './byInput.ts';
import {
  fillLeaf,
  type Leaf,
  type LeafValues,
  leafOf,
  leafValues,
  type Order,
  SHIFT_INSTANTS,
  SHIFT_SIZE,
  type SpreadMoment,
} from './leaves.ts';

/** `carry` has a sum for each: another number of them does not compile. */
const INSTANTS: 5 = SHIFT_INSTANTS.length;

type AnyTrack = Track<3> | Track<9>;

/** A track with the measured points that it rests on. */
interface Node {
  readonly track: AnyTrack;
  readonly inputs: readonly number[];
  /** Its measured points, and for each input where that one's points stand among them. */
  readonly leaves: readonly number[];
  readonly places: readonly (readonly number[])[];
  /** Where its 3 × 3 blocks begin, one a measured point. */
  readonly offset: number;
}

/** What a moment knows: leaves, and blocks of the nodes that were asked for. */
export interface MomentState {
  readonly moment: SpreadMoment;
  readonly rate_Hz: number;
  readonly order: Order;
  readonly leaves: LeafValues;
  readonly blocks: Float64Array;
  readonly isFilled: Uint8Array;
}

/** A linear function of up to `most` tracks: gradient by a point's place (m) in G or by a rotation vector about a segment's own axes (rad). */
export interface Gradient {
  count: number;
  readonly nodes: Int32Array;
  readonly by: Float64Array;
}

/** What becomes of a linear function, in its own unit. */
export interface Carried {
  noise2: number;
  /** The filter's shift as estimated, at the moment and around it (`SHIFT_INSTANTS`). */
  readonly shift: Float64Array;
  shiftNoise2: number;
  shiftCovariance: number;
  /** A second. */
  slope: number;
}

const MOST = 6;

export function createGradient(): Gradient {
  return { count: 0, nodes: new Int32Array(MOST), by: new Float64Array(3 * MOST) };
}

/** Adds the gradient by one more node. */
export function addNode(gradient: Gradient, node: number, x: number, y: number, z: number): void {
  const k = gradient.count;
  gradient.nodes[k] = node;
  gradient.by[3 * k] = x;
  gradient.by[3 * k + 1] = y;
  gradient.by[3 * k + 2] = z;
  gradient.count += 1;
}

export function createCarried(): Carried {
  const shift = new Float64Array(INSTANTS);
  return { noise2: 0, shift, shiftNoise2: 0, shiftCovariance: 0, slope: 0 };
}

export class Network {
  readonly #nodes: Node[] = [];
  readonly #leaves: Leaf[] = [];
  readonly #known = new Map<AnyTrack, number>();
  readonly #ws: Workspace;
  readonly #A = new Float64Array(9);
  #blocks = 0;
  #sums: Float64Array | null = null;

  constructor(ws: Workspace) {
    this.#ws = ws;
  }

  /** The node of a track, with all that it is made of; −1 for a rotation of which that is not known. */
  node(track: AnyTrack): number {
    const known = this.#known.get(track);
    if (known !== undefined) return known;
    const inputs = inputsOf(track.madeOf).map((input) => this.node(input));
    const leaves: number[] = [];
    let places: number[][] = [];
    if (track.madeOf === undefined) {
      if (track.dimension === 9) return -1;
      leaves.push(this.#leaves.push(leafOf(track)) - 1);
    } else {
      if (inputs.includes(-1)) return -1;
      const placeOf = new Map<number, number>();
      places = inputs.map((input) =>
        this.#nodes[input]!.leaves.map((leaf) => {
          let place = placeOf.get(leaf);
          if (place === undefined) {
            place = leaves.push(leaf) - 1;
            placeOf.set(leaf, place);
          }
          return place;
        }),
      );
    }
    const id = this.#nodes.push({ track, inputs, leaves, places, offset: this.#blocks }) - 1;
    this.#blocks += 9 * leaves.length;
    this.#known.set(track, id);
    return id;
  }

  /** True where all measured points behind a track are filtered. */
  isFiltered(track: AnyTrack): boolean {
    const id = this.node(track);
    return id >= 0 && this.#nodes[id]!.leaves.every((leaf) => this.#leaves[leaf]!.track.response !== undefined);
  }

  /** A moment; every node must be known by now. */
  at(moment: SpreadMoment, rate_Hz: number, order: Order = 'place'): MomentState {
    return {
      moment,
      rate_Hz,
      order,
      leaves: leafValues(this.#leaves.length, this.#ws),
      blocks: this.#ws.float64(this.#blocks),
      isFilled: this.#ws.uint8(this.#nodes.length).fill(0),
    };
  }

  /** Noise, shift and slope of a linear function at a moment. */
  carry(state: MomentState, { count, nodes, by }: Gradient, out: Carried): void {
    if (this.#sums === null) this.#sums = new Float64Array(3 * this.#leaves.length);
    const sums = this.#sums;
    const { isKnown, noise2, shiftNoise2, shiftCovariance, shift, velocity } = state.leaves;
    // one sum an instant of SHIFT_INSTANTS, in their order
    let now = 0;
    let halfBefore = 0;
    let quarterBefore = 0;
    let quarterAfter = 0;
    let halfAfter = 0;
    let noise = 0;
    let ofEstimate = 0;
    let covariance = 0;
    let slope = 0;
    for (let k = 0; k < count; k++) this.#gather(state, nodes[k]!, by, 3 * k, sums);
    for (let k = 0; k < count; k++) {
      const { leaves } = this.#nodes[nodes[k]!]!;
      for (let i = 0; i < leaves.length; i++) {
        const leaf = leaves[i]!;
        const o = 3 * leaf;
        const x = sums[o]!;
        const y = sums[o + 1]!;
        const z = sums[o + 2]!;
        const size2 = x * x + y * y + z * z;
        if (size2 === 0) continue;
        if (isKnown[leaf] === 0)
          fillLeaf(state.leaves, leaf, this.#leaves[leaf]!, state.moment, state.rate_Hz, state.order);
        noise += size2 * noise2[leaf]!;
        ofEstimate += size2 * shiftNoise2[leaf]!;
        covariance += size2 * shiftCovariance[leaf]!;
        const p = SHIFT_SIZE * leaf;
        now = now + x * shift[p]! + y * shift[p + 1]! + z * shift[p + 2]!;
        halfBefore = halfBefore + x * shift[p + 3]! + y * shift[p + 4]! + z * shift[p + 5]!;
        quarterBefore = quarterBefore + x * shift[p + 6]! + y * shift[p + 7]! + z * shift[p + 8]!;
        quarterAfter = quarterAfter + x * shift[p + 9]! + y * shift[p + 10]! + z * shift[p + 11]!;
        halfAfter = halfAfter + x * shift[p + 12]! + y * shift[p + 13]! + z * shift[p + 14]!;
        slope += x * velocity[o]! + y * velocity[o + 1]! + z * velocity[o + 2]!;
        sums[o] = 0;
        sums[o + 1] = 0;
        sums[o + 2] = 0;
      }
    }
    out.shift[0] = now;
    out.shift[1] = halfBefore;
    out.shift[2] = quarterBefore;
    out.shift[3] = quarterAfter;
    out.shift[4] = halfAfter;
    out.noise2 = noise;
    out.shiftNoise2 = ofEstimate;
    out.shiftCovariance = covariance;
    out.slope = slope;
  }

  #gather(state: MomentState, id: number, by: Float64Array, at: number, sums: Float64Array): void {
    this.#fill(state, id);
    const { leaves, offset } = this.#nodes[id]!;
    const { blocks } = state;
    const x = by[at]!;
    const y = by[at + 1]!;
    const z = by[at + 2]!;
    for (let i = 0; i < leaves.length; i++) {
      const o = offset + 9 * i;
      const s = 3 * leaves[i]!;
      for (let c = 0; c < 3; c++) {
        sums[s + c] = sums[s + c]! + x * blocks[o + c]! + y * blocks[o + 3 + c]! + z * blocks[o + 6 + c]!;
      }
    }
  }

  /** The blocks of a node: its change (rows) by that of each measured point in G (columns). */
  #fill(state: MomentState, id: number): void {
    if (state.isFilled[id] === 1) return;
    state.isFilled[id] = 1;
    const { track, inputs, leaves, offset } = this.#nodes[id]!;
    const { blocks, moment } = state;
    blocks.fill(0, offset, offset + 9 * leaves.length);
    if (track.madeOf === undefined) {
      for (let c = 0; c < 9; c += 4) blocks[offset + c] = 1;
      return;
    }
    for (let k = 0; k < inputs.length; k++) {
      this.#fill(state, inputs[k]!);
      byInput(track, track.madeOf, k, moment.frame, this.#A);
      this.#addProduct(blocks, id, k);
    }
  }

  #addProduct(blocks: Float64Array, id: number, input: number): void {
    const { inputs, places, offset } = this.#nodes[id]!;
    const from = this.#nodes[inputs[input]!]!;
    const A = this.#A;
    for (let i = 0; i < from.leaves.length; i++) {
      const b = from.offset + 9 * i;
      const o = offset + 9 * places[input]![i]!;
      for (let r = 0; r < 9; r += 3) {
        for (let c = 0; c < 3; c++) {
          blocks[o + r + c] =
            blocks[o + r + c]! +
            A[r]! * blocks[b + c]! +
            A[r + 1]! * blocks[b + 3 + c]! +
            A[r + 2]! * blocks[b + 6 + c]!;
        }
      }
    }
  }
}

function inputsOf(madeOf: MadeOf | undefined): readonly AnyTrack[] {
  switch (madeOf?.kind) {
    case undefined:
      return [];
    case 'carried':
      return [madeOf.origin, madeOf.pose];
    case 'line':
      return [madeOf.from, madeOf.to];
    default:
      return madeOf!.tracks;
  }
}
