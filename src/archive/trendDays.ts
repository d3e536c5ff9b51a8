/** One player's days out of the tables of the archive, as the comparison of sessions reads them: the primary values, not whole records. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { DatedSession } from '../compare/trend.ts';
import type { ArchivedBasis, ArchivedDay } from '../model/archive.ts';
import type { MomentMethod, PositionId } from '../model/positions.ts';
import type { StillRecord } from '../model/stillRecord.ts';
import { type Cell, CURVE_STEPS, type SwingRecord } from '../model/swingRecord.ts';
import type { Fact, TrialFacts } from '../model/trial.ts';
import { fromDisplay } from '../model/units.ts';
import { literal } from './database.ts';

type Row = Readonly<Record<string, string | number | null>>;

/** Days by date. `primary`: quantity@position. */
export async function trendDays(
  connection: DuckDBConnection,
  days: readonly (ArchivedDay & { readonly basis: ArchivedBasis })[],
  player: string,
  primary: readonly string[],
): Promise<readonly DatedSession[]> {
  const cells = byDay(
    await rowsOf(
      connection,
      `SELECT day::VARCHAR AS day, trial, quantity, position, value, unit, "order", flags, rule, needed FROM angles WHERE ${isAsked(primary)}`,
    ),
  );
  const moments = byDay(
    await rowsOf(
      connection,
      'SELECT day::VARCHAR AS day, trial, position, time_s, method, reason, flags FROM positions',
    ),
  );
  const swings = byDay(
    await rowsOf(
      connection,
      `SELECT * REPLACE (day::VARCHAR AS day) FROM trials WHERE role = 'swing' AND status = 'used' AND datum IS NOT NULL ORDER BY day, trial`,
    ),
  );
  const stills = byDay(await rowsOf(connection, 'SELECT * REPLACE (day::VARCHAR AS day) FROM stills'));
  return days.map(({ date, version, basis }) => {
    const cellsOf = byTrial(cells.get(date) ?? []);
    const momentsOf = byTrial(moments.get(date) ?? []);
    const records = (swings.get(date) ?? []).map((row) => {
      const trial = text(row, 'trial');
      return recordOf(row, player, cellsOf.get(trial) ?? [], momentsOf.get(trial) ?? []);
    });
    const [one] = records;
    const still = one === undefined ? [] : stillsOf(stills.get(date) ?? [], one);
    return { date, version, records, clubs: basis.clubs, stills: still };
  });
}

/** What stands in for P4 is a value of P4 as well. */
function isAsked(primary: readonly string[]): string {
  const keys = primary.flatMap((key) => (key.endsWith('@P4') ? [key, `${key.slice(0, -2)}P4(arm)`] : [key]));
  return `quantity || '@' || position IN (${keys.map(literal).join(', ')})`;
}

async function rowsOf(connection: DuckDBConnection, sql: string): Promise<readonly Row[]> {
  const result = await connection.stream(sql);
  const names = result.deduplicatedColumnNames();
  const rows: Row[] = [];
  for await (const chunk of result.yieldRowsJson()) {
    for (const values of chunk) rows.push(Object.fromEntries(names.map((name, i) => [name, values[i]])) as Row);
  }
  return rows;
}

function byDay(rows: readonly Row[]): ReadonlyMap<string, readonly Row[]> {
  return grouped(rows, 'day');
}

function byTrial(rows: readonly Row[]): ReadonlyMap<string, readonly Row[]> {
  return grouped(rows, 'trial');
}

function grouped(rows: readonly Row[], column: string): ReadonlyMap<string, readonly Row[]> {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const key = text(row, column);
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [row]);
    else known.push(row);
  }
  return groups;
}

/** A missing text is '' in the tables of a day and NULL in Parquet. */
function text(row: Row, column: string): string {
  return String(row[column] ?? '');
}

function list(row: Row, column: string): readonly string[] {
  const joined = text(row, column);
  return joined === '' ? [] : joined.split(';');
}

