/** Players of the demo day by markers and by sensors, from the files through the program's own day: wren as it lies there, plover with sensors put on for this test. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { type ClubSpec, DRIVER, IRON_5, IRON_7 } from '../../samples/generator/club.ts';
import { DEMO_PLAYERS } from '../../samples/generator/demoPlayers.ts';
import { RAD } from '../../samples/generator/geometry.ts';
import { makeSwing } from '../../samples/generator/makeSwing.ts';
import { type SensorTruthRow, sensorFiles, sensorTrialLines } from '../../samples/generator/sensorDay.ts';
import type { Place } from '../../samples/generator/sensorMotion.ts';
import type { SensorTruth, Values } from '../../samples/generator/sensorTruth.ts';
import { bytesSource } from '../../src/c3d/readC3d.ts';
import { readDay } from '../../src/day/readDay.ts';
import { openFile, sha256Of } from '../../src/disk/fileSource.ts';
import { listFiles } from '../../src/disk/listing.ts';
import type { ComparisonRow, PlayerComparison } from '../../src/model/comparison.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseDay, type DayResult } from '../../src/pipeline/analyseDay.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { addSwing, nothingMeasured } from '../support/sensorAccuracy.ts';

const samples = join(import.meta.dirname, '../../samples');
const DAY = join(samples, 'day');
const PLAYERS = ['wren', 'plover'] as const;
const SWINGS = 16;
const PRIMARY_ROWS = 12;

// Limits of the issue, as in sensors.test.ts; the sensors run at 250 Hz.
const ANGLE_deg = 1;
const HALF_SAMPLE_ms = 2;
const STILL_ms = 20;

/** The swings that the C3D files of plover hold, recorded by sensors as those of wren are. */
const BLOCKS: readonly ClubSpec[] = [DRIVER, IRON_7, DRIVER, IRON_5];
const PLOVER = DEMO_PLAYERS.find(({ id }) => id === 'plover')!;

function ploverWorn(): {
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly truth: string;
  readonly day: string;
} {
  const clubs = [DRIVER, IRON_7, IRON_5];
  const swings = BLOCKS.flatMap((club, block) =>
    [1, 2, 3, 4].map((n) => {
      const seed = PLOVER.seed + 4 * block + n;
      // Markers are not looked at: a few frames.
      const { swing } = makeSwing(seed, PLOVER, club, { rate_Hz: 10, noise_mm: 0 });
      return { name: `${block + 1}-${club.id}-${n}`, seed, swing };
    }),
  );
  const { tables, truth } = sensorFiles(PLOVER, clubs, swings);
  const patterns = BLOCKS.map(({ id }, block) => ({ pattern: `${block + 1}-${id}-*`, club: id }));
  const lines = sensorTrialLines(PLOVER, clubs, patterns, ({ id }) => id);
  return {
    files: new Map(tables.map(({ name, bytes }) => [`plover/sensors/${name}.csv`, bytes])),
    truth,
    day: readFileSync(join(DAY, 'day.yaml'), 'utf8')
      .replace('    static: plover/0-static\n', '    static: plover/0-static\n    still: plover/sensors/still\n')
      .concat(`${lines.join('\n')}\n`),
  };
}

const rowsOf = (text: string): Readonly<Record<string, SensorTruthRow>> =>
  (JSON.parse(text) as { trials: Record<string, SensorTruthRow> }).trials;

function truthOf(row: SensorTruthRow): SensorTruth {
  const radians = (values: SensorTruthRow['anatomical']): Values =>
    Object.fromEntries(
      Object.entries(values).map(([position, angles]) => [
        position,
        Object.fromEntries(Object.entries(angles).map(([quantity, value]) => [quantity, value * RAD])),
      ]),
    ) as Values;
  return {
    time_s: row.time_s as SensorTruth['time_s'],
    anatomical: radians(row.anatomical),
    zeroed: radians(row.zeroed),
  };
}

/** Stamp less true time by place, and the earliest stamp of the table, whose rows go by their stamps. */
function clocksOf(trial: SensorTrial, row: SensorTruthRow, table: Uint8Array) {
  const offsets = [...trial.sensors].map(([place, { name }]) => [place as Place, row.offset_s[name]!] as const);
  const text = new TextDecoder().decode(table.subarray(0, 1000));
  return { offset_s: Object.fromEntries(offsets), first_s: Number.parseFloat(text.split('\n')[1]!) };
}

let result: DayResult;
const measured = new Map(PLAYERS.map((player) => [player as string, nothingMeasured()]));

beforeAll(async () => {
  const worn = ploverWorn();
  const truth = { ...rowsOf(readFileSync(join(samples, 'truth/wren-sensors.json'), 'utf8')), ...rowsOf(worn.truth) };
  const { plan, problems } = readDay(worn.day, {
    file: 'day.yaml',
    listing: [...listFiles(DAY), ...worn.files.keys()],
  });
  if (plan === null) throw new Error(problems.map(({ message }) => message).join('\n'));
  const isAsked = (id: string): boolean => (PLAYERS as readonly string[]).includes(id);
  const own = createWorkspace();
  result = await analyseDay(
    {
      ...plan,
      players: plan.players.filter(({ id }) => isAsked(id)),
      trials: plan.trials.filter(({ player }) => isAsked(player)),
    },
    {
      open: (path) => {
        const made = worn.files.get(path);
        return made === undefined ? openFile(join(DAY, path), path) : { ...bytesSource(made), close: () => {} };
      },
      sha256: sha256Of,
      pause: async () => {},
      program: { name: 'swingbasis', version: '0' },
      libraries: {},
    },
    {
      orders: [],
      strict: false,
      analyse: (trial, analysis, ws) => {
        if (trial.source === 'sensors') {
          const { trial: id, player, file } = trial.head;
          const row = truth[id]!;
          const table = worn.files.get(file) ?? readFileSync(join(DAY, file));
          const known = { trial, plan: analysis, truth: truthOf(row), recording: clocksOf(trial, row, table) };
          addSwing(measured.get(player)!, known, 'anatomical', own);
        }
        return analyseTrial(trial, analysis, ws);
      },
    },
  );
});

