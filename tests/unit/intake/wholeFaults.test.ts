import { describe, expect, it } from 'vitest';
import { makeStatic } from '../../../samples/generator/makeSwing.ts';
import type { C3dFile } from '../../../src/c3d/types.ts';
import { intake } from '../../../src/intake/intake.ts';
import { DEFAULT_FAULTS, type TrialPlan } from '../../../src/model/dayPlan.ts';
import { scaled, withSidesExchanged } from '../../support/bodyDamage.ts';
import { clubPlan, playerPlan, trialPlan } from '../../support/plans.ts';
import { exactFile, NOISY, type TruthCase, truthCase } from '../../support/truthCases.ts';

const SEEDS = [1, 3, 4, 5]; // both hands
const LABS = [
  { up: '+Z', target: '+X', mirrored: false },
  { up: '+Y', target: '-Z', mirrored: true },
] as const;

function taken(file: C3dFile, { player, made }: TruthCase, changes: Partial<TrialPlan> = {}) {
  const plan = {
    trial: trialPlan({ up: '+Z', target: '+X', units: 'mm', ...changes }),
    player: playerPlan({ id: player.id, hand: player.hand }),
    club: clubPlan({ id: made.club.spec.id }),
  };
  return intake(file, plan);
}

describe('pairs of markers exchanged in the names, for the whole trial', () => {
  const cases: readonly (readonly string[])[] = [
    ['ASIS'],
    ['PSIS', 'ASIS'],
    ['EAR', 'ORBIT'],
    ['AC'],
    ['LM'],
    ['FL', 'FM', 'LM', 'MM', 'HEEL', 'MT1', 'MT5', 'TOE'],
    ['EL', 'EM', 'RS', 'US', 'MC2', 'MC5'],
    ['EL'],
    ['RS', 'US', 'MC2', 'MC5'],
  ];
  it.each(cases.map((names) => [names.join(), names] as const))(
    '%s: found, and every track is that of the true names',
    (_words, names) => {
      for (const seed of SEEDS) {
        for (const lab of LABS) {
          const one = truthCase(seed, { ...NOISY, options: { lab } });
          const file = exactFile(one.made.content);
          const plan = { up: lab.up, target: lab.target };
          const truth = taken(file, one, plan).value;
          const found = taken(withSidesExchanged(file, names), one, plan);
          if (!truth.ok || !found.value.ok) throw new Error('refused');
          expect(truth.value.faults).toBeUndefined();
          const markers = names.flatMap((name) => [`L_${name}`, `R_${name}`]).sort();
          expect(found.value.value.faults).toMatchObject([
            { code: 'sides-exchanged', markers, frames: [], action: 'repaired' },
          ]);
          for (const [id, track] of truth.value.points)
            expect(found.value.value.points.get(id)!.data).toEqual(track.data);
          expect(found.diagnostics.filter(({ code }) => code === 'sides-exchanged')).toHaveLength(1);
        }
      }
    },
  );

  it('on a static trial too', () => {
    for (const seed of SEEDS) {
      const one = truthCase(seed, NOISY);
      const file = exactFile(makeStatic(seed, one.player, { rate_Hz: 240, noise_mm: 1 }).content);
      const plan = { role: 'static' as const, club: null };
      for (const names of [['ASIS'], ['RS', 'US'], ['LM', 'MM']]) {
        const found = taken(withSidesExchanged(file, names), one, plan).value;
        expect(found.ok && found.value.faults?.[0]?.markers).toEqual(
          names.flatMap((name) => [`L_${name}`, `R_${name}`]).sort(),
        );
      }
      const clean = taken(file, one, plan).value;
      expect(clean.ok && clean.value.faults).toBeUndefined();
    }
  });

  it('without repair they are named and stay', () => {
    const one = truthCase(3, NOISY);
    const file = withSidesExchanged(exactFile(one.made.content), ['ASIS']);
    const found = taken(file, one, { faults: { ...DEFAULT_FAULTS, repair: false } }).value;
    if (!found.ok) throw new Error(found.why.needed);
    expect(found.value.faults).toMatchObject([
      { code: 'sides-exchanged', markers: ['L_ASIS', 'R_ASIS'], action: 'kept' },
    ]);
    const truth = taken(exactFile(one.made.content), one).value;
    if (!truth.ok) throw new Error(truth.why.needed);
    expect(found.value.points.get('lead_ASIS')!.data).toEqual(truth.value.points.get('trail_ASIS')!.data);
  });
});

describe('every name of the other side', () => {
  const one = truthCase(3, NOISY);
  const file = withSidesExchanged(exactFile(one.made.content));

  it('is put right where the declared hand decides, and named', () => {
    const found = taken(file, one).value;
    expect(found.ok && found.value.faults).toMatchObject([
      { code: 'sides-exchanged', markers: [], action: 'repaired' },
    ]);
  });

  it('is refused without repair', () => {
    const found = taken(file, one, { faults: { ...DEFAULT_FAULTS, repair: false } }).value;
    expect(found.ok).toBe(false);
    expect(found).toMatchObject({
      why: { code: 'sides-exchanged', needed: expect.stringMatching(/^true names of left and right/) },
    });
  });
});

describe('a unit that does not fit the body', () => {
  const one = truthCase(3, NOISY);
  const file = exactFile(one.made.content);

  it('of the file: the one that fits is used, and the fault is named', () => {
    const found = taken(scaled(file, 0.001), one, { units: null }).value;
    expect(found.ok && found.value.faults).toMatchObject([
      {
        code: 'units-contradict',
        action: 'repaired',
        detail: expect.stringMatching(/^the file says mm, but only in m the body spans/),
      },
    ]);
  });

  it('no unit fits (a scale wrong by 2.54): kept, with the size', () => {
    // a body of 1.6 m over 2.54 is 0.6 m in millimetres and 6 m in centimetres
    const found = taken(scaled(file, 1 / 2.54), one, { units: null });
    if (!found.value.ok) throw new Error(found.value.why.needed);
    expect(found.value.value.faults).toMatchObject([
      {
        code: 'units-contradict',
        action: 'kept',
        detail: expect.stringMatching(/^in mm the body spans 0\.\d+ m from head to foot; 0\.9 to 2\.6 m are possible$/),
      },
    ]);
    expect(found.diagnostics.map(({ code }) => code)).toContain('units-contradict-body');
  });
});
