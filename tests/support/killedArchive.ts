/** Changes of an archive that are killed (SIGKILL) at some moment, and what is found when it is opened again. */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { createRandom } from '../../src/numeric/random.ts';
import { makeStoredDay } from './archiveDays.ts';
import { contentsOf } from './folders.ts';
import { filesIn, program } from './killedRuns.ts';

const PROGRAM = join(import.meta.dirname, '../../bin/swingbasis');

export interface KilledChange {
  readonly name: string;
  /** Arguments of the command. */
  readonly args: readonly string[];
  /** Exit codes of the same command run again to its end: by what the kill left. */
  readonly again: readonly number[];
}

export interface KillCounts {
  killed: number;
  /** Killed, and what was found is the archive of before, or that of after the change. */
  old: number;
  done: number;
  readonly faults: string[];
}

/** Kills a command once so many names stand in the archive and a while has passed; true where it was still running. */
async function killedAt(args: readonly string[], archive: string, names: number, delay_ms: number): Promise<boolean> {
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: 'ignore' });
  let isDue = false;
  const timer = setInterval(() => {
    if (isDue || filesIn(archive) < names) return;
    isDue = true;
    setTimeout(() => child.kill('SIGKILL'), delay_ms);
  }, 1);
  const killed = await new Promise<boolean>((resolve) => {
    child.on('exit', (_, signal) => resolve(signal === 'SIGKILL'));
  });
  clearInterval(timer);
  return killed;
}

/** What is wrong with the days that the list names: every file must be there with the bytes that the checksum of its day was made of. */
export function brokenDays(archive: string): readonly string[] {
  const { days } = JSON.parse(readFileSync(join(archive, 'days.json'), 'utf8')) as {
    readonly days: readonly { readonly date: string; readonly content: string }[];
  };
  return days.flatMap(({ date, content }) => {
    const folder = join(archive, 'days', content.slice(0, 32));
    if (!existsSync(folder)) return [`${date}: no folder`];
    const lines = [...contentsOf(folder)].map(
      ([path, bytes]) => `${createHash('sha256').update(bytes).digest('hex')}  ${path}\n`,
    );
    const found = createHash('sha256').update(lines.sort(byPath).join('')).digest('hex');
    return found === content ? [] : [`${date}: other bytes`];
  });
}

/** Lines of 64 digits, two blanks and a path. */
function byPath(a: string, b: string): number {
  return a.slice(66) < b.slice(66) ? -1 : 1;
}

/**
 * An archive of two days and two players; one day is replaced, and one player forgotten, killed so often in turn at moments spread over the change. After
 * each kill the archive must be the old or the new one, whole; the command run again must leave the bytes of a change that nothing disturbed.
 */
export async function killChanges(folder: string, kills: number, seed: number): Promise<KillCounts> {
  const may = { day: 'first', date: '2026-05-16', players: ['plover', 'wren'], swings: 8 } as const;
  const first = makeStoredDay(join(folder, 'may'), { ...may, seed: 1 });
  const other = makeStoredDay(join(folder, 'may again'), { ...may, seed: 2 });
  const second = makeStoredDay(join(folder, 'june'), { ...may, day: 'second', date: '2026-06-30', seed: 3 });
  const before = join(folder, 'before');
  for (const day of [first, second]) program(['archive', 'add', day, '--archive', before]);
  const changes: readonly KilledChange[] = [
    { name: 'add --replace', args: ['archive', 'add', other, '--replace'], again: [0] },
    // forgotten already, there is no such player, and what was left of the player is removed all the same
    { name: 'forget', args: ['archive', 'forget', 'wren'], again: [0, 2] },
  ];
  const states = changes.map(({ args }, i) => {
    const after = join(folder, `after ${i}`);
    cpSync(before, after, { recursive: true });
    if (program([...args, '--archive', after]).code !== 0) throw new Error(`${args.join(' ')} fails`);
    return { listed: listOf(after), bytes: bytesOf(after) };
  });
  const random = createRandom(seed);
  const counts: KillCounts = { killed: 0, old: 0, done: 0, faults: [] };
  for (let i = 0; i < kills; i += 1) {
    const { name, args, again } = changes[i % 2]!;
    const expected = states[i % 2]!;
    const archive = join(folder, `killed ${i}`);
    cpSync(before, archive, { recursive: true });
    const names = filesIn(archive) + 1 + Math.floor(random.uniform() * 22);
    const killed = await killedAt([...args, '--archive', archive], archive, names, Math.floor(random.uniform() * 25));
    const listed = listOf(archive);
    if (killed) {
      counts.killed += 1;
      if (listed === listOf(before)) counts.old += 1;
      else if (listed === expected.listed) counts.done += 1;
    }
    const said = (what: string): void => {
      counts.faults.push(`kill ${i} of ${name} at ${names} names: ${what}`);
    };
    if (listed !== listOf(before) && listed !== expected.listed) said('the list is neither the old nor the new one');
    for (const broken of brokenDays(archive)) said(broken);
    const { code, stderr } = program([...args, '--archive', archive]);
    if (!again.includes(code ?? -1)) said(`run again it ends with ${code}: ${stderr}`);
    if (bytesOf(archive) !== expected.bytes) said('run again it leaves other bytes');
    rmSync(archive, { recursive: true, force: true });
  }
  return counts;
}

function listOf(archive: string): string {
  return readFileSync(join(archive, 'days.json'), 'utf8');
}

/** All that stands in the archive, as one text. */
function bytesOf(archive: string): string {
  const empty = readdirSync(archive, { recursive: true, withFileTypes: true }).filter((entry) =>
    entry.isDirectory(),
  ).length;
  const files = [...contentsOf(archive)].map(
    ([path, bytes]) => `${path} ${createHash('sha256').update(bytes).digest('hex')}`,
  );
  return [`${empty} folders`, ...files].join('\n');
}
