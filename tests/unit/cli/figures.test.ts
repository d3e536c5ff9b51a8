import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';
import { SAMPLE_DATA, SMALL_DAY } from '../../support/smallDay.ts';

const scratch = scratchFolder();
const dayFile = join(scratch, 'day.yaml');
writeFileSync(dayFile, SMALL_DAY);

function of(contents: ReadonlyMap<string, Buffer>, keep: (path: string) => boolean): [string, string][] {
  return [...contents].filter(([path]) => keep(path)).map(([path, bytes]) => [path, bytes.toString('utf8')]);
}

const isFigure = (path: string): boolean => path.startsWith('figures/');
const isResult = (path: string): boolean => !isFigure(path) && !path.startsWith('.store/') && path !== 'run.json';

describe('--figures', () => {
  it('adds the panels to what is written, changes nothing else, and goes with the next run without it', async () => {
    const out = join(scratch, 'results');
    const process = ['process', dayFile, '--data', SAMPLE_DATA, '--out', out];
    expect((await cli(...process)).code).toBe(0);
    const plain = contentsOf(out);
    expect((await cli(...process, '--figures')).code).toBe(0);
    const more = contentsOf(out);
    const figures = of(more, isFigure);
    expect(figures.length).toBeGreaterThan(10);
    expect(figures.every(([path]) => /^figures\/osprey\/[a-z][\w.-]*\.(svg|csv)$/.test(path))).toBe(true);
    expect(of(more, isResult)).toEqual(of(plain, isResult));
    const [run, same] = [more, plain].map((contents) => JSON.parse(contents.get('run.json')!.toString('utf8')));
    expect(run).toEqual({ ...same, options: { ...same.options, figures: true } });

    const compared = join(scratch, 'compared');
    expect((await cli('compare', out, '--out', compared, '--figures')).code).toBe(0);
    expect(of(contentsOf(compared), isFigure)).toEqual(figures);

    expect((await cli(...process)).code).toBe(0);
    expect([...contentsOf(out)]).toEqual([...plain]);
    // three runs of a day: longer than the usual limit on a busy machine
  }, 240_000);

  it('is refused where there are no sheets with panels', async () => {
    for (const args of [
      ['one', 'two'],
      ['--table', 'any.csv'],
    ]) {
      const run = await cli('compare', ...args, '--figures');
      expect(run).toMatchObject({ code: 2 });
      expect(run.stderr).toContain('--figures belongs to one folder');
    }
  });
});