const comparisonOf = (player: string, source: string): PlayerComparison =>
  result.comparisons.find((one) => one.player === player && one.part.source === source)!;

const primaryOf = (player: string, source: string): readonly ComparisonRow[] =>
  comparisonOf(player, source).rows.filter(({ family }) => family === 'primary');

describe.each(PLAYERS)('the sensors of %s', (player) => {
  it('have the true angles of pelvis and thorax within 1° RMS at the true times', () => {
    const { angles, missing } = measured.get(player)!;
    expect([...missing.keys()]).toEqual([]);
    expect(angles.rows.size).toBe(66);
    for (const [name, errors] of angles.rows) {
      expect(errors.count, name).toBe(SWINGS);
      expect(errors.rms, name).toBeLessThan(ANGLE_deg);
    }
  });

  it('show P2 to P9 within half a sample and P1 and P10 within 20 ms', () => {
    const { times } = measured.get(player)!;
    expect(times.rows.size).toBe(11);
    for (const [position, errors] of times.rows) {
      expect(errors.count, position).toBe(SWINGS);
      expect(errors.rms, position).toBeLessThan(['P1', 'P10'].includes(position) ? STILL_ms : HALF_SAMPLE_ms);
    }
  });

  it('settle the primary comparisons as the markers do: eight drivers, eight irons, each with a zero of its own, no row without a verdict', () => {
    const calibration = { kind: 'calibration', id: `calibration ${player}/sensors/still on ${player}/0-static` };
    for (const [source, datum] of [
      ['markers', { kind: 'anatomical' }],
      ['sensors', calibration],
    ] as const) {
      const { group, reference } = comparisonOf(player, source);
      expect([group.trials.length, reference.trials.length]).toEqual([8, 8]);
      for (const trial of [...group.trials, ...reference.trials]) {
        expect(result.records.find(({ head }) => head.trial === trial)!.datum).toMatchObject(datum);
      }
      const rows = primaryOf(player, source);
      expect(rows).toHaveLength(PRIMARY_ROWS);
      for (const { quantity, position, verdict } of rows) expect(verdict, `${quantity} ${position}`).not.toBe('none');
    }
  });

  it('depart nowhere where the markers match, and match nowhere where these depart', () => {
    for (const row of primaryOf(player, 'sensors')) {
      const name = `${row.quantity} ${row.position}`;
      const other = primaryOf(player, 'markers').find(
        ({ quantity, position }) => quantity === row.quantity && position === row.position,
      )!;
      expect([row.verdict, other.verdict].sort(), name).not.toEqual(['departs', 'matches']);
    }
  });
});

describe('what was built into plover', () => {
  const SOURCES = ['markers', 'sensors'] as const;

  it('is found by sensors as by markers: the pelvis bent forward at the top, the chest late, the rest of the address alike', () => {
    for (const source of SOURCES) {
      const verdicts = new Map(primaryOf('plover', source).map((row) => [`${row.quantity}@${row.position}`, row]));
      expect(verdicts.get('pelvis.forward_bend@P1')).toMatchObject({ verdict: 'matches' });
      expect(verdicts.get('thorax.side_bend@P1')).toMatchObject({ verdict: 'matches' });
      // Ten degrees were put in at the top; eight and nine were taken off after it.
      expect(verdicts.get('pelvis.forward_bend@P4')).toMatchObject({ verdict: 'departs' });
      expect(verdicts.get('pelvis.forward_bend@P4')!.difference).toBeGreaterThan(8);
      expect(verdicts.get('thorax.forward_bend@P5.5')).toMatchObject({ verdict: 'departs' });
      expect(verdicts.get('thorax.forward_bend@P5.5')!.difference).toBeLessThan(-8);
    }
  });

  it('begins at the same position by both', () => {
    const firstOf = (source: string, quantity: string): string | undefined =>
      comparisonOf('plover', source).firstDepartures.find((one) => one.quantity === quantity && one.basis === 'value')
        ?.position;
    expect(SOURCES.map((source) => firstOf(source, 'pelvis.forward_bend'))).toEqual(['P4', 'P4']);
    expect(SOURCES.map((source) => firstOf(source, 'thorax.forward_bend'))).toEqual(['P5', 'P5']);
  });

  it('differs between driver and irons by the same angles, within 0.3°', () => {
    for (const row of primaryOf('plover', 'sensors')) {
      const other = primaryOf('plover', 'markers').find(
        ({ quantity, position }) => quantity === row.quantity && position === row.position,
      )!;
      // The shared calibration takes no part in a difference: 0.2 to 0.4° of a swing are left, over the root of eight, twice.
      expect(Math.abs(row.difference! - other.difference!), `${row.quantity} ${row.position}`).toBeLessThan(0.3);
    }
  });
});
