import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../../src/c3d/types.ts';
import { recogniseLandmarks } from '../../../src/intake/recogniseLandmarks.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import type { SwingSeries } from '../../../src/model/swingSeries.ts';
import { parseOrders } from '../../../src/pipeline/orders.ts';
import { trialC3dBytes } from '../../../src/tables/trialC3d.ts';
import { type SlowC3d, slowReadC3d } from '../../support/c3dSlowReader.ts';
import { GAPS, LEFT, SENSORS, sampleSeries } from '../../support/sampleSeries.ts';
import { SAMPLE_DATA } from '../../support/smallDay.ts';
import { recordOf, seriesOf } from './fixture.ts';

const PROGRAM = { name: 'swingbasis', version: '1.2.3' };
const DEG = 180 / Math.PI;

interface Copy {
  readonly series: SwingSeries;
  readonly record: SwingRecord;
  readonly slow: SlowC3d;
  readonly file: C3dFile;
}
const copies = new Map<string, Copy>();
const copyOf = (trial: string): Copy => copies.get(trial)!;

function copied(series: SwingSeries, record: SwingRecord): Copy {
  const bytes = trialC3dBytes(series, record, PROGRAM);
  return { series, record, slow: slowReadC3d(bytes), file: readC3d(bytesSource(bytes), { file: 'copy.c3d' }) };
}

beforeAll(async () => {
  const { result, series } = await sampleSeries(parseOrders('thorax:YXZ'));
  for (const record of result.records) {
    copies.set(record.head.trial, copied(series.get(record.head.trial)!, record));
  }
}, 120_000);

/** The relative rounding of a 32-bit float is 2^−24; the places are sums of products, whose own rounding is far below. */
const close = (stored: number, exact: number): boolean => Math.abs(stored - exact) <= 2 ** -24 * Math.abs(exact) + 1e-9;

/** Values of a point in a frame by label, as the slow reader has them: x, y, z, fourth word. */
function at({ slow }: Copy, label: string, frame: number): readonly number[] {
  return slow.samples[frame]![slow.labels.indexOf(label)]!;
}

/**
 * A place of G in the axes of the sample files, which are Z up and X toward the target: by definitions 1 the target lies toward −Z of G
 * and a right-hander faces +X of G, which is to the left of the target line, +Y of these files; a left-hander faces −Y.
 */
function inFile([x, y, z]: readonly number[], hand: 'left' | 'right'): number[] {
  return [-z! * 1000, (hand === 'right' ? 1 : -1) * -x! * 1000, y! * 1000];
}

