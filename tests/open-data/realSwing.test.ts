import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runDay } from '../../src/batch/runDay.ts';
import type { SwingRecord, TrialOutcome } from '../../src/model/swingRecord.ts';
import { openData } from '../support/openData.ts';
import { readBack } from '../support/readBack.ts';
import { REAL_SWING, REAL_SWING_MARKERS } from '../support/realSwing.ts';

const file = openData(REAL_SWING);

/** A one-trial day: names by number, coordinates trusted, hand right, up +Z, target +Y. */
const DAY = `swingbasis: 1
day: one swing
lab: { up: "+Z", target: "+Y" }
trust_coordinates: true
players:
  - { id: kestrel, hand: right }
clubs:
  - { id: driver, kind: driver }
markers: ${JSON.stringify(REAL_SWING_MARKERS)}
trials:
  - { file: swing.c3d, player: kestrel, club: driver }
`;

describe.skipIf(file === null)('a whole real swing as a one-trial day (values read off by hand, not published)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-real-'));
  let outcome: TrialOutcome;
  let record: SwingRecord;

  beforeAll(async () => {
    copyFileSync(file!, join(folder, 'swing.c3d'));
    writeFileSync(join(folder, 'day.yaml'), DAY);
    const run = await runDay(
      { dayFile: join(folder, 'day.yaml'), out: null, lab: null, data: null, orders: [], curves: false, strict: false },
      { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} },
    );
    if (!run.ok) throw new Error(run.problems.join('\n'));
    outcome = readBack(run.out).outcomes[0]!;
    if (outcome.record === null) throw new Error(outcome.reason);
    record = outcome.record;
  });

  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  /** Frame from 0 of a position, or why it is missing. */
  function frameOf(position: 'P1' | 'P4' | 'P7'): number | string {
    const moment = record.moments[position]!;
    return moment.found ? moment.time_s * 200 : moment.why.needed;
  }

  it('is used, in the reduced form, its mirrored frame found', () => {
    expect(outcome.status).toBe('used');
    expect(record.form).toBe('reduced');
    expect(record.head.facts.mirrored).toMatchObject({ value: true, source: 'detected' });
    expect(outcome.diagnostics.map((d) => d.code)).toContain('mirrored-file-frame');
  });

  it('has the top between frames 35 and 41, where the tip of the club is farthest, and impact between 82 and 84, where the ball leaves', () => {
    expect(frameOf('P4')).toBeGreaterThanOrEqual(35);
    expect(frameOf('P4')).toBeLessThanOrEqual(41);
    expect(frameOf('P7')).toBeGreaterThanOrEqual(82);
    expect(frameOf('P7')).toBeLessThanOrEqual(84);
  });

  it('misses P1 with the reason, and every displacement that starts there', () => {
    expect(frameOf('P1')).toBe('a recording that begins before the takeaway');
    const shift = record.cells.find((cell) => cell.quantity === 'pelvis.to_target' && cell.position === 'P7');
    expect(shift?.value).toBeNull();
    expect(shift?.why?.needed).toMatch(/P1|takeaway/);
  });

  it('reports the impossible backswing with its numbers', () => {
    const said = outcome.diagnostics.find((d) => d.code === 'implausible-backswing');
    expect(said?.message).toMatch(/0\.1\d s/);
  });

  // The stated rate does not hold before the top (0.17 s from the ball, the tip at up to 39 m/s); the downswing fits it. Nothing else is found:
  // no single step of the body stands out, and the club is seen throughout.
  it('names the rate as the one fault, with the time that no backswing takes', () => {
    expect(record.faults).toEqual([
      {
        code: 'rate-contradicts-swing',
        markers: [],
        frames: [],
        action: 'kept',
        detail: expect.stringMatching(
          /^at 200 Hz the way from the ball to P4 takes 0\.1[67]\d s; 0\.30 s or more is possible: the rate is wrong, or the frames are not evenly spaced$/,
        ),
      },
    ]);
    const said = outcome.diagnostics.filter(
      ({ code }) => code === 'rate-contradicts-swing' || code.startsWith('implausible'),
    );
    expect(said.map(({ code }) => code)).toEqual(['implausible-backswing']);
  });

  it('gives lines and the trunk axis, and says of each segment angle which landmarks it lacks', () => {
    const value = (quantity: string): number | null =>
      record.cells.find((cell) => cell.quantity === quantity && cell.position === 'P4')?.value ?? null;
    // A backswing turns the shoulders away from the target, farther than the pelvis (common practice, no source).
    expect(value('shoulder_line.turn')).toBeLessThan(-1);
    expect(value('pelvis_line.turn')).toBeLessThan(0);
    expect(value('shoulder_line.turn')!).toBeLessThan(value('pelvis_line.turn')!);
    const thorax = record.cells.find((cell) => cell.quantity === 'thorax.turn' && cell.position === 'P4');
    expect(thorax?.value).toBeNull();
    expect(thorax?.why?.needed).toMatch(/IJ.*C7/);
  });

  it('writes the mirrored frame and the reduced form into the table of trials', () => {
    const row = readFileSync(join(folder, 'results/tables/trials.csv'), 'utf8').split('\r\n')[1]!;
    expect(row).toMatch(/,yes,right,reduced,review,.*,rules/);
  });
});
