import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { intake } from '../../src/intake/intake.ts';
import { openData } from '../support/openData.ts';
import { clubPlan, playerPlan, trialPlan } from '../support/plans.ts';
import { REAL_SWING, realSwingPlan } from '../support/realSwing.ts';

const swing = openData(REAL_SWING);
const landmarks = openData('c3d/landmarks/isb-landmarks-walk-200hz.c3d');
const read = (path: string) => readC3d(bytesSource(new Uint8Array(readFileSync(path))), { file: 'trial.c3d' });

describe.skipIf(swing === null)('the real swing of the open data', () => {
  it('is refused without trust_coordinates, since every residual is −1', () => {
    const { value } = intake(read(swing!), {
      trial: realSwingPlan({ trustCoordinates: false }),
      player: playerPlan(),
      club: clubPlan(),
    });
    expect(value.ok ? 'accepted' : value.why.code).toBe('all-samples-invalid');
  });

  it('shows metres and +Z up, and that its frame is left-handed (read off by hand, not published)', () => {
    const { value, diagnostics } = intake(read(swing!), {
      trial: realSwingPlan({ up: null }),
      player: playerPlan(),
      club: clubPlan(),
    });
    if (!value.ok) throw new Error(value.why.needed);
    expect(value.value.head.facts.units).toMatchObject({ value: 'm', source: 'detected' });
    expect(value.value.head.facts.up).toMatchObject({ value: '+Z', source: 'detected' });
    expect(value.value.head.facts.mirrored.value).toBe(true);
    expect(value.value.head.facts.hand.evidence).toBe('the right hand is nearer the club head');
    expect(diagnostics.map((d) => d.code)).toContain('mirrored-file-frame');
  });

  it('is refused without a hand, with both readings', () => {
    const { value } = intake(read(swing!), {
      trial: realSwingPlan(),
      player: playerPlan({ hand: null }),
      club: clubPlan(),
    });
    expect(value.ok ? 'accepted' : value.why.code).toBe('mirrored-or-exchanged');
  });
});

describe.skipIf(landmarks === null)('the walk with exact ISB landmarks', () => {
  it('is recognised by name; the body, not the contradicting screen axes, says that +Z is up', () => {
    const { value, diagnostics } = intake(read(landmarks!), {
      trial: trialPlan({ club: null, role: 'static' }),
      player: playerPlan(),
      club: null,
    });
    if (!value.ok) throw new Error(value.why.needed);
    for (const id of [
      'IJ',
      'PX',
      'C7',
      'T8',
      'lead_ASIS',
      'trail_ASIS',
      'lead_PSIS',
      'trail_PSIS',
      'lead_AC',
      'trail_MM',
    ] as const) {
      expect(value.value.points.has(id)).toBe(true);
    }
    expect(value.value.head.facts.up).toMatchObject({ value: '+Z', source: 'detected' });
    expect(value.value.head.facts.mirrored.value).toBe(false);
    expect(diagnostics.map((d) => d.code)).toContain('screen-contradicts-body');
  });
});
