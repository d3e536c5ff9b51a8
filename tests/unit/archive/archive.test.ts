import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { ARCHIVE_TABLES } from '../../../src/archive/archiveTables.ts';
import { fromDisplay } from '../../../src/model/units.ts';
import { madeSwings, makeStoredDay } from '../../support/archiveDays.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
let made = 0;

/** A new place for an archive, and for results beside it. */
function place(): { readonly archive: string; readonly results: (name: string) => string } {
  made += 1;
  const folder = join(scratch, `place ${made} [a] 'b'`);
  return { archive: join(folder, 'archive'), results: (name) => join(folder, name) };
}

const MAY = { day: 'first day', date: '2026-05-16', players: ['plover', 'wren'], seed: 1 } as const;
const JUNE = { day: 'second day', date: '2026-06-30', players: ['wren'], seed: 2 } as const;

interface State {
  readonly days: {
    readonly day: string;
    readonly date: string;
    readonly content: string;
    readonly players: { readonly id: string; readonly rows: number; readonly files: number; readonly bytes: number }[];
  }[];
}

function stateOf(archive: string): State {
  return JSON.parse(readFileSync(join(archive, 'days.json'), 'utf8')) as State;
}

/** Everything of an archive but the lock. */
function all(archive: string): ReadonlyMap<string, string> {
  return new Map([...contentsOf(archive)].map(([path, bytes]) => [path, bytes.toString('latin1')]));
}

async function rowsOf(path: string): Promise<readonly Record<string, unknown>[]> {
  const bytes = readFileSync(path);
  return await parquetReadObjects({
    file: new Uint8Array(bytes).buffer,
    compressors: { GZIP: (packed) => new Uint8Array(gunzipSync(packed)) },
  });
}