function recordOf(row: Row, player: string, cells: readonly Row[], moments: readonly Row[]): SwingRecord {
  const orNull = (column: string): string | null => (text(row, column) === '' ? null : text(row, column));
  const point = orNull('head_point');
  return {
    head: {
      ...(text(row, 'source') === 'sensors' ? { source: 'sensors' as const } : {}),
      trial: text(row, 'trial'),
      file: '',
      player,
      club: orNull('club'),
      kind: orNull('kind') as SwingRecord['head']['kind'],
      set: text(row, 'set'),
      role: 'swing',
      order: Number(row['place_in_day']),
      facts: factsOf(row),
      substitutions: [],
    },
    sha256: text(row, 'sha256'),
    datum: { kind: text(row, 'datum_kind') as SwingRecord['datum']['kind'], id: text(row, 'datum') },
    form: text(row, 'form') as SwingRecord['form'],
    headPoint: point === null ? null : { kind: point === 'face-centre' ? point : 'marker', id: point },
    frames: Number(row['frames']),
    moments: Object.fromEntries(moments.map((moment) => [text(moment, 'position'), momentOf(moment)])),
    cells: cells.map(cellOf),
    curveBase: { times_s: new Float64Array(CURVE_STEPS).fill(Number.NaN), shared: [] },
    curves: [],
    figures: [],
    poses: {},
    quality: [],
    diagnostics: [],
  };
}

/** What the table of trials says of the recording; sensors have no lengths and axes. */
function factsOf(row: Row): TrialFacts {
  const fact = <T>(column: string, other: string): Fact<T> => ({
    value: (row[column] ?? other) as T,
    source: 'file',
    evidence: 'the archive',
  });
  return {
    units: fact('units', 'm'),
    rate_Hz: fact('rate_Hz', ''),
    up: fact('up', '+Y'),
    target: fact('target', '+X'),
    hand: fact('hand', 'right'),
    mirrored: { ...fact<boolean>('mirrored', 'no'), value: text(row, 'mirrored') === 'yes' },
  };
}

function cellOf(row: Row): Cell {
  const unit = text(row, 'unit') as Cell['unit'];
  const { value } = row;
  const rule = text(row, 'rule');
  const isMissing = value === null || value === undefined;
  return {
    quantity: text(row, 'quantity'),
    position: text(row, 'position') as Cell['position'],
    value: isMissing ? null : fromDisplay(Number(value), unit),
    plusMinus: null,
    order: (row['order'] ?? null) as Cell['order'],
    unit,
    flags: list(row, 'flags'),
    why: isMissing ? { code: list(row, 'flags').at(-1) ?? '', needed: text(row, 'needed') } : null,
    ...(rule === '' ? {} : { rule }),
  };
}

function momentOf(row: Row): NonNullable<SwingRecord['moments'][PositionId]> {
  const method = text(row, 'method');
  if (method === '') return { found: false, why: { code: 'not-found', needed: text(row, 'reason') } };
  return {
    found: true,
    time_s: Number(row['time_s']),
    sd_s: Number.NaN,
    method: method as MomentMethod,
    confidence: Number.NaN,
    flags: list(row, 'flags'),
    window_s: null,
    eventOffset_s: null,
  };
}

/** A row for each angle; the trials of a day are one still pose each. */
function stillsOf(rows: readonly Row[], { head }: SwingRecord): readonly StillRecord[] {
  return [...byTrial(rows)].map(([trial, angles]) => ({
    kind: 'still-pose',
    head: { ...head, trial, club: null, kind: null, role: 'static' },
    sha256: text(angles[0]!, 'sha256'),
    datum: { kind: 'anatomical', id: text(angles[0]!, 'datum') },
    frames: 0,
    angles: angles.map((row) => ({
      quantity: text(row, 'quantity'),
      order: (row['order'] ?? null) as Cell['order'],
      value: fromDisplay(Number(row['value']), 'deg'),
      range: fromDisplay(Number(row['range']), 'deg'),
      flags: list(row, 'flags'),
    })),
  }));
}
