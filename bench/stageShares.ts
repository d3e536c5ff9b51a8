/** Where the time of one run goes, stage by stage: from a sampled profile of the built program, all in one thread. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

interface Frame {
  readonly id: number;
  readonly callFrame: { readonly functionName: string; readonly url: string };
  readonly children?: readonly number[];
}

/** A .cpuprofile of V8: every sample names its innermost frame. */
interface Profile {
  readonly nodes: readonly Frame[];
  readonly samples: readonly number[];
  readonly timeDeltas: readonly number[];
}

/** The first that fits a frame's path below dist names its stage; a frame that none fits counts as its caller's, such as numeric work. */
const STAGES: readonly (readonly [stage: string, path: RegExp])[] = [
  ['reading', /^(?:c3d|imu|intake|day)\//],
  ['quality', /^stages\/(?:faults|shared\/markerNoise|findFaults|fillGaps|leftGaps|checkSegments)/],
  ['angles and positions', /^stages\//],
  ['comparison', /^compare\//],
  ['report', /^report\//],
  ['tables and records', /^tables\//],
  ['store and files', /^(?:batch|disk)\//],
];

function stageOf({ callFrame }: Frame): string | null {
  if (callFrame.functionName === '(garbage collector)') return 'collecting garbage';
  if (callFrame.functionName === '(idle)') return 'waiting';
  const path = /\/dist\/(.+)$/.exec(callFrame.url)?.[1];
  return path === undefined ? null : (STAGES.find(([, fits]) => fits.test(path))?.[0] ?? null);
}

/** Microseconds by stage; 'the rest' is the start of the program and what is between the stages. */
function timesOf({ nodes, samples, timeDeltas }: Profile): ReadonlyMap<string, number> {
  const byId = new Map(nodes.map((node) => [node.id, node]));
  const stages = new Map<number, string>();
  const visit = (id: number, above: string): void => {
    const node = byId.get(id)!;
    const stage = stageOf(node) ?? above;
    stages.set(id, stage);
    for (const child of node.children ?? []) visit(child, stage);
  };
  visit(nodes[0]!.id, 'the rest');
  const times = new Map<string, number>();
  samples.forEach((id, i) => {
    const stage = stages.get(id)!;
    times.set(stage, (times.get(stage) ?? 0) + timeDeltas[i]!);
  });
  return times;
}

export interface StageRow {
  readonly name: string;
  readonly percent: number;
}

/** Shares of a run with `--workers 1`, the largest first. @throws Error where the program did not use every trial */
export function stageShares(args: readonly string[]): readonly StageRow[] {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-profile-'));
  try {
    const profiled = ['--cpu-prof', '--cpu-prof-dir', folder, 'bin/swingbasis', ...args, '--workers', '1'];
    const { status } = spawnSync(process.execPath, profiled, { stdio: 'ignore' });
    if (status !== 0) throw new Error(`exit code ${status}: a recording was not used, so the shares say nothing`);
    const [name] = readdirSync(folder);
    const times = timesOf(JSON.parse(readFileSync(join(folder, name!), 'utf8')) as Profile);
    const total = [...times.values()].reduce((sum, time) => sum + time, 0);
    return [...times]
      .sort(([, a], [, b]) => b - a)
      .map(([stage, time]) => ({ name: `share, one thread: ${stage}`, percent: (100 * time) / total }));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
