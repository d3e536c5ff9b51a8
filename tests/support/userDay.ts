/** Days as users have them, from the swings of the sample day: markers taken away, frames cut, another day file. In memory. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { writeC3d } from '../../src/c3d/writeC3d.ts';
import { readDay } from '../../src/day/readDay.ts';
import type { Cell } from '../../src/model/swingRecord.ts';
import { analyseDay, type DayResult } from '../../src/pipeline/analyseDay.ts';
import { type OutputFile, renderDay } from '../../src/pipeline/renderDay.ts';

const PLAYER = join(import.meta.dirname, '../../samples/day/plover');
const SWINGS = {
  driver: ['1-driver-1', '1-driver-2', '1-driver-3', '1-driver-4', '3-driver-1'],
  iron7: ['2-iron7-1', '2-iron7-2', '2-iron7-3', '2-iron7-4'],
  iron5: ['4-iron5-1'],
} as const;

type Point = readonly [number, number, number];
type Get = (label: string, frame: number) => Point;

const mid =
  (...labels: readonly string[]) =>
  (get: Get, frame: number): Point => {
    const at = (axis: 0 | 1 | 2): number =>
      labels.reduce((sum, label) => sum + get(label, frame)[axis], 0) / labels.length;
    return [at(0), at(1), at(2)];
  };

/** Joint centres as a system without skin markers would give them: hips and shoulders roughly, the rest as midpoints. */
export const JOINT_CENTRES: Readonly<Record<string, (get: Get, frame: number) => Point>> = Object.fromEntries(
  (['L', 'R'] as const).flatMap((s) => [
    [`${s}_HJC`, mid(`${s}_ASIS`, `${s}_PSIS`)],
    [`${s}_SJC`, mid(`${s}_AC`)],
    [`${s}_EJC`, mid(`${s}_EL`, `${s}_EM`)],
    [`${s}_WJC`, mid(`${s}_RS`, `${s}_US`)],
    [`${s}_KJC`, mid(`${s}_FL`, `${s}_FM`)],
    [`${s}_AJC`, mid(`${s}_LM`, `${s}_MM`)],
  ]),
);

/** One head point, in the middle of the ears. */
export const HEAD_POINT: typeof JOINT_CENTRES = { HEAD: mid('L_EAR', 'R_EAR') };

/** What a recording lacks or has beside. */
export interface Recorded {
  readonly drop?: RegExp;
  readonly keep?: RegExp;
  /** Another label, such as T10 for T8. */
  readonly rename?: Readonly<Record<string, string>>;
  /** Seconds cut off at the start. */
  readonly from_s?: number;
  /** Every n-th frame only. */
  readonly every?: number;
  /** Points made from others. */
  readonly made?: Readonly<Record<string, (get: Get, frame: number) => Point>>;
  readonly events?: readonly { readonly label: string; readonly context: string; readonly time_s: number }[];
}

export function recorded(trial: string, { drop, keep, rename, from_s, every, made, events }: Recorded): Uint8Array {
  const file = readC3d(bytesSource(readFileSync(join(PLAYER, `${trial}.c3d`))));
  const rate = file.rate_Hz!;
  const n = file.frames;
  const get: Get = (label, frame) => {
    const i = file.labels.indexOf(label);
    if (file.word4[i * n + frame]! < 0) return [Number.NaN, Number.NaN, Number.NaN];
    return [file.xyz[3 * i * n + frame]!, file.xyz[(3 * i + 1) * n + frame]!, file.xyz[(3 * i + 2) * n + frame]!];
  };
  const columns = file.labels
    .filter((label) => !drop?.test(label) && (keep === undefined || keep.test(label)))
    .map((label): [string, (frame: number) => Point] => [rename?.[label] ?? label, (frame) => get(label, frame)]);
  for (const [label, at] of Object.entries(made ?? {})) columns.push([label, (frame) => at(get, frame)]);
  const frames: number[] = [];
  for (let f = Math.round((from_s ?? 0) * rate); f < n; f += every ?? 1) frames.push(f);
  const xyz = new Float64Array(3 * columns.length * frames.length);
  columns.forEach(([, at], i) => {
    frames.forEach((frame, k) => {
      at(frame).forEach((value, axis) => {
        xyz[(3 * i + axis) * frames.length + k] = value;
      });
    });
  });
  const rate_Hz = rate / (every ?? 1);
  return writeC3d({
    labels: columns.map(([label]) => label),
    units: 'mm',
    rate_Hz,
    frames: frames.length,
    xyz,
    word4: null,
    events: events ?? [],
  });
}

