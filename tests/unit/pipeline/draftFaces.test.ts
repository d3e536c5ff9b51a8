import { expect, it } from 'vitest';
import { DRIVER, IRON_7 } from '../../../samples/generator/club.ts';
import { makeFaceTrial } from '../../../samples/generator/clubFace.ts';
import { makeStatic, makeSwing, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { draftDay } from '../../../src/pipeline/draft.ts';

it('a draft knows recordings of a club with markers on its face, and what else they say stays as it is', () => {
  const player = seededPlayer(3);
  const options = { rate_Hz: 240, noise_mm: 0, hand: 'right' } as const;
  const files = new Map([
    ['driver-1.c3d', makeSwing(3, player, DRIVER, options).bytes()],
    ['still.c3d', makeStatic(3, player, options).bytes()],
  ]);
  const drafted = () =>
    draftDay({
      folder: 'day',
      listing: [...files.keys()].sort(),
      open: (path) => ({ ...bytesSource(files.get(path)!), close: () => undefined }),
    }).text;
  const without = drafted().split('\n');
  files.set('face-driver.c3d', makeFaceTrial(1, DRIVER, options).bytes());
  files.set('face-iron7.c3d', makeFaceTrial(2, IRON_7, options).bytes());
  const added = drafted()
    .split('\n')
    .filter((line) => !without.includes(line));
  expect(added.filter((line) => /role|kind/.test(line))).toEqual([
    '  - { id: iron7, kind: iron }',
    '  - { file: face-driver.c3d, role: calibration, club: driver } # markers on the face of the club',
    '  - { file: face-iron7.c3d, role: calibration, club: iron7 } # markers on the face of the club',
  ]);
  // Nothing else changes but the number of files.
  expect(added.filter((line) => !/role|kind/.test(line)).every((line) => line.startsWith('#'))).toBe(true);
});
