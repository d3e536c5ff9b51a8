import { describe, expect, it } from 'vitest';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';

const dayOf = (player: string): string => `swingbasis: 1
day: Range day
players:
  - ${player}
clubs:
  - {id: dr, kind: driver}
trials:
  - {file: d1.c3d, club: dr}
`;

const read = (player: string) => readDay(dayOf(player), { file: 'day.yaml', listing: ['d1.c3d'] });

describe('joint centres named by the day file', () => {
  it('the regression of hips and shoulders is kept with the player', () => {
    const { plan } = read('{id: emu, hip_centre: dumas-wojtusch, shoulder_centre: rab}');
    expect(plan?.players[0]).toMatchObject({ hipCentre: 'dumas-wojtusch', shoulderCentre: 'rab' });
  });
  it('without them the player has neither key, which means the default', () => {
    const player = read('{id: emu}').plan?.players[0];
    expect(player).toBeDefined();
    expect(Object.keys(player!)).not.toContain('hipCentre');
    expect(Object.keys(player!)).not.toContain('shoulderCentre');
  });
  it('a name that is not known is refused with its line and the names that are', () => {
    const { plan, problems } = read('{id: emu, hip_centre: harington}');
    expect(plan).toBeNull();
    const line = problems.map(renderProblemLine).join('\n');
    expect(line).toMatch(/^day\.yaml:4/);
    for (const name of ['harrington', 'hara', 'bell', 'davis', 'leardini', 'dumas-wojtusch'])
      expect(line).toContain(name);
  });
});