export interface UserDay {
  /** Swings of each club; default 2. Of irons the fifth is one with the other iron. */
  readonly swings?: { readonly driver: number; readonly irons: number };
  readonly static?: boolean;
  readonly lab?: string;
  readonly clubs?: string;
  readonly of?: (trial: string) => Recorded;
  /** More keys of a trial, such as `, set: before`. */
  readonly more?: (trial: string) => string;
  /** Path of a trial's file without its ending, where it is not the trial's name. */
  readonly path?: (trial: string) => string;
  /** Name of the day, and the player's note. */
  readonly day?: string;
  readonly note?: string;
  /** The club of a trial where it is not that of its name. */
  readonly club?: (trial: string) => string | null;
}

const CLUBS = `
  - {id: driver, kind: driver, face_centre_mm: [46.067, -15.125, 13.003]}
  - {id: iron7, kind: iron, face_centre_mm: [46.338, 22.305, 16.257]}
  - {id: iron5, kind: iron, face_centre_mm: [46.338, 22.305, 16.257]}`;

/** Analyses such a day: five swings of each at most, of one player of the samples without noise. */
export async function userDay(day: UserDay): Promise<DayResult> {
  const { driver, irons } = day.swings ?? { driver: 2, irons: 2 };
  const trials = [
    ...(day.static === false ? [] : ['0-static']),
    ...SWINGS.driver.slice(0, driver),
    ...[...SWINGS.iron7, ...SWINGS.iron5].slice(0, irons),
  ];
  const fileOf = (trial: string): string => `${day.path?.(trial) ?? trial}.c3d`;
  const files = new Map(trials.map((trial) => [fileOf(trial), recorded(trial, day.of?.(trial) ?? {})]));
  const rows = trials.map((trial) => {
    const club = day.club?.(trial) ?? trial.split('-')[1];
    const what = trial === '0-static' ? 'role: static' : `club: ${club}`;
    return `  - {file: ${JSON.stringify(fileOf(trial))}, ${what}${day.more?.(trial) ?? ''}}`;
  });
  const text = `swingbasis: 1
day: ${JSON.stringify(day.day ?? "a user's day")}
${day.lab ?? 'lab: {up: +Z, target: +X, units: mm}'}
players: [{id: emu, hand: right, sex: male, note: ${JSON.stringify(day.note ?? '')}}]
clubs:${day.clubs ?? CLUBS}
trials:
${rows.join('\n')}
`;
  const reading = readDay(text, { file: 'day.yaml', listing: [...files.keys()] });
  if (reading.plan === null) throw new Error(reading.problems.map(({ message }) => message).join('\n'));
  return await analyseDay(
    reading.plan,
    {
      open: (path) => ({ ...bytesSource(files.get(path)!), close: () => {} }),
      sha256: (source) => {
        const bytes = new Uint8Array(source.size);
        source.read(0, source.size, bytes);
        return createHash('sha256').update(bytes).digest('hex');
      },
      pause: async () => {},
      program: { name: 'swingbasis', version: '0' },
      libraries: {},
    },
    { orders: [], strict: false },
  );
}

/** All text of a file whose pieces are text or its UTF-8 bytes. */
export function wholeText({ text }: OutputFile): string {
  return Buffer.concat([...text].map((piece) => Buffer.from(piece as string))).toString('utf8');
}

/** Every file that such a day writes, by path. */
export async function written(result: DayResult): Promise<ReadonlyMap<string, string>> {
  const files = new Map<string, string>();
  for await (const file of renderDay(result, [], { curves: true, strict: false, orders: [] })) {
    files.set(file.path, wholeText(file));
  }
  return files;
}

/** All cells of a day by trial, quantity and position. */
export function cellsOf(result: DayResult): ReadonlyMap<string, Cell> {
  return new Map(
    result.records.flatMap(({ head, cells }) =>
      cells.map((cell) => [`${head.trial} ${cell.quantity}@${cell.position}`, cell] as const),
    ),
  );
}
