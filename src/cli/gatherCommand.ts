import { gather } from '../batch/shards.ts';
import { exitCodeOf, summaryText, warningLines } from './daySummary.ts';
import { EXIT } from './exit.ts';
import type { GatherFlags } from './main.ts';
import { withPrinting } from './printing.ts';
import { createProgress, turn } from './progress.ts';

/** Makes one day of the shards in a folder. Needs no captures. */
export async function gatherCommand(folder: string, flags: GatherFlags): Promise<number> {
  return await withPrinting(flags, async (print) => {
    const progress = createProgress('text');
    const { result, out, shards } = await gather(folder, {
      onNote: progress.note,
      onProgress: progress.step,
      onWriting: progress.writing,
      pause: turn,
    });
    progress.end();
    for (const line of warningLines(result)) progress.note(line);
    progress.note(`gathered from ${shards} shard${shards === 1 ? '' : 's'}`);
    process.stdout.write(summaryText(result, out));
    const printed = await print(out, turn);
    return exitCodeOf(result) === EXIT.used ? printed : EXIT.someBad;
  });
}
