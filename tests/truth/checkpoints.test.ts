// Truth from the generator's own curve of the chest's forward bend, searched at every 0.1 ms.
import { describe, expect, it } from 'vitest';
import { beginningOf } from '../../src/compare/checkpointReadings.ts';
import { checkpointsAlone } from '../../src/compare/checkpoints.ts';
import { chooseMethods } from '../../src/compare/methods.ts';
import type { SwingGroup } from '../../src/compare/swings.ts';
import type { Checkpoint } from '../../src/model/checkpoint.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { CLEAN, type Conditions, Errors, NOISY, type TruthCase, truthCase } from '../support/truthCases.ts';

const RAD = Math.PI / 180;
const SEEDS = Array.from({ length: 12 }, (_, i) => i + 1);

/** Place of the largest forward bend between the true P4 and P8, by true time between neighbouring positions. */
function truePlace({ made }: TruthCase): number {
  const { time_s } = made.truth;
  const shift = made.swing.setup.contact - made.contact_s;
  let best = time_s.P4;
  for (let t = time_s.P4; t <= time_s.P8; t += 0.0001) {
    if (made.swing.value('thoraxForward', t + shift) > made.swing.value('thoraxForward', best + shift)) best = t;
  }
  const known = [
    [4, time_s.P4],
    [5, time_s.P5],
    [5.5, time_s['P5.5']],
    [6, time_s.P6],
    [7, time_s.P7],
    [8, time_s.P8],
  ] as const;
  const next = known.findIndex(([, time]) => best <= time);
  const [[a, ta], [b, tb]] = [known[next - 1]!, known[next]!];
  return a + ((b - a) * (best - ta)) / (tb - ta);
}

function foundPlace({ trial, plan }: TruthCase): number {
  const record = analyseTrial(trial, plan, createWorkspace());
  const group: SwingGroup = { label: 'driver', records: [record], clubs: [''] };
  const choice = chooseMethods(group, { label: 'irons', records: [], clubs: [] });
  const found = beginningOf(
    record,
    'thorax.forward_bend',
    { kind: 'begins', way: 'falls', from: 'P4', to: 'P8' },
    choice,
  );
  if (typeof found === 'string') throw new Error(found);
  return found;
}

describe('where the chest begins to extend', () => {
  it.each([
    // a parabola through steps of about 10 ms; measured 0.0023
    ['noise-free', CLEAN, 0.005],
    // a fifth of the half-width of the band that ships; measured 0.053
    ['1 mm of noise, default filter', NOISY, 0.1],
  ] as const)('%s', (_name, conditions: Conditions, limit) => {
    const errors = new Errors();
    const places = new Set<string>();
    for (const seed of SEEDS) {
      const one = truthCase(seed, conditions);
      const is = truePlace(one);
      places.add(is.toFixed(1));
      errors.add(foundPlace(one) - is);
    }
    expect(places.size).toBeGreaterThan(3);
    expect(errors.rms).toBeLessThan(limit);
  });
});

describe('the change of a bend without what turning alone gives', () => {
  // The segment's long axis as the generator has it: where it was at the first position, seen from the heading at the second.
  const trueChange = ({ made }: TruthCase, segment: 'thorax' | 'head', from: 'P1' | 'P4', to: 'P4' | 'P7') => {
    const shift = made.swing.setup.contact - made.contact_s;
    const long = made.swing.bodyPose(made.truth.time_s[from] + shift)[segment].y;
    const heading = made.swing.value(`${segment}Turn`, made.truth.time_s[to] + shift);
    const ahead = long[0] * Math.cos(heading) - long[2] * Math.sin(heading);
    const across = long[0] * Math.sin(heading) + long[2] * Math.cos(heading);
    const now = (bend: 'Side' | 'Forward') => made.swing.value(`${segment}${bend}`, made.truth.time_s[to] + shift);
    return {
      side_bend: (now('Side') - Math.atan2(across, long[1])) / RAD,
      forward_bend: (now('Forward') - Math.asin(ahead)) / RAD,
    };
  };

  it.each([
    ['head', 'P4', 'P7'],
    ['thorax', 'P1', 'P4'],
    ['thorax', 'P4', 'P7'],
  ] as const)('%s, %s to %s, noise-free', (segment, from, to) => {
    const bends = ['side_bend', 'forward_bend'] as const;
    const rules = bends.map(
      (bend): Checkpoint => ({
        name: bend,
        quantity: `${segment}.${bend}`,
        reading: { kind: 'change', from, to, withoutTurn: true },
        rule: { kind: 'band', low: 0, high: null, severeLow: null, severeHigh: null },
        clubs: null,
        note: '',
        source: '',
      }),
    );
    for (const seed of SEEDS.slice(0, 4)) {
      const one = truthCase(seed, CLEAN);
      const record = analyseTrial(one.trial, one.plan, createWorkspace());
      const results = checkpointsAlone(rules, { label: 'driver', records: [record], clubs: [''] }, 'irons', []);
      const is = trueChange(one, segment, from, to);
      // four angles of at most 0.01° at the true time, and P1 as a mean over 0.1 s in which the body hardly moves
      bends.forEach((bend, i) => {
        expect(Math.abs(results[i]!.value! - is[bend]), `${seed} ${bend}`).toBeLessThan(0.06);
      });
    }
  });
});