describe('the copy of a swing of markers', () => {
  it.each([LEFT, GAPS])('has every marker at every frame where the analysis had it, %s', (trial) => {
    const copy = copyOf(trial);
    const { points, clock } = copy.series;
    const { value: hand } = copy.record.head.facts.hand;
    expect(points.length).toBeGreaterThan(40);
    let missing = 0;
    for (const { label, data } of points) {
      for (let f = 0; f < clock.frames; f++) {
        const place = [data[f]!, data[clock.frames + f]!, data[2 * clock.frames + f]!];
        const stored = at(copy, label, f);
        if (Number.isNaN(place[0])) {
          expect(stored).toEqual([0, 0, 0, -1]);
          missing += 1;
          continue;
        }
        expect(stored[3]).toBe(0);
        const exact = inFile(place, hand);
        if (!exact.every((value, c) => close(stored[c]!, value))) expect(stored, `${label} ${f}`).toEqual(exact);
      }
    }
    if (trial === GAPS) expect(missing).toBeGreaterThan(0);
  });

  it.each([LEFT, GAPS])('lies on its recording: club and ball as measured, the body within the filter, %s', (trial) => {
    const copy = copyOf(trial);
    const recording = readC3d(bytesSource(readFileSync(join(SAMPLE_DATA, `${trial}.c3d`))), { file: trial });
    expect(copy.slow.frames).toBe(recording.frames);
    let club = 0;
    for (const { label, landmark, state } of copy.series.points) {
      const p = recording.labels.indexOf(label);
      const isStruck = /^(CLUB|BALL)/.test(landmark);
      for (let f = 0; f < recording.frames; f++) {
        if (state[f] !== 1) continue;
        const stored = at(copy, label, f);
        const measured = [0, 1, 2].map((c) => recording.xyz[(3 * p + c) * recording.frames + f]!);
        const apart = Math.hypot(...measured.map((value, c) => value - stored[c]!));
        // mm; of the body what the filter takes off, noise of 1 mm and, at impact, some of a fast wrist
        expect(apart, `${label} ${f}`).toBeLessThan(isStruck ? 5e-4 : 30);
        if (isStruck) club += 1;
      }
    }
    expect(club).toBeGreaterThan(1000);
  });

  it.each([LEFT, GAPS])(
    'shows the axes of the body itself, 100 mm long: right-handed, Z to the right of either player, %s',
    (trial) => {
      const copy = copyOf(trial);
      const sub = (a: readonly number[], b: readonly number[]): number[] => [0, 1, 2].map((i) => a[i]! - b[i]!);
      const dot = (a: readonly number[], b: readonly number[]): number =>
        [0, 1, 2].reduce((s, i) => s + a[i]! * b[i]!, 0);
      const cross = (a: readonly number[], b: readonly number[]): number[] =>
        [0, 1, 2].map((i) => a[(i + 1) % 3]! * b[(i + 2) % 3]! - a[(i + 2) % 3]! * b[(i + 1) % 3]!);
      let seen = 0;
      for (const { segment } of copy.series.segments) {
        for (let f = 0; f < copy.slow.frames; f += 11) {
          const [o, ...tips] = ['O', 'X', 'Y', 'Z'].map((name) => at(copy, `${segment}.${name}`, f));
          if (tips.some((tip) => tip[3] === -1)) continue;
          const [x, y, z] = tips.map((tip) => sub(tip, o!)) as [number[], number[], number[]];
          // mm; places of metres in floats have steps of 0.0001 mm
          for (const v of [x, y, z]) expect(Math.sqrt(dot(v, v))).toBeCloseTo(100, 2);
          sub(
            cross(x, y),
            z.map((value) => 100 * value),
          ).forEach((value) => {
            expect(Math.abs(value) / 100).toBeLessThan(0.01);
          });
          seen += 1;
        }
      }
      expect(seen).toBeGreaterThan(100);
      const label = (name: string) => copy.series.points.find(({ landmark }) => landmark === name)!.label;
      const right = sub(at(copy, label('R_ASIS'), 0), at(copy, label('L_ASIS'), 0));
      const z = sub(at(copy, 'pelvis.Z', 0), at(copy, 'pelvis.O', 0));
      expect(dot(right, z)).toBeGreaterThan(0.99 * 100 * Math.sqrt(dot(right, right)));
    },
  );

  it('has the angles of the tables in degrees, those of an order that was asked for as they are', () => {
    for (const trial of [LEFT, GAPS, SENSORS]) {
      const copy = copyOf(trial);
      const { angles, clock } = copy.series;
      const labels = angles.map(({ rotation, order, raw }) => `${rotation}.${order}${raw ? '.raw' : ''}`);
      expect(labels).toContain('thorax.YXZ.raw');
      expect(copy.file.typeGroups.get('ANGLES')).toEqual(labels);
      expect(copy.slow.parameters.get('POINT:ANGLE_UNITS')!.values).toEqual(['deg']);
      angles.forEach(({ values }, i) => {
        for (let f = 0; f < clock.frames; f += 5) {
          const exact = [0, 1, 2].map((c) => values[c * clock.frames + f]! * DEG);
          const stored = at(copy, labels[i]!, f);
          if (exact.some(Number.isNaN)) expect(stored[3]).toBe(-1);
          else
            expect(
              exact.every((value, c) => close(stored[c]!, value)),
              `${labels[i]} ${f}`,
            ).toBe(true);
        }
      });
    }
    // definitions 2: forward bend is minus the third angle of Y-X-Z
    const [x, y, z] = at(copyOf(GAPS), 'thorax.YXZ', 0) as [number, number, number];
    const raw = at(copyOf(GAPS), 'thorax.YXZ.raw', 0);
    expect([x, y, -z]).toEqual(raw.slice(0, 3));
    expect(copyOf(GAPS).file.descriptions[copyOf(GAPS).file.labels.indexOf('thorax.YXZ')]).toBe(
      '1 turn, 2 side_bend, 3 forward_bend',
    );
  });

  it('has the positions as events, by time, and says rate, unit and what made it', () => {
    for (const trial of [LEFT, GAPS, SENSORS]) {
      const { slow, record, file, series } = copyOf(trial);
      const found = Object.entries(record.moments).flatMap(([label, moment]) =>
        moment.found ? [{ label, time_s: moment.time_s }] : [],
      );
      expect(found.length).toBeGreaterThan(5);
      expect(slow.events.map(({ label }) => label)).toEqual(
        found.sort((a, b) => a.time_s - b.time_s).map(({ label }) => label),
      );
      slow.events.forEach(({ time_s, context }, i) => {
        expect(close(time_s, found[i]!.time_s)).toBe(true);
        expect(context).toBe('General');
      });
      expect([slow.rate_Hz, slow.frames, slow.firstFrame]).toEqual([
        Math.fround(series.clock.rate_Hz),
        series.clock.frames,
        1,
      ]);
      const text = (name: string) => slow.parameters.get(name)?.values;
      expect([text('POINT:UNITS'), text('MANUFACTURER:SOFTWARE'), text('MANUFACTURER:VERSION_LABEL')]).toEqual([
        ['mm'],
        ['swingbasis'],
        ['1.2.3'],
      ]);
      expect([text('SWINGBASIS:TRIAL'), text('SWINGBASIS:SHA256')]).toEqual([[trial], [record.sha256]]);
      expect(file.diagnostics).toEqual([]);
    }
  });

  it('is read by this program as the recording was: the same landmarks, and nothing else for one', () => {
    const { file, series } = copyOf(GAPS);
    const { found } = recogniseLandmarks(file, {});
    const wanted = series.points.map(({ landmark, label }) => [landmark, file.labels.indexOf(label)] as const);
    expect(new Map(found)).toEqual(new Map(wanted));
  });

  it('of sensors has the angles alone', () => {
    const { slow, series } = copyOf(SENSORS);
    expect(slow.labels).toHaveLength(series.angles.length);
    expect(slow.labels).toContain('pelvis.YXZ');
  });
});

