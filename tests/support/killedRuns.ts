/** Runs of the built program that are killed at some moment, and what a following run makes of what is left. */
import { spawn, spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';

const PROGRAM = join(import.meta.dirname, '../../bin/swingbasis');

export interface Ended {
  readonly code: number | null;
  readonly stderr: string;
  readonly stdout: string;
}

/** One command line of the built program, to its end. */
export function program(args: readonly string[], env: Readonly<Record<string, string>> = {}): Ended {
  const { status, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...args], {
    encoding: 'utf8',
    env: { ...process.env, ...env },
  });
  return { code: status, stdout, stderr };
}

/** The same, killed (SIGKILL) once so many files stand in a folder, of whatever kind; true where it was still running. */
export async function killedAt(
  files: number,
  folder: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<boolean> {
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: 'ignore', env: { ...process.env, ...env } });
  const timer = setInterval(() => {
    if (filesIn(folder) >= files) child.kill('SIGKILL');
  }, 2);
  const killed = await new Promise<boolean>((resolve) => {
    child.on('exit', (_, signal) => resolve(signal === 'SIGKILL'));
  });
  clearInterval(timer);
  return killed;
}

/** How many files stand below a folder, those that are being written included. */
export function filesIn(folder: string): number {
  try {
    return readdirSync(folder, { recursive: true }).length;
  } catch {
    return 0; // not there yet, or a folder that was removed while it was listed
  }
}