describe('archive add', () => {
  it('lays a day out by player and day, in files of the tables, under the checksum of their bytes', async () => {
    const { archive, results } = place();
    const done = await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    expect(done, done.stderr).toMatchObject({ code: 0, stderr: '' });
    expect(done.stdout).toMatch(
      /^added: 2026-05-16 "first day", version 0\.1\.0: plover 12 swings, wren 12 swings; \d+ kB\n$/,
    );
    const [day] = stateOf(archive).days;
    const folder = `days/${day!.content.slice(0, 32)}`;
    const expected = ['plover', 'wren'].flatMap((player) =>
      [...ARCHIVE_TABLES.map(({ name }) => `${name}.parquet`), 'basis.json'].map(
        (name) => `${folder}/player=${player}/day=2026-05-16/${name}`,
      ),
    );
    const files = contentsOf(archive);
    expect([...files.keys()]).toEqual(['archive.json', ...expected, 'days.json'].sort());
    const lines = expected
      .sort()
      .map(
        (path) => `${createHash('sha256').update(files.get(path)!).digest('hex')}  ${path.slice(folder.length + 1)}\n`,
      );
    expect(day!.content).toBe(createHash('sha256').update(lines.join('')).digest('hex'));
    const wren = day!.players.find(({ id }) => id === 'wren')!;
    const own = [...files].filter(([path]) => path.includes('player=wren'));
    expect(wren).toMatchObject({ files: own.length, bytes: own.reduce((sum, [, bytes]) => sum + bytes.length, 0) });
  });

  it('keeps every value of the records, with what made it', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const path = [...contentsOf(archive).keys()].find(
      (one) => one.includes('player=wren') && one.endsWith('angles.parquet'),
    )!;
    const rows = await rowsOf(join(archive, path));
    const cells = madeSwings('wren', MAY).flatMap(({ head, cells: own }) => own.map((cell) => ({ head, cell })));
    expect(rows).toHaveLength(cells.length);
    const found = new Map(rows.map((row) => [`${row['trial']} ${row['quantity']}@${row['position']}`, row]));
    for (const { head, cell } of cells) {
      const row = found.get(`${head.trial} ${cell.quantity}@${cell.position}`)!;
      expect(fromDisplay(row['value'] as number, cell.unit)).toBeCloseTo(cell.value!, 12);
      expect(row).toMatchObject({ player: 'wren', club: head.club, unit: cell.unit, program: '0.1.0', tables: 1n });
    }
  });

  it('knows the same content again, whatever folder it is in, and changes nothing', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const before = all(archive);
    const again = await cli('archive', 'add', makeStoredDay(results('copy'), MAY), '--archive', archive);
    expect(again).toMatchObject({ code: 0, stderr: '' });
    expect(again.stdout).toMatch(/^is in the archive already, and nothing was changed: 2026-05-16 "first day"/);
    expect(all(archive)).toEqual(before);
  });

  it('the order in which days come does not matter to a single byte', async () => {
    const one = place();
    const two = place();
    const folders = [makeStoredDay(one.results('may'), MAY), makeStoredDay(one.results('june'), JUNE)];
    for (const folder of folders) await cli('archive', 'add', folder, '--archive', one.archive);
    for (const folder of folders.toReversed()) await cli('archive', 'add', folder, '--archive', two.archive);
    expect(all(two.archive)).toEqual(all(one.archive));
  });

  it('a day with other content needs --replace, and then takes its place as a whole', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const before = all(archive);
    const other = makeStoredDay(results('again'), { ...MAY, players: ['wren', 'heron'], seed: 9, version: '0.2.0' });
    const refused = await cli('archive', 'add', other, '--archive', archive);
    expect(refused.code).toBe(2);
    expect(refused.stderr).toContain('the day "first day" of 2026-05-16 is in the archive with other content');
    expect(refused.stderr).toContain('processed by version 0.1.0, this one by 0.2.0');
    expect(refused.stderr).toContain('it would bring in heron, who is not in it now');
    expect(refused.stderr).toContain(`archive add ${other} --replace`);
    expect(all(archive)).toEqual(before);
    const done = await cli('archive', 'add', other, '--archive', archive, '--replace');
    expect(done.stdout).toMatch(/^replaced: 2026-05-16 "first day", version 0\.2\.0: heron 12 swings, wren 12 swings/);
    const fresh = place();
    await cli('archive', 'add', other, '--archive', fresh.archive);
    expect(all(archive)).toEqual(all(fresh.archive));
  });

  it('a player stands on one date once', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const evening = makeStoredDay(results('evening'), { ...MAY, day: 'evening', players: ['wren'], seed: 3 });
    const { code, stderr } = await cli('archive', 'add', evening, '--archive', archive);
    expect(code).toBe(2);
    expect(stderr).toContain('wren is in the archive on 2026-05-16 already, in the day "first day"');
    const others = makeStoredDay(results('others'), { ...MAY, day: 'evening', players: ['heron'], seed: 3 });
    expect((await cli('archive', 'add', others, '--archive', archive)).code).toBe(0);
  });

  it.each([
    ['without a date', { ...MAY, date: null }, 'has no date: set date in its day file'],
    [
      'with a date that no calendar has',
      { ...MAY, date: '2026-02-30' },
      'has the date 2026-02-30, which is none of the calendar',
    ],
    ['of other tables', { ...MAY, tables: 0 }, 'process the day again'],
  ])('a day %s is refused', async (_, day, message) => {
    const { archive, results } = place();
    const { code, stderr } = await cli('archive', 'add', makeStoredDay(results('day'), day), '--archive', archive);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(existsSync(archive)).toBe(false);
  });

  it('a day of which a record is damaged is refused as a whole', async () => {
    const { archive, results } = place();
    const folder = makeStoredDay(results('may'), MAY);
    writeFileSync(join(folder, 'trials/wren/3.json'), '{"head":');
    const { code, stderr } = await cli('archive', 'add', folder, '--archive', archive);
    expect(code).toBe(2);
    expect(stderr).toContain('trials/wren/3.json: it is damaged');
    expect(stderr).toContain('a day is added as a whole or not at all');
    expect(existsSync(archive)).toBe(false);
  });

  it('a folder that is no archive is left alone', async () => {
    const { archive, results } = place();
    mkdirSync(archive, { recursive: true });
    writeFileSync(join(archive, 'letter.txt'), 'dear');
    const folder = makeStoredDay(results('may'), MAY);
    const { code, stderr } = await cli('archive', 'add', folder, '--archive', archive);
    expect(code).toBe(2);
    expect(stderr).toContain('is not empty and is no archive');
    expect([...contentsOf(archive).keys()]).toEqual(['letter.txt']);
  });

  it('what a killed run left is removed by the next', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const before = all(archive);
    const name = stateOf(archive).days[0]!.content.slice(0, 32).split('').reverse().join('');
    for (const left of [`${name}.unfinished/player=wren`, `${name}/player=wren`]) {
      mkdirSync(join(archive, 'days', left), { recursive: true });
      writeFileSync(join(archive, 'days', left, 'angles.parquet'), 'half');
    }
    writeFileSync(join(archive, '.days.json.0a.unfinished'), '{"arch');
    await cli('archive', 'add', makeStoredDay(results('copy'), MAY), '--archive', archive);
    expect(all(archive)).toEqual(before);
  });

  it('keeps no text that a person wrote: notes, paths and reasons may hold a name', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    expect(await textOf(archive)).not.toMatch(/Somebody|slipped|by hand/);
  });
});

