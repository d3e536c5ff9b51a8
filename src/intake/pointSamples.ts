import type { C3dFile } from '../c3d/types.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import { median } from '../numeric/statistics.ts';
import { distance } from '../numeric/vector.ts';

type V = readonly [number, number, number];

/** One moment of the landmarks, file units and axes; null where missing. */
export interface Moment {
  point(name: FileLandmark): V | null;
  /** Mean of the named points, null unless every one that the file has is there. */
  centre(names: readonly FileLandmark[]): V | null;
}

const AT_MOST = 24;

/** About two dozen evenly spaced frames of the recognised landmarks: enough to read facts off, cheap enough for every trial. */
export class PointSamples {
  readonly #file: C3dFile;
  readonly #found: ReadonlyMap<FileLandmark, number>;
  readonly #trusted: boolean;
  readonly #frames: readonly number[];
  readonly #moments = new Map<number, Moment>();

  constructor(file: C3dFile, found: ReadonlyMap<FileLandmark, number>, trusted: boolean) {
    this.#file = file;
    this.#found = found;
    this.#trusted = trusted;
    const step = Math.max(1, Math.floor(file.frames / AT_MOST));
    const frames: number[] = [];
    for (let frame = 0; frame < file.frames; frame += step) frames.push(frame);
    this.#frames = frames;
  }

  has(name: FileLandmark): boolean {
    return this.#found.has(name);
  }

  hasAny(names: readonly FileLandmark[]): boolean {
    return names.some((name) => this.#found.has(name));
  }

  indices(): number[] {
    return [...this.#found.values()];
  }

  /** Its places are kept once read: the same markers are asked for again and again. */
  at(frame: number): Moment {
    let moment = this.#moments.get(frame);
    if (moment === undefined) {
      moment = this.#make(frame);
      this.#moments.set(frame, moment);
    }
    return moment;
  }

  #make(frame: number): Moment {
    const places = new Map<FileLandmark, V | null>();
    const point = (name: FileLandmark): V | null => {
      let place = places.get(name);
      if (place === undefined) {
        const index = this.#found.get(name);
        place = index === undefined ? null : samplePoint(this.#file, index, frame, this.#trusted);
        places.set(name, place);
      }
      return place;
    };
    const centre = (names: readonly FileLandmark[]): V | null => {
      let x = 0;
      let y = 0;
      let z = 0;
      let count = 0;
      for (const name of names) {
        if (!this.#found.has(name)) continue;
        const p = point(name);
        if (p === null) return null;
        x += p[0];
        y += p[1];
        z += p[2];
        count += 1;
      }
      return count === 0 ? null : [x / count, y / count, z / count];
    };
    return { point, centre };
  }

  /** Every moment. */
  moments(): readonly Moment[] {
    return this.#frames.map((frame) => this.at(frame));
  }

  forEachMoment(visit: (moment: Moment) => void): void {
    for (const frame of this.#frames) visit(this.at(frame));
  }

  /** Mean of a number over the sampled frames where it exists; null where it never does. */
  meanOver(read: (moment: Moment) => number | null): number | null {
    let sum = 0;
    let count = 0;
    for (const frame of this.#frames) {
      const value = read(this.at(frame));
      if (value === null || !Number.isFinite(value)) continue;
      sum += value;
      count += 1;
    }
    return count === 0 ? null : sum / count;
  }

  /** Mean place of a group of landmarks over the sampled frames. */
  centre(names: readonly FileLandmark[]): V | null {
    const sum = [0, 0, 0];
    let count = 0;
    for (const frame of this.#frames) {
      const p = this.at(frame).centre(names);
      if (p === null) continue;
      for (let axis = 0; axis < 3; axis += 1) sum[axis]! += p[axis]!;
      count += 1;
    }
    return count === 0 ? null : [sum[0]! / count, sum[1]! / count, sum[2]! / count];
  }

  /** The same over the first quarter second in which the group is seen. */
  startCentre(names: readonly FileLandmark[]): V | null {
    const wanted = Math.max(1, Math.round(0.25 * (this.#file.rate_Hz ?? 100)));
    const sum = [0, 0, 0];
    let count = 0;
    for (let frame = 0; frame < this.#file.frames && count < wanted; frame += 1) {
      const p = this.at(frame).centre(names);
      if (p === null) continue;
      for (let axis = 0; axis < 3; axis += 1) sum[axis]! += p[axis]!;
      count += 1;
    }
    return count === 0 ? null : [sum[0]! / count, sum[1]! / count, sum[2]! / count];
  }

  medianDistance(a: FileLandmark, b: FileLandmark): number {
    return median(
      this.#frames.flatMap((frame) => {
        const p = this.at(frame).point(a);
        const q = this.at(frame).point(b);
        return p === null || q === null ? [] : [distance(p, q)];
      }),
    );
  }

  /** Median over frames of the largest distance between any two of the landmarks. */
  medianExtent(names: readonly FileLandmark[]): number {
    const sizes: number[] = [];
    for (const frame of this.#frames) {
      const moment = this.at(frame);
      const seen = names.map((name) => moment.point(name)).filter((p) => p !== null);
      let largest = -1;
      for (let i = 0; i < seen.length; i += 1) {
        const [x, y, z] = seen[i]!;
        for (let j = i + 1; j < seen.length; j += 1) {
          const q = seen[j]!;
          const square = (q[0] - x) * (q[0] - x) + (q[1] - y) * (q[1] - y) + (q[2] - z) * (q[2] - z);
          if (square > largest) largest = square;
        }
      }
      if (largest >= 0 && Number.isFinite(largest)) sizes.push(Math.sqrt(largest));
    }
    return median(sizes);
  }
}

/** The label of a point, or its number from 1 where it has none. */
export function pointLabel(file: C3dFile, index: number): string {
  return (file.labels[index] ?? '').trim() || `point ${index + 1}`;
}

/** A sample in file units, or null: a negative fourth word (unless coordinates are trusted), NaN, or exactly 0, 0, 0. */
export function samplePoint(file: C3dFile, index: number, frame: number, trusted: boolean): V | null {
  const { frames, xyz, word4 } = file;
  if (!trusted && word4[index * frames + frame]! < 0) return null;
  const x = xyz[3 * index * frames + frame]!;
  const y = xyz[(3 * index + 1) * frames + frame]!;
  const z = xyz[(3 * index + 2) * frames + frame]!;
  if (!Number.isFinite(x) || !Number.isFinite(y) || !Number.isFinite(z)) return null;
  return x === 0 && y === 0 && z === 0 ? null : [x, y, z];
}
