/** A trial that is being mended: tracks are copied when the first sample of them changes, so that the input stays as it is. */

import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** First and last frame, both included. */
export type Span = readonly [number, number];

export class Mending {
  readonly #trial: MarkerTrial;
  readonly #ws: Workspace;
  readonly #points = new Map<LandmarkId, Track<3>>();

  constructor(trial: MarkerTrial, ws: Workspace) {
    this.#trial = trial;
    this.#ws = ws;
  }

  /** The trial as it is by now; the input where nothing changed. */
  get trial(): MarkerTrial {
    if (this.#points.size === 0) return this.#trial;
    const points = new Map([...this.#trial.points].map(([id, track]) => [id, this.#points.get(id) ?? track]));
    return { ...this.#trial, points };
  }

  /** Makes the samples of a span missing. */
  remove(id: LandmarkId, [first, last]: Span): void {
    const { data, state } = this.#own(id);
    const { frames } = this.#trial.clock;
    for (let c = 0; c < 3; c++) data.fill(Number.NaN, c * frames + first, c * frames + last + 1);
    state.fill(MISSING, first, last + 1);
  }

  /** Gives each of two markers the samples of the other in a span. */
  exchange(a: LandmarkId, b: LandmarkId, [first, last]: Span): void {
    const p = this.#own(a);
    const q = this.#own(b);
    const { frames } = this.#trial.clock;
    for (let f = first; f <= last; f++) {
      for (let c = 0; c < 3; c++) {
        const i = c * frames + f;
        const kept = p.data[i]!;
        p.data[i] = q.data[i]!;
        q.data[i] = kept;
      }
      const kept = p.state[f]!;
      p.state[f] = q.state[f]!;
      q.state[f] = kept;
    }
  }

  #own(id: LandmarkId): Track<3> {
    const known = this.#points.get(id);
    if (known !== undefined) return known;
    const track = this.#trial.points.get(id);
    if (track === undefined) throw new RangeError(`the trial has no marker ${id}`);
    const { frames } = this.#trial.clock;
    const data = this.#ws.float64(3 * frames);
    const state = this.#ws.uint8(frames);
    data.set(track.data);
    state.set(track.state);
    const own = { ...track, data, state };
    this.#points.set(id, own);
    return own;
  }
}
