import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { rereadRecord } from '../../../src/model/storedRecord.ts';
import type { Explanation } from '../../../src/pipeline/explain/explanation.ts';
import { cli } from '../../support/cli.ts';
import { scratchFolder } from '../../support/folders.ts';
import { SAMPLE_DATA } from '../../support/smallDay.ts';

const scratch = scratchFolder();
const out = join(scratch, 'results');
const SWING = 'osprey/1-driver-1';

const DAY = `swingbasis: 1
day: two birds
lab: {up: +Z, target: +X, units: mm}
players:
  - {id: osprey, hand: right, sex: male, height_m: 1.77, mass_kg: 78, static: osprey/0-static}
  - {id: heron, hand: left, sex: male, height_m: 1.83, mass_kg: 84, static: heron/0-static}
clubs:
  - {id: driver, kind: driver, length_m: 1.143, face_centre_mm: [46.067, -15.125, 13.003]}
  - {id: driver-left, kind: driver, length_m: 1.143, face_centre_mm: [46.067, -15.125, -13.003]}
trials:
  - {file: osprey/0-static.c3d, player: osprey, role: static}
  - {file: osprey/1-driver-1.c3d, player: osprey, club: driver, gate: accept, note: seen by eye}
  - {file: osprey/5-practice.c3d, player: osprey, club: driver, use: no, note: a practice swing}
  - {file: heron/0-static.c3d, player: heron, role: static}
  - {file: heron/1-driver-1.c3d, player: heron, club: driver-left}
filter: {trunk_Hz: 11}
compare: {resamples: 200}
`;

async function explained(...args: readonly string[]): Promise<Explanation> {
  const { stdout, stderr } = await cli('explain', out, ...args, '--json');
  expect(stderr).toBe('');
  return JSON.parse(stdout) as Explanation;
}

function rowsOf(table: string): string[][] {
  return readFileSync(join(out, 'tables', `${table}.csv`), 'utf8')
    .split('\r\n')
    .map((line) => line.split(','));
}

/** The field of a row of a table that is found by the values of other columns. */
function field(table: string, where: Readonly<Record<string, string>>, column: string): string {
  const [head, ...rows] = rowsOf(table);
  const row = rows.find((cells) => Object.entries(where).every(([key, value]) => cells[head!.indexOf(key)] === value));
  return row![head!.indexOf(column)]!;
}

