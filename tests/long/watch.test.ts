import { cpSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { lockFolder } from '../../src/batch/lock.ts';
import { resultsOf, runSmallDay } from '../support/batchDay.ts';
import { contentsOf, scratchFolder } from '../support/folders.ts';
import { makeDayToCome, watchWhile } from '../support/watchedDay.ts';

const scratch = scratchFolder();
const FIRST = ['wren/0-static', 'wren/1-driver-1', 'wren/1-driver-2', 'wren/2-iron7-1'];
const LATE = 'wren/2-iron7-2';
const HERON = ['heron/0-static', 'heron/1-driver-1', 'heron/1-driver-2', 'heron/2-iron7-1', 'heron/2-iron7-2'];
let made = 0;

/** A new folder with the first four recordings of the day. The results of all of them share a store. */
function begun() {
  made += 1;
  const day = makeDayToCome(scratch, `day ${made}`);
  day.bring(...FIRST);
  return { ...day, out: join(scratch, 'shared') };
}

const used = (names: readonly string[]): readonly string[] => names.map((name) => `${name} used`).sort();
const page = (out: string): string => readFileSync(join(out, 'index.html'), 'utf8');

/** What one run writes on a day as it lies there now. */
async function oneRun(dayFile: string): Promise<ReadonlyMap<string, string>> {
  made += 1;
  const out = join(scratch, `one ${made}`);
  cpSync(join(scratch, 'shared/.store'), join(out, '.store'), { recursive: true });
  rmSync(join(out, '.store/lock'), { force: true });
  await runSmallDay(dayFile, out, { workers: 1 });
  return resultsOf(out);
}

// each round writes a report: some seconds of work in all
describe('a day that is watched', { timeout: 600_000 }, () => {
  it('takes recordings once they are complete, and ends with the bytes of one run; captures are as they were', async () => {
    const { folder, dayFile, out, bring, bringPart } = begun();
    const pages: string[] = [];
    const { end, rounds, problems, waiting, notes } = await watchWhile(
      { dayFile, out },
      [
        { at_ms: 4000, act: () => bringPart('wren/2-iron7-2', 0.3) },
        { at_ms: 5000, act: () => bringPart('wren/2-iron7-2', 0.6) },
        { at_ms: 10_000, act: () => bring('wren/2-iron7-2') },
        { at_ms: 15_000, act: () => bring(...HERON) },
        { at_ms: 20_000 },
      ],
      { onRound: () => pages.push(page(out)) },
    );
    expect({ kind: end.kind, problems, notes }).toEqual({ kind: 'whole', problems: [], notes: [] });
    // a look a second; a file counts two seconds after its last change
    expect(rounds).toEqual([
      { round: 1, at_ms: 2000, fresh: FIRST, held: [], trials: used(FIRST) },
      { round: 2, at_ms: 12_000, fresh: [LATE], held: [], trials: used([...FIRST, LATE]) },
      { round: 3, at_ms: 17_000, fresh: HERON, held: [], trials: used([...FIRST, LATE, ...HERON]) },
    ]);
    expect(waiting[0]).toHaveLength(4); // the static trial and the three patterns of heron
    expect(waiting[1]).toEqual([...waiting[0]!, expect.stringMatching(/wren\/2-iron7-2\.c3d.* frames are there/)]);
    expect(waiting[waiting.length - 1]).toEqual([]);
    for (const text of pages) expect(text).toContain('data-reload="5"');
    expect(page(out)).not.toContain('reload');
    expect(resultsOf(out)).toEqual(await oneRun(dayFile));
    const recorded = [...contentsOf(join(scratch, 'recorded'))].filter(([path]) => path.endsWith('.c3d'));
    expect([...contentsOf(folder)].filter(([path]) => path.endsWith('.c3d'))).toEqual(recorded);
  });

  it('waits for a file that stands still and is too short, then takes it as one run does', async () => {
    const { dayFile, out, bringPart } = begun();
    const { end, rounds } = await watchWhile({ dayFile, out }, [
      { at_ms: 4000, act: () => bringPart('wren/2-iron7-2', 0.01) },
      { at_ms: 40_000 },
    ]);
    expect(rounds.map(({ at_ms, trials }) => [at_ms, trials.length])).toEqual([
      [2000, 4],
      [34_000, 5],
    ]);
    expect(rounds[1]!.trials).toEqual([...used(FIRST), `${LATE} rejected`]);
    expect(end).toMatchObject({ kind: 'waiting', waiting: Array(4).fill(expect.stringContaining('heron')) });
  });

  it('passes over a file that grows while others are complete, and names it', async () => {
    const { dayFile, out, bring, bringPart } = begun();
    const { rounds } = await watchWhile({ dayFile, out }, [
      { at_ms: 4000, act: () => bring('heron/0-static') },
      { at_ms: 5000, act: () => bringPart('wren/2-iron7-2', 0.5) },
      { at_ms: 6500 },
    ]);
    expect(rounds[1]).toMatchObject({ at_ms: 6000, trials: used([...FIRST, 'heron/0-static']) });
    expect(rounds[1]!.held).toEqual([{ path: `${LATE}.c3d`, why: '' }]);
  });

  it('says once what is wrong with a day file that is edited, keeps the last results and goes on when it is right', async () => {
    const { dayFile, out } = begun();
    const text = readFileSync(dayFile, 'utf8');
    const half = text.slice(0, text.indexOf('  - {pattern: wren/1'));
    let before: ReadonlyMap<string, string> = new Map();
    const { rounds, problems } = await watchWhile({ dayFile, out }, [
      // half of it is a valid day file, and is seen for less than the time of settling
      { at_ms: 4000, act: () => writeFileSync(dayFile, half) },
      { at_ms: 5000, act: () => writeFileSync(dayFile, text) },
      {
        at_ms: 9000,
        act: () => {
          before = resultsOf(out);
          writeFileSync(dayFile, text.replace('hand: right', 'hnd: right'));
        },
      },
      { at_ms: 20_000, act: () => expect(resultsOf(out)).toEqual(before) },
      { at_ms: 20_000, act: () => writeFileSync(dayFile, text.replace('a small day', 'a long day')) },
      { at_ms: 24_000 },
    ]);
    expect(rounds.map(({ at_ms, trials }) => [at_ms, trials.length])).toEqual([
      [2000, 4],
      [22_000, 4],
    ]);
    expect(problems).toEqual([expect.stringMatching(/day\.yaml:6:\d+: "hnd" is not a key .* did you mean hand\?/)]);
    expect(page(out)).toContain('a long day');
  });

  it('begins with a day file that is not right yet, and ends so without a result', async () => {
    const { dayFile } = begun();
    const out = join(scratch, 'never');
    const text = readFileSync(dayFile, 'utf8');
    writeFileSync(dayFile, text.replace('up: +Z', 'up: "?"'));
    const { end, rounds, problems } = await watchWhile({ dayFile, out }, [{ at_ms: 5000 }]);
    expect(rounds).toEqual([]);
    expect(problems).toEqual([expect.stringContaining('lab.up is still unknown (?)')]);
    expect(end).toEqual({ kind: 'problems', problems });
    expect(resultsOf(out)).toEqual(new Map());
  });

  it('does again a recording that was exported anew, and drops one that was taken away', async () => {
    const { folder, dayFile, out } = begun();
    const [swing, other] = [join(folder, 'wren/1-driver-1.c3d'), join(folder, 'wren/1-driver-2.c3d')];
    const { end, rounds } = await watchWhile({ dayFile, out }, [
      { at_ms: 4000, act: () => rmSync(swing) },
      { at_ms: 5000, act: () => cpSync(other, swing) },
      { at_ms: 10_000, act: () => rmSync(swing) },
      { at_ms: 15_000 },
    ]);
    // replaced in two steps: no round without it
    expect(rounds.map(({ at_ms, trials }) => [at_ms, trials.length])).toEqual([
      [2000, 4],
      [7000, 4],
      [12_000, 3],
    ]);
    expect(rounds[1]!.fresh).toEqual(['wren/1-driver-1']);
    expect(end.kind).toBe('waiting');
  });

  it('keeps the last results while the folder of the captures is not connected, to the end too', async () => {
    const { folder, dayFile, out } = begun();
    const data = `${folder} share`;
    renameSync(folder, data);
    const request = { dayFile: join(scratch, 'apart.yaml'), data, out };
    cpSync(join(data, 'day.yaml'), request.dayFile);
    let before: ReadonlyMap<string, string> = new Map();
    const { end, rounds, problems } = await watchWhile(request, [
      {
        at_ms: 4000,
        act: () => {
          before = resultsOf(out);
          renameSync(join(data, 'wren'), join(data, '.wren'));
        },
      },
      { at_ms: 9000, act: () => renameSync(data, folder) },
      { at_ms: 13_000, act: () => renameSync(folder, data) },
      { at_ms: 17_000 },
    ]);
    expect(rounds).toHaveLength(1);
    expect(problems).toEqual([
      expect.stringContaining('all 4 files of the day are gone'),
      expect.stringContaining('cannot be listed: it does not exist'),
      expect.stringContaining('all 4 files of the day are gone'),
    ]);
    expect(end.kind).toBe('problems');
    expect(resultsOf(out)).toEqual(before);
    expect(dayFile).not.toBe(request.dayFile);
  });

  it('holds the folder: another run is told who watches, and a watch whose lock was taken over ends', async () => {
    const { dayFile, out } = begun();
    let told = '';
    await watchWhile({ dayFile, out }, [
      {
        at_ms: 4000,
        act: () =>
          lockFolder(out, () => {}).then(
            () => {},
            (error: Error) => {
              told = error.message;
            },
          ),
      },
      { at_ms: 5000 },
    ]);
    expect(told).toContain(`holds a day that is watched by process ${process.pid} on`);
    expect(told).toContain('end the watching there (Ctrl-C)');
    const lock = join(out, '.store/lock');
    const other = { host: 'elsewhere', pid: 1, started: '', token: 'other', beat: 0 };
    const lost = watchWhile({ dayFile, out }, [
      { at_ms: 4000, act: () => writeFileSync(lock, JSON.stringify(other)) },
      { at_ms: 5000 },
    ]);
    await expect(lost).rejects.toThrow('was taken over by another run');
    rmSync(lock);
  });

  it('that is ended in the midst of a round writes what is done, with a page that stays', async () => {
    const { dayFile } = begun();
    const out = join(scratch, 'cut');
    let done = 0;
    const { end } = await watchWhile({ dayFile, out }, [], {
      onProgress: () => {
        done += 1;
      },
      stopped: () => done >= 2,
    });
    expect(end.kind).toBe('cut');
    const reasons = end.kind === 'cut' ? end.run.result.outcomes.map(({ reason }) => reason) : [];
    expect(reasons.filter((reason) => reason.includes('interrupted before this trial'))).toHaveLength(2);
    expect(page(out)).not.toContain('reload');
  });

  it('never takes its own results for captures', async () => {
    const { folder, dayFile } = begun();
    writeFileSync(
      dayFile,
      readFileSync(dayFile, 'utf8')
        .replaceAll('pattern: wren/', 'pattern: "**/wren/')
        .replaceAll('.c3d, player: wren', '.c3d", player: wren'),
    );
    const out = join(folder, 'results');
    const { rounds } = await watchWhile({ dayFile, out }, [
      { at_ms: 4000, act: () => cpSync(join(folder, 'wren'), join(out, 'copies/wren'), { recursive: true }) },
      { at_ms: 9000 },
    ]);
    expect(rounds.map(({ trials }) => trials)).toEqual([used(FIRST)]);
  });
});