/** All that the archive says, the tables unpacked. */
async function textOf(archive: string): Promise<string> {
  const parts: string[] = [];
  for (const [path, bytes] of contentsOf(archive)) {
    parts.push(path, bytes.toString('latin1'));
    if (!path.endsWith('.parquet')) continue;
    const rows = await rowsOf(join(archive, path));
    parts.push(JSON.stringify(rows, (_, value: unknown) => (typeof value === 'bigint' ? String(value) : value)));
  }
  return parts.join('\n');
}

describe('archive list', () => {
  it('says what is there, by date, and what it was made with', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('june'), { ...JUNE, version: '0.2.0' }), '--archive', archive);
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const { stdout, code } = await cli('archive', 'list', '--archive', archive);
    expect(code).toBe(0);
    expect(stdout.replace(/\d+ kB/g, 'N kB')).toBe(
      [
        '2026-05-16 "first day", version 0.1.0: plover 12 swings, wren 12 swings; N kB',
        '2026-06-30 "second day", version 0.2.0: wren 12 swings; N kB',
        '2 days, 2 players, N kB',
        '',
      ].join('\n'),
    );
    const json = JSON.parse((await cli('archive', 'list', '--archive', archive, '--json')).stdout) as State;
    expect(json.days).toEqual(stateOf(archive).days);
  });

  it('shows names where a file with them is given, and writes them nowhere', async () => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    const names = results('names.csv');
    writeFileSync(names, 'code;name\r\nwren;Jenny Wren\r\nheron;nobody here\r\n');
    const { stdout } = await cli('archive', 'list', '--archive', archive, '--names', names);
    expect(stdout).toContain('plover 12 swings, wren (Jenny Wren) 12 swings');
    expect(await textOf(archive)).not.toContain('Jenny');
  });

  it.each([
    ['code,title\nwren,Jenny\n', 'its first line must name the columns code and name, and holds code, title'],
    ['code,name\nwren,Jenny\nwren,Jane\n', 'line 3: the code wren is there a second time'],
    ['', 'holds nothing'],
  ])('a names file of another form is refused: %j', async (text, message) => {
    const { archive, results } = place();
    await cli('archive', 'add', makeStoredDay(results('may'), MAY), '--archive', archive);
    writeFileSync(results('names.csv'), text);
    const { code, stderr } = await cli('archive', 'list', '--archive', archive, '--names', results('names.csv'));
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });

  it('an archive that is not there, none, newer or damaged is named as such', async () => {
    const { archive } = place();
    const said = async (): Promise<string> => {
      const { code, stderr } = await cli('archive', 'list', '--archive', archive);
      expect(code).toBe(2);
      return stderr;
    };
    expect(await said()).toContain('there is no archive');
    mkdirSync(archive, { recursive: true });
    expect(await said()).toContain('is no archive: it has no archive.json');
    writeFileSync(join(archive, 'archive.json'), '{"archive":7}');
    expect(await said()).toContain('is an archive of format 7, and this program reads 1');
    writeFileSync(join(archive, 'archive.json'), '{"archive":1}');
    writeFileSync(join(archive, 'days.json'), '{"archive":1,"days":[{}]}');
    expect(await said()).toContain('days.json: it does not hold what a stored record holds (days.0.');
  });
});