describe('the way back to the file', () => {
  /** Three frames of one marker whose file has these axes of L; the places in the file, in centimetres, are the first three powers. */
  function made(axes: readonly number[], hand: 'left' | 'right', more: Partial<SwingSeries> = {}): SlowC3d {
    const placeIn = (f: number): number[] => [11 + f, -7 + 2 * f, 90 + 3 * f];
    const data = new Float64Array(9);
    for (let f = 0; f < 3; f++) {
      const [x, y, z] = [0, 1, 2].map(
        (k) => [0, 1, 2].reduce((s, c) => s + axes[3 * k + c]! * placeIn(f)[c]!, 0) / 100,
      );
      // definitions 1: X of G is Z of L, Z of G is −X of L
      data.set([z!], f);
      data.set([y!], 3 + f);
      data.set([-x!], 6 + f);
    }
    const points = [{ landmark: 'L_ASIS', label: 'marker 1', data, state: Uint8Array.of(1, 1, 1) }];
    const record = recordOf('a');
    const facts = {
      ...record.head.facts,
      units: { value: 'cm', source: 'set', evidence: '' },
      hand: { value: hand, source: 'set', evidence: '' },
    } as const;
    const series = { ...seriesOf('a'), points, file: { firstFrame: 725, axes }, ...more };
    return slowReadC3d(trialC3dBytes(series, { ...record, head: { ...record.head, facts } }, PROGRAM));
  }

  it.each([
    ['a target off every axis', [0.6, 0.8, 0, 0, 0, 1, 0.8, -0.6, 0], 'right'],
    ['a left-hander', [1, 0, 0, 0, 0, 1, 0, 1, 0], 'left'],
    ['a left-handed file', [0, 0, 1, 0, 1, 0, 1, 0, 0], 'right'],
  ] as const)('leads through %s', (_, axes, hand) => {
    const slow = made(axes, hand);
    for (let f = 0; f < 3; f++) {
      [11 + f, -7 + 2 * f, 90 + 3 * f].forEach((value, c) => {
        expect(slow.samples[f]![0]![c]).toBeCloseTo(value, 5);
      });
    }
    expect(slow.parameters.get('POINT:UNITS')!.values).toEqual(['cm']);
  });

  it('keeps the numbers of the frames: events of a trimmed file count from raw frame 1', () => {
    const slow = made([1, 0, 0, 0, 1, 0, 0, 0, 1], 'right');
    expect([slow.firstFrame, slow.frames]).toEqual([725, 3]);
    // P1 at 0.5 s and P7 at 1.5 s of the stored frames; C3D user guide: times count from the first raw frame
    expect(slow.events.map(({ label }) => label)).toEqual(['P1', 'P7']);
    expect(slow.events[0]!.time_s).toBeCloseTo(0.5 + 724 / 240, 6);
  });

  it('has more points than a list of labels holds, and no label twice', () => {
    const data = Float64Array.from({ length: 9 }, (_, i) => i);
    const points = Array.from({ length: 300 }, (_, i) => ({
      landmark: `L_${i}`,
      label: i < 2 ? 'twice' : `m${i}`,
      data,
      state: Uint8Array.of(1, 1, 1),
    }));
    const slow = made([1, 0, 0, 0, 1, 0, 0, 0, 1], 'right', { points });
    expect(slow.parameters.get('POINT:LABELS')!.dims[1]).toBe(255);
    expect(slow.parameters.get('POINT:LABELS2')!.dims[1]).toBe(45);
    expect(slow.labels).toHaveLength(300);
    expect(slow.labels.slice(0, 3)).toEqual(['twice', 'L_1', 'm2']);
  });
});
