// Every real file with points gives a quality figure; files with many missing samples go through a day and say what they lack.

import { copyFileSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { FormatError } from '../../src/base/errors.ts';
import { runDay } from '../../src/batch/runDay.ts';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { framesOf } from '../../src/model/markerRuns.ts';
import type { TrialOutcome } from '../../src/model/swingRecord.ts';
import type { MarkerQuality } from '../../src/model/trial.ts';
import { qualityOf } from '../../src/model/trialQuality.ts';
import { qualityOfFile } from '../../src/pipeline/fileQuality.ts';
import { renderQuality } from '../../src/report/qualityFigure.ts';
import { EN } from '../../src/report/words/en.ts';
import { scratchFolder } from '../support/folders.ts';
import { openData } from '../support/openData.ts';
import { readBack } from '../support/readBack.ts';
import { REAL_SWING, REAL_SWING_MARKERS } from '../support/realSwing.ts';

const index = openData('expected.json');
const expected: Record<string, { readonly points: number; readonly frames: number; readonly invalidSamples?: number }> =
  index ? JSON.parse(readFileSync(index, 'utf8')) : {};
const withPoints = Object.entries(expected).filter(([, one]) => one.points > 0 && one.frames > 0);

/** Samples that are there but exactly 0, 0, 0 or no numbers, counted apart from the program. */
function emptySamples(c: ReturnType<typeof readC3d>): number {
  let count = 0;
  for (let p = 0; p < c.points; p++) {
    for (let f = 0; f < c.frames; f++) {
      const xyz = [0, 1, 2].map((axis) => c.xyz[(3 * p + axis) * c.frames + f]!);
      const isEmpty = xyz.every((value) => value === 0) || xyz.some((value) => !Number.isFinite(value));
      if (isEmpty && c.word4[p * c.frames + f]! >= 0) count += 1;
    }
  }
  return count;
}

describe.skipIf(index === null)('quality figures of real files', () => {
  it.each(withPoints)(
    'file %#: a figure, as many samples missing as an independent reader found invalid',
    (path, one) => {
      const file = readC3d(bytesSource(new Uint8Array(readFileSync(openData(path)!))), { file: 'file.c3d' });
      const quality = qualityOfFile(file, 'file')!;
      const missing = quality.markers.reduce((sum, marker) => sum + marker.missing, 0);
      expect(missing).toBe((one.invalidSamples ?? 0) + emptySamples(file));
      const svg = new JSDOM(renderQuality(EN, quality), { contentType: 'image/svg+xml' }).window.document;
      const rows = svg.querySelectorAll('g').length;
      expect(rows).toBe(quality.markers.filter((marker) => marker.missing > 0).length);
      const text = [...svg.querySelectorAll('text')].map((element) => element.textContent).join(' ');
      if (rows < one.points) expect(text).toMatch(/measured throughout\./);
      expect(text).toMatch(/frame, [\d.]+ a second|the rate is not known/);
    },
  );

  it('files without points, or that cannot be read, have none', () => {
    const file = readC3d(bytesSource(new Uint8Array(readFileSync(openData('c3d/layout/emg-only.c3d')!))), {
      file: 'a',
    });
    expect(qualityOfFile(file, 'a')).toBeNull();
    expect(() => readC3d(bytesSource(new Uint8Array(600)), { file: 'a' })).toThrow(FormatError);
  });
});

const scratch = scratchFolder();

/** A one-trial day of a file whose points are named by number. */
async function dayOf(path: string, markers: Readonly<Record<string, string>>): Promise<TrialOutcome> {
  const folder = mkdtempSync(join(scratch, 'day-'));
  copyFileSync(openData(path)!, join(folder, 'swing.c3d'));
  const day = `swingbasis: 1
day: one file
lab: { up: "+Z", target: "+Y", units: ${path === REAL_SWING ? 'm' : 'mm'} }
trust_coordinates: ${path === REAL_SWING}
insist: [up, target]
players: [{ id: kestrel, hand: right }]
clubs: [{ id: driver, kind: driver }]
markers: ${JSON.stringify(markers)}
trials: [{ file: swing.c3d, player: kestrel, club: driver }]
`;
  writeFileSync(join(folder, 'day.yaml'), day);
  const run = await runDay(
    { dayFile: join(folder, 'day.yaml'), out: null, lab: null, data: null, orders: [], curves: false, strict: false },
    { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} },
  );
  if (!run.ok) throw new Error(run.problems.join('\n'));
  const outcome = run.result.outcomes[0]!;
  return outcome.record === null ? { ...outcome, record: null } : readBack(run.out).outcomes[0]!;
}