describe('archive forget', () => {
  it('leaves no byte of a player, says what was removed, and the rest as if the player had never been there', async () => {
    const { archive, results } = place();
    const may = { ...MAY, day: 'plover and Wren, spring' };
    const folders = [makeStoredDay(results('may'), may), makeStoredDay(results('june'), JUNE)];
    for (const folder of folders) await cli('archive', 'add', folder, '--archive', archive);
    const days = stateOf(archive).days;
    const wren = days.flatMap(({ players }) => players.filter(({ id }) => id === 'wren'));
    const plovers = [...contentsOf(archive)].filter(([path]) => path.includes('player=plover'));
    expect(await textOf(archive)).toMatch(/wren/i);
    const done = await cli('archive', 'forget', 'wren', '--archive', archive);
    expect(done, done.stderr).toMatchObject({ code: 0, stderr: '' });
    const sum = (of: 'rows' | 'files' | 'bytes'): number => wren.reduce((total, one) => total + one[of], 0);
    expect(sum('files')).toBe(14);
    expect(done.stdout).toContain(
      `wren is forgotten: 14 files with ${sum('rows')} rows (${sum('bytes')} bytes) of 2 days removed (2026-05-16, 2026-06-30)`,
    );
    expect(done.stdout).toContain('1 day had no other player and is gone as a whole');
    expect(done.stdout).toContain('held the id; it is now "plover and player, spring"');
    expect(await textOf(archive)).not.toMatch(/wren/i);
    expect(readdirSync(join(archive, 'days'))).toHaveLength(1);
    const left = [...contentsOf(archive)].filter(([path]) => path.includes('player=plover'));
    expect(left.map(([path, bytes]) => [path.replace(/^days\/\w+/, ''), bytes])).toEqual(
      plovers.map(([path, bytes]) => [path.replace(/^days\/\w+/, ''), bytes]),
    );
    const again = await cli('archive', 'forget', 'wren', '--archive', archive);
    expect(again).toMatchObject({ code: 2 });
    expect(again.stderr).toContain('has no player wren; there are plover');
  });

  it('what was forgotten comes back only on purpose', async () => {
    const { archive, results } = place();
    const folder = makeStoredDay(results('may'), MAY);
    await cli('archive', 'add', folder, '--archive', archive);
    await cli('archive', 'forget', 'wren', '--archive', archive);
    const { code, stderr } = await cli('archive', 'add', folder, '--archive', archive);
    expect(code).toBe(2);
    expect(stderr).toContain('it would bring in wren, who is not in it now');
    expect(stateOf(archive).days[0]!.players.map(({ id }) => id)).toEqual(['plover']);
  });

  it('a name that only contains the id stays', async () => {
    const { archive, results } = place();
    const day = { ...MAY, day: 'wrens-2 at the lake', players: ['wren', 'wrens-2'] };
    await cli('archive', 'add', makeStoredDay(results('may'), day), '--archive', archive);
    await cli('archive', 'forget', 'wren', '--archive', archive);
    expect(stateOf(archive).days[0]).toMatchObject({ day: 'wrens-2 at the lake', players: [{ id: 'wrens-2' }] });
  });
});
