/** Folders as process leaves them, without captures: made-up swings of some players on some day, stored records and run record alone. */
import { createHash } from 'node:crypto';
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { DEFAULT_COMPARE } from '../../src/model/dayPlan.ts';
import type { StillRecord } from '../../src/model/stillRecord.ts';
import type { SwingRecord } from '../../src/model/swingRecord.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { jsonText, storedRecordText, storedStillText } from '../../src/tables/storedRecord.ts';
import { swingRecord } from './swingRecords.ts';

export interface MadeDay {
  readonly day?: string;
  /** Null: a day without a date. */
  readonly date: string | null;
  readonly players: readonly string[];
  readonly seed?: number;
  /** Swings with each kind of club. */
  readonly swings?: number;
  /** What the driver has more than the irons, display units. */
  readonly gap?: number;
  /** Middle of the irons' values. */
  readonly level?: number;
  readonly version?: string;
  readonly tables?: number;
  /** Angle of the static trial's pelvis, degrees; absent: no static trial. */
  readonly still_deg?: number;
  /** Changes of each record. */
  readonly change?: (record: SwingRecord, index: number) => SwingRecord;
  readonly resamples?: number;
}

const KEYS = [
  'pelvis.forward_bend@P1',
  'pelvis.forward_bend@P4',
  'pelvis.turn@P4',
  'thorax.side_bend@P7',
  'club.attack@swing',
];

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

/** Swings of one player: driver and irons in turn, normal with an SD of 1 about the level. */
export function madeSwings(player: string, made: MadeDay): readonly SwingRecord[] {
  const { seed = 1, swings = 6, gap = 5, level = 20, change = (record) => record } = made;
  const random = createRandom(seed);
  return Array.from({ length: 2 * swings }, (_, index) => {
    const isDriver = index % 2 === 0;
    const trial = `${player}/${index + 1}`;
    const values = Object.fromEntries(KEYS.map((key) => [key, level + random.normal() + (isDriver ? gap : 0)]));
    const club = isDriver ? 'driver' : 'iron7';
    const record = swingRecord({ trial, club, kind: isDriver ? 'driver' : 'iron', order: index, values });
    const head = { ...record.head, player };
    return change({ ...record, head, sha256: sha256(`${seed} ${trial}`) }, index);
  });
}

function stillOf(player: string, { still_deg, seed = 1 }: MadeDay, swing: SwingRecord): StillRecord {
  const trial = `${player}/static`;
  return {
    kind: 'still-pose',
    head: { ...swing.head, trial, file: `${trial}.c3d`, club: null, kind: null, role: 'static' },
    sha256: sha256(`${seed} ${trial}`),
    datum: swing.datum,
    frames: 240,
    angles: [
      {
        quantity: 'pelvis.forward_bend',
        order: 'YXZ',
        value: ((still_deg ?? 0) * Math.PI) / 180,
        range: 0.001,
        flags: [],
      },
    ],
  };
}

/** Writes such a folder and gives its path. */
export function makeStoredDay(folder: string, made: MadeDay): string {
  const { players, version = '0.1.0', tables = 1, still_deg, resamples = 20 } = made;
  const write = (path: string, text: string): void => {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  };
  let used = 0;
  for (const player of players) {
    const swings = madeSwings(player, made);
    used += swings.length;
    for (const record of swings) write(`trials/${record.head.trial}.json`, storedRecordText(record));
    if (still_deg !== undefined)
      write(`trials/${player}/static.json`, storedStillText(stillOf(player, made, swings[0]!)));
  }
  const run = {
    program: 'swingbasis',
    version,
    tables,
    day: made.day ?? 'a day',
    date: made.date,
    options: { orders: [] },
    inputs: [],
    trials: { used },
    comparison: {
      players: players.map((id) => ({
        id,
        hand: 'right',
        static: still_deg === undefined ? null : `${id}/static`,
        smoothing: 'trunk 12 Hz',
        note: `${id} as written down by hand`,
      })),
      clubs: [
        { id: 'driver', kind: 'driver', length_m: 1.143 },
        { id: 'iron7', kind: 'iron', length_m: 0.94 },
      ],
      options: { ...DEFAULT_COMPARE, resamples },
      groups: [],
    },
    without_record: [
      {
        trial: `${players[0]}/practice`,
        file: `captures of Somebody/${players[0]}.c3d`,
        player: players[0],
        club: 'driver',
        kind: 'driver',
        set: '',
        role: 'swing',
        status: 'left-out',
        reason: 'Somebody slipped',
        source: 'markers',
        still: null,
        diagnostics: [],
      },
    ],
  };
  write('run.json', `${jsonText(run)}\n`);
  return folder;
}
