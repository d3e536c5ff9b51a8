/** Swings and players made ready to be written on threads, in order, and never many at once. */
import type { Piscina } from 'piscina';
import type { SeriesOf } from '../model/swingSeries.ts';
import { type PartRenderer, rendererHere } from '../pipeline/partRenderer.ts';
import {
  type PlayerAnswer,
  type PlayerTask,
  playerOutputFrom,
  type SwingAnswer,
  type SwingTask,
} from './partMessages.ts';
import type { HandleShelf } from './recordHandles.ts';

export interface PoolRendererTools {
  readonly shelf: HandleShelf;
  /** Null: what is made of the swings at every frame is not asked for. */
  readonly seriesOf: SeriesOf | null;
  readonly onNote: (note: string) => void;
}

/**
 * A thread that ends or throws costs nothing: its part is made in this thread, where what is wrong with a record is thrown as it is. So much
 * is under way or waits for its turn: two swings a thread, and one player a thread.
 */
export function poolRenderer(pool: Piscina, { shelf, seriesOf, onNote }: PoolRendererTools): PartRenderer {
  const here = rendererHere(shelf, seriesOf);
  const workers = pool.options.maxThreads;
  return {
    async *swings(outcomes, options) {
      const used = outcomes.filter(({ record }) => record !== null);
      yield* inOrder(used, 2 * workers, async (outcome) => {
        const handles = shelf.handlesOf([outcome.trial]);
        const task: SwingTask = { outcome, handles, options, hasSeries: seriesOf !== null };
        try {
          const { notes, ...output } = (await pool.run(task, { name: 'swing' })) as SwingAnswer;
          for (const note of notes) onNote(note);
          return output;
        } catch {
          return await only(here.swings([outcome], options));
        }
      });
    },
    async *players(parts) {
      yield* inOrder(parts, workers, async (part) => {
        const handles = shelf.handlesOf(part.own.filter(({ record }) => record !== null).map(({ trial }) => trial));
        const task: PlayerTask = { part, handles };
        try {
          return playerOutputFrom((await pool.run(task, { name: 'player' })) as PlayerAnswer);
        } catch {
          return await only(here.players([part]));
        }
      });
    },
  };
}

/** Results in the order of the tasks; never more than `most` are begun and not yet taken. */
async function* inOrder<T, R>(tasks: Iterable<T>, most: number, run: (task: T) => Promise<R>): AsyncGenerator<R> {
  const begun: Promise<R>[] = [];
  for (const task of tasks) {
    const result = run(task);
    // an error is thrown when its turn comes, and only then
    result.catch(() => {});
    begun.push(result);
    if (begun.length >= most) yield await begun.shift()!;
  }
  for (const result of begun) yield await result;
}

async function only<R>(results: AsyncIterable<R>): Promise<R> {
  for await (const result of results) return result;
  throw new RangeError('there is no result');
}
