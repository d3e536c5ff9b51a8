/** Swings and players made ready to be written on threads, in order, and never many at once. */
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
import type { Threads } from './threads.ts';

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
export function poolRenderer(threads: Threads, { shelf, seriesOf, onNote }: PoolRendererTools): PartRenderer {
  const here = rendererHere(shelf, seriesOf);
  const { workers } = threads;
  return {
    async *swings(outcomes, options) {
      const used = outcomes.filter(({ record }) => record !== null);
      yield* inOrder(used, 2 * workers, {
        async there(outcome) {
          const handles = shelf.handlesOf([outcome.trial]);
          const task: SwingTask = { outcome, handles, options, hasSeries: seriesOf !== null };
          const { notes, ...output } = await threads.run<SwingAnswer>({ name: 'swing', task });
          for (const note of notes) onNote(note);
          return output;
        },
        here: (outcome) => here.swings([outcome], options),
      });
    },
    async *players(parts) {
      yield* inOrder(parts, workers, {
        async there(part) {
          const handles = shelf.handlesOf(part.own.filter(({ record }) => record !== null).map(({ trial }) => trial));
          const task: PlayerTask = { part, handles };
          return playerOutputFrom(await threads.run<PlayerAnswer>({ name: 'player', task }));
        },
        here: (part) => here.players([part]),
      });
    },
  };
}

/** How one part is made: on a thread, or here where that fails. */
interface Ways<T, R> {
  there(task: T): Promise<R>;
  here(task: T): AsyncIterable<R>;
}

/** Results in the order of the tasks; never more than `most` are begun and not yet taken. Once nothing more is taken nothing more is made here. */
async function* inOrder<T, R>(tasks: Iterable<T>, most: number, { there, here }: Ways<T, R>): AsyncGenerator<R> {
  let isOver = false;
  const run = async (task: T): Promise<R> => {
    try {
      return await there(task);
    } catch (error) {
      if (isOver) throw error;
      for await (const result of here(task)) return result;
      throw error;
    }
  };
  const begun: Promise<R>[] = [];
  try {
    for (const task of tasks) {
      const result = run(task);
      // an error is thrown when its turn comes, and only then
      result.catch(() => {});
      begun.push(result);
      if (begun.length >= most) yield await begun.shift()!;
    }
    for (const result of begun) yield await result;
  } finally {
    isOver = true;
  }
}