describe('explain', () => {
  beforeAll(async () => {
    writeFileSync(join(scratch, 'day.yaml'), DAY);
    const run = await cli('process', join(scratch, 'day.yaml'), '--data', SAMPLE_DATA, '--out', out, '--orders', 'ZXY');
    expect(run.code).toBe(0);
  });

  it('says the value, its ± and the time of the position that stand in the tables', async () => {
    const found = await explained(SWING, 'thorax.side_bend', 'P4');
    const where = { trial: SWING, quantity: 'thorax.side_bend', position: 'P4' };
    // half of the last decimal of the table
    expect(found.value).toBeCloseTo(Number(field('angles', where, 'value')), 3);
    expect(found.plusMinus.noise).toBeCloseTo(Number(field('angles', where, 'plus_minus_noise')), 3);
    expect(found.plusMinus.both).toBeCloseTo(Number(field('angles', where, 'plus_minus')), 3);
    expect(found.moments[0]!.time_s).toBeCloseTo(
      Number(field('positions', { trial: SWING, position: 'P4' }, 'time_s')),
      5,
    );
    // the default allowance for landmarks and skin of trunk axes (model/placement.ts)
    expect(found.plusMinus.placement).toBeCloseTo(3, 9);
    expect(found).toMatchObject({ order: 'YXZ', gate: { verdict: 'accept', setBy: 'day file', note: 'seen by eye' } });
  });

  it('names the landmarks of Wu 2005 behind the thorax, of Wu 2002 behind a hip, three head markers behind a face centre', async () => {
    const thorax = await explained(SWING, 'thorax.side_bend', 'p4');
    expect(thorax.markers.map(({ marker }) => marker).sort()).toEqual(['C7', 'IJ', 'PX', 'T8']);
    expect(new Set(thorax.markers.map(({ cutoff_Hz }) => cutoff_Hz))).toEqual(new Set([11]));
    const hip = await explained(SWING, 'pelvis.to_target', 'P5');
    expect(hip.parts[0]!.markers).toEqual(['L_ASIS', 'L_PSIS', 'R_ASIS', 'R_PSIS']);
    expect(hip.moments.map(({ position }) => position)).toEqual(['P5', 'P1']);
    const club = await explained(SWING, 'club.attack');
    expect(club.parts[0]!.markers).toEqual(['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3']);
    expect(club.markers.every(({ cutoff_Hz }) => cutoff_Hz === null)).toBe(true);
  });

  it('names the right arm’s markers as the lead arm’s of a left-hander', async () => {
    const { parts } = await explained('heron/1-driver-1', 'lead_elbow.flexion', 'P3');
    expect(parts.map(({ name }) => name)).toEqual(['lead_upper_arm', 'lead_forearm']);
    expect(parts[1]!.markers).toEqual(['R_EL', 'R_EM', 'R_RS', 'R_US']);
  });

  it('has an account for every number of a swing, each with a formula, a position and what it is made of', async () => {
    const { explainCell } = await import('../../../src/pipeline/explain/explainCell.ts');
    const { readStoredDay } = await import('../../../src/pipeline/storedDay.ts');
    const { day } = readStoredDay({
      name: 'results',
      records: [`trials/${SWING}.json`],
      read: (path) => readFileSync(join(out, path), 'utf8'),
    });
    const record = day!.records[0]!;
    for (const { quantity, position, order, value } of record.cells) {
      const extra = /\.(first|second|third)$/.test(quantity) ? `:${order}` : '';
      const found = explainCell(day!, record, { quantity: `${quantity}${extra}`, position });
      expect(found.formula, quantity).not.toBe('');
      expect(found.moments.length, quantity).toBeGreaterThan(0);
      if (value !== null) expect(found.parts.length, quantity).toBeGreaterThan(0);
    }
  });

  it('tells filled samples and faults among the frames that are read, and only those of its markers', async () => {
    const path = join(out, 'trials', `${SWING}.json`);
    const kept = readFileSync(path, 'utf8');
    const record = JSON.parse(kept);
    const rate = record.head.facts.rate_Hz.value as number;
    const at = Math.round(record.moments.P4.time_s * rate);
    for (const entry of record.quality) {
      if (entry.marker === 'T8') entry.runs = [[at - 40, at - 30, 'rigid'], [at - 1, at + 1, 'spline']]; // biome-ignore format: one glance
      if (entry.marker === 'L_ASIS') entry.runs = [[at, at, 'missing']];
    }
    const fault = { frames: [[3, 4]], action: 'removed', detail: 'as made for this test' };
    record.faults = [
      { code: 'marker-jumps', markers: ['PX'], ...fault },
      { code: 'marker-sticks', markers: ['L_ASIS'], ...fault },
    ];
    writeFileSync(path, JSON.stringify(record));
    const found = await explained(SWING, 'thorax.side_bend', 'P4');
    const { stdout } = await cli('explain', out, SWING, 'thorax.side_bend', 'P4');
    writeFileSync(path, kept);
    expect(found.markers.flatMap(({ here }) => here)).toEqual([{ frames: [at - 1, at + 1], what: 'spline' }]);
    expect(found.faults.map(({ code }) => code)).toEqual(['marker-jumps']);
    expect(stdout).toContain(`T8: frames ${at - 1}–${at + 1} filled by a spline`);
    expect(stdout.replace(/\s+/g, ' ')).toContain('PX, frames 3–4; removed. as made for this test');
    expect(stdout).not.toContain('every sample that is read there was measured');
  });

  it('fits 80 columns, all but what has no blank to break at', async () => {
    const { stdout, code } = await cli('explain', out, SWING, 'body.to_ball', 'P7');
    expect(code).toBe(0);
    const lines = stdout.split('\n');
    expect(lines.filter((line) => line.length > 80 && line.trim().includes(' '))).toEqual([]);
    for (const label of ['number', '95 %', 'formula', 'position', 'made of', 'markers', 'filled', 'axes', 'gate']) {
      expect(lines.some((line) => line.startsWith(label))).toBe(true);
    }
  });

  it('needs no origins: a record of an earlier version is explained without them', async () => {
    const folder = join(scratch, 'earlier');
    cpSync(out, folder, { recursive: true });
    const path = join(folder, 'trials', `${SWING}.json`);
    const { origins, ...rest } = JSON.parse(readFileSync(path, 'utf8'));
    expect(origins.parts.pelvis.markers).toHaveLength(4);
    writeFileSync(path, JSON.stringify(rest));
    expect(rereadRecord(JSON.stringify(rest)).ok).toBe(true);
    const { stdout, code } = await cli('explain', folder, SWING, 'thorax.side_bend', 'P4');
    expect(code).toBe(0);
    expect(stdout).toContain('low-pass: trunk 11 Hz');
  });

  it.each([
    [['osprey/1-drver-1', 'club.attack'], 'did you mean osprey/1-driver-1?'],
    [[SWING, 'thorax.sidebend', 'P4'], 'did you mean thorax.side_bend?'],
    [[SWING, 'thorax.side_bend', 'P44'], 'did you mean P4?'],
    [[SWING, 'thorax.side_bend'], 'which position? thorax.side_bend of osprey/1-driver-1 is read at P1, P2'],
    [[SWING, 'thorax.first:XYZ', 'P4'], 'is in the order ZXY'],
    [['osprey/0-static', 'club.attack'], 'is a static trial'],
    [['osprey/5-practice', 'club.attack'], 'was left out: a practice swing'],
  ])('refuses %j', async (args, message) => {
    const run = await cli('explain', out, ...args);
    expect(run.code).toBe(2);
    expect(run.stdout).toBe('');
    expect(run.stderr).toContain(message);
  });
});