describe.skipIf(index === null)('real files with many missing samples, each as a day of its own', () => {
  // no shoulders and no club: names by where the points are, read off by hand
  it.each([
    [
      'c3d/layout/corrupt-parameter-chain.c3d',
      45,
      332,
      6044,
      0.4,
      {
        SACRUM: '#1',
        R_HJC: '#2',
        L_HJC: '#12',
        R_KJC: '#4',
        L_KJC: '#14',
        R_AJC: '#6',
        L_AJC: '#16',
        R_TOE: '#8',
        L_TOE: '#18',
      },
      // one sample 21 mm off its neighbours and back
      { R_KJC: 1 },
    ],
    [
      'c3d/layout/parameters-before-group.c3d',
      13,
      199,
      653,
      0.25,
      {
        L_HJC: '#1',
        R_HJC: '#2',
        SACRUM: '#3',
        R_KJC: '#5',
        R_AJC: '#7',
        R_TOE: '#8',
        L_KJC: '#10',
        L_AJC: '#12',
        L_TOE: '#13',
      },
      {},
    ],
  ] as const)(
    '%s: %i points, %i frames, %i samples missing',
    async (path, points, frames, missing, share, names, leaps) => {
      const file = readC3d(bytesSource(new Uint8Array(readFileSync(openData(path)!))), { file: 'file.c3d' });
      const quality = qualityOfFile(file, 'file')!;
      const found = quality.markers.reduce((sum, marker) => sum + marker.missing, 0);
      expect([quality.markers.length, quality.frames, found]).toEqual([points, frames, missing]);
      expect(found / (points * frames)).toBeCloseTo(share, 2);
      const outcome = await dayOf(path, names);
      expect(outcome).toMatchObject({
        status: 'rejected',
        reason: expect.stringMatching(/^no swing was found in the recording: neither the top nor impact/) as string,
      });
      const ofPoint = (name: keyof typeof names): MarkerQuality => quality.markers[Number(names[name].slice(1)) - 1]!;
      const gaps: string[] = [];
      for (const name of Object.keys(names) as (keyof typeof names)[]) {
        const point = ofPoint(name);
        const kept = outcome.quality?.markers.find(({ marker }) => marker === name);
        const removed = (leaps as Partial<Record<string, number>>)[name] ?? 0;
        expect([name, kept?.missing]).toEqual([name, point.missing + removed]);
        const left = framesOf(kept?.runs ?? [], 'missing');
        if (left > 0) gaps.push(`${name}: ${left} of ${frames} frames missing`);
        if (removed > 0) continue;
        expect([name, kept?.longestGap_s]).toEqual([name, point.longestGap_s]);
        expect(kept?.runs?.map(([first, last]) => [first, last])).toEqual(
          point.runs?.map(([first, last]) => [first, last]),
        );
      }
      expect(gaps.length).toBeGreaterThan(1);
      const gone = outcome.diagnostics.filter(({ message }) => message.endsWith('; removed'));
      expect(gone.map(({ code, message }) => `${code} ${message.split(':')[0]}`)).toEqual(
        Object.keys(leaps).map((name) => `marker-jumps ${name}`),
      );
      const said = outcome.diagnostics.filter(({ code }) => code === 'gap-left').map(({ message }) => message);
      expect(said.sort()).toEqual(gaps.sort());
    },
  );
});

describe.skipIf(index === null)('the real swing', () => {
  it('marks every sample invalid, and is whole where the day file says that its coordinates are good', async () => {
    const file = readC3d(bytesSource(new Uint8Array(readFileSync(openData(REAL_SWING)!))), { file: 'file.c3d' });
    const { markers } = qualityOfFile(file, 'file')!;
    expect(markers.map(({ runs }) => runs)).toEqual(markers.map(() => [[0, 136, 'missing']]));
    const outcome = await dayOf(REAL_SWING, REAL_SWING_MARKERS);
    expect(outcome.status).toBe('used');
    const quality = qualityOf(outcome.record!)!;
    expect(quality.markers.map(({ marker }) => marker).sort()).toEqual(Object.keys(REAL_SWING_MARKERS).sort());
    // its points were made by a model of the body, which leaves no gaps
    expect(quality.markers.filter(({ missing, runs }) => missing > 0 || runs !== undefined)).toEqual([]);
    expect(outcome.diagnostics.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['coordinates-trusted', 'mirrored-file-frame', 'implausible-backswing']),
    );
  });
});
