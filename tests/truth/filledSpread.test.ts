// A value that rests on filled samples has a wider ± than the same value measured; nobody else's changes by it.
import { expect, it } from 'vitest';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import { MISSING } from '../../src/model/track.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { NOISY, truthCase } from '../support/truthCases.ts';

const one = truthCase(4, NOISY);
const analysed = (trial: MarkerTrial) => analyseTrial(trial, one.plan, createWorkspace());
const measured = analysed(one.trial);

function hidden(ids: readonly LandmarkId[], middle_s: number, frames: number): MarkerTrial {
  const points = new Map(one.trial.points);
  for (const id of ids) {
    const track = points.get(id)!;
    const data = Float64Array.from(track.data);
    const state = Uint8Array.from(track.state);
    const from = Math.round(middle_s * track.clock.rate_Hz) - (frames >> 1);
    state.fill(MISSING, from, from + frames);
    for (let c = 0; c < 3; c++)
      data.fill(Number.NaN, c * track.clock.frames + from, c * track.clock.frames + from + frames);
    points.set(id, { ...track, data, state });
  }
  return { ...one.trial, points };
}

it('the ± of thorax and trunk grows where a thorax marker was filled, that of the pelvis does not', () => {
  const { P4 } = measured.moments;
  const filled = analysed(hidden(['C7'], P4?.found === true ? P4.time_s : Number.NaN, 9));
  const half = (record: typeof measured, quantity: string): number =>
    record.cells.find((cell) => cell.quantity === quantity && cell.position === 'P4')!.plusMinus!;
  // Angles that rest on C7 most; the shift of fast motion, estimated anew on the filled samples, may take a little of it away.
  for (const quantity of ['thorax.forward_bend', 'thorax.inclination', 'trunk.flexion']) {
    const cell = filled.cells.find((entry) => entry.quantity === quantity && entry.position === 'P4')!;
    expect(cell.flags.some((flag) => flag === 'filled' || flag === 'rebuilt')).toBe(true);
    expect(half(filled, quantity), quantity).toBeGreaterThan(1.02 * half(measured, quantity));
  }
  // Three of its four markers are the same; the filter's gain was measured on the same noise.
  expect(half(filled, 'pelvis.turn') / half(measured, 'pelvis.turn')).toBeCloseTo(1, 6);
});

it('the time of P3 is less sure where the lead wrist was filled', () => {
  const { P3 } = measured.moments;
  const at_s = P3?.found === true ? P3.time_s : Number.NaN;
  const filled = analysed(hidden(['lead_RS', 'lead_US'], at_s, 21)).moments.P3;
  expect(filled?.found === true && filled.flags.includes('filled')).toBe(true);
  expect(filled?.found === true ? filled.sd_s : 0).toBeGreaterThan(P3?.found === true ? 1.2 * P3.sd_s : Number.NaN);
});
