/** A Slurm of one node that lives in a temporary folder and on the loopback address alone, without control groups. */
import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { hostname, tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';

const PROGRAMS = ['munged', 'slurmctld', 'slurmd', 'sbatch', 'scancel', 'scontrol'] as const;
const START_MS = 30_000;
const LOOK_MS = 50;

/** The states in which a job has come to its end (job state codes of squeue(1)). */
const ENDED = /^(?:COMPLETED|CANCELLED|FAILED|TIMEOUT|NODE_FAIL|OUT_OF_MEMORY)/;

export interface SlurmJob {
  readonly state: string;
  /** `code:signal` of its batch script. */
  readonly exit: string;
}

export interface Slurm {
  /** One of Slurm's own commands, or a script that calls them; its standard output. Throws where it fails. */
  call(command: string, args: readonly string[], env?: Readonly<Record<string, string>>): string;
  /** Waits until a job (`7`) or a task of an array (`7_2`) is as asked for. */
  until(job: string, isSo: (job: SlurmJob) => boolean): Promise<SlurmJob>;
  /** Waits until all of a job has ended. */
  ended(job: string): Promise<SlurmJob>;
  stop(): Promise<void>;
}

/** What Slurm needs and is not on this machine, by name; empty where all is there. */
export function missingPrograms(): readonly string[] {
  if (process.platform !== 'linux') return [...PROGRAMS];
  return PROGRAMS.filter((name) => spawnSync('which', [name], { stdio: 'ignore', env: environment() }).status !== 0);
}

/** Daemons are installed where the path of a common user does not lead. */
function environment(): NodeJS.ProcessEnv {
  return { ...process.env, PATH: `${process.env['PATH'] ?? ''}:/usr/sbin:/sbin` };
}

/** Starts munged, slurmctld and slurmd and waits for the node. Jobs write their output to the folder `logs`. @throws Error with the daemons' last words */
export async function startSlurm(logs: string): Promise<Slurm> {
  const folder = mkdtempSync(join(tmpdir(), 'slurm-'));
  const children: ChildProcess[] = [];
  const env = { ...environment(), SLURM_CONF: join(folder, 'slurm.conf') };
  const log = (name: string): string => join(folder, `${name}.log`);
  const daemon = (name: string, args: readonly string[]): void => {
    const started = `exec ${[name, ...args].map((arg) => `'${arg}'`).join(' ')} >'${log(name)}' 2>&1`;
    children.push(spawn('sh', ['-c', started], { env, stdio: 'ignore' }));
  };
  const call: Slurm['call'] = (command, args, more = {}) =>
    execFileSync(command, args, { env: { ...env, ...more }, cwd: logs, encoding: 'utf8', stdio: 'pipe' }).trim();
  const until: Slurm['until'] = async (job, isSo) => {
    for (;;) {
      const found = jobOf(call('scontrol', ['--oneliner', 'show', 'job', job]));
      if (isSo(found)) return found;
      await pause(LOOK_MS);
    }
  };
  const stop = async (): Promise<void> => {
    for (const child of children.reverse()) {
      const gone = new Promise((resolve) => child.on('exit', resolve));
      if (child.exitCode === null && child.kill()) await gone;
    }
    rmSync(folder, { recursive: true, force: true });
  };
  // munged asks that every account could reach its socket
  chmodSync(folder, 0o755);
  for (const name of ['state', 'spool']) mkdirSync(join(folder, name));
  writeFileSync(join(folder, 'munge.key'), randomBytes(1024), { mode: 0o400 });
  writeFileSync(env.SLURM_CONF, settings(folder, await freePort(), await freePort()));
  daemon('munged', ['--foreground', ...mungeFiles(folder)]);
  daemon('slurmctld', ['-D', '-f', env.SLURM_CONF]);
  daemon('slurmd', ['-D', '-N', 'node1', '-f', env.SLURM_CONF]);
  const patience = Date.now() + START_MS;
  while (spawnSync('sinfo', ['-h', '-o', '%T'], { env, encoding: 'utf8' }).stdout.trim() !== 'idle') {
    if (Date.now() > patience) {
      const words = ['munged', 'slurmctld', 'slurmd'].map((name) => readFileSync(log(name), 'utf8').slice(-600));
      await stop();
      throw new Error(`Slurm did not start within ${START_MS / 1000} s:\n${words.join('\n')}`);
    }
    await pause(LOOK_MS);
  }
  return { call, until, ended: (job) => until(job, ({ state }) => ENDED.test(state)), stop };
}

function mungeFiles(folder: string): readonly string[] {
  const at = (option: string, name: string): string => `--${option}=${join(folder, name)}`;
  return [
    at('key-file', 'munge.key'),
    at('socket', 'munge.sock'),
    at('pid-file', 'munge.pid'),
    at('log-file', 'munge.log'),
    at('seed-file', 'munge.seed'),
  ];
}

/** slurm.conf(5). Nothing of the machine is tracked or limited, and its size is not looked at: no control groups, no accounting, no other account. */
function settings(folder: string, controlPort: number, nodePort: number): string {
  const user = userInfo().username;
  return `ClusterName=tests
SlurmctldHost=${hostname()}(127.0.0.1)
SlurmctldPort=${controlPort}
SlurmdPort=${nodePort}
SlurmUser=${user}
SlurmdUser=${user}
AuthType=auth/munge
AuthInfo=socket=${join(folder, 'munge.sock')}
CredType=cred/munge
StateSaveLocation=${join(folder, 'state')}
SlurmdSpoolDir=${join(folder, 'spool')}
SlurmctldPidFile=${join(folder, 'slurmctld.pid')}
SlurmdPidFile=${join(folder, 'slurmd.pid')}
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
MpiDefault=none
SwitchType=switch/none
ReturnToService=2
KillWait=2
SlurmdParameters=config_overrides
NodeName=node1 NodeHostname=${hostname()} NodeAddr=127.0.0.1 CPUs=4 RealMemory=8192 State=UNKNOWN
PartitionName=all Nodes=node1 Default=YES MaxTime=INFINITE State=UP
`;
}

/** State and exit code of the lines that scontrol shows; of several tasks of an array the one that is not at its end, else the last. */
function jobOf(text: string): SlurmJob {
  const field = (line: string, name: string): string => new RegExp(`\\b${name}=(\\S+)`).exec(line)?.[1] ?? '';
  const jobs = text
    .split('\n')
    .map((line) => ({ state: field(line, 'JobState'), exit: field(line, 'ExitCode') }))
    .sort((a, b) => Number(ENDED.test(b.state)) - Number(ENDED.test(a.state)));
  return jobs[jobs.length - 1]!;
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve);
  });
  const { port } = server.address() as { readonly port: number };
  await new Promise((resolve) => {
    server.close(resolve);
  });
  return port;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}
