import { join } from 'node:path';

/** Where the paths of the day below start. */
export const SAMPLE_DATA = join(import.meta.dirname, '../../samples/day');

/** The smallest day with a report: one player of the sample day, two swings of each club. */
export const SMALL_DAY = `swingbasis: 1
day: one bird
lab: {up: +Z, target: +X, units: mm}
players:
  - {id: osprey, hand: right, sex: male, height_m: 1.77, mass_kg: 78, static: osprey/0-static}
clubs:
  - {id: driver, kind: driver, length_m: 1.143}
  - {id: iron7, kind: iron, length_m: 0.94}
trials:
  - {file: osprey/0-static.c3d, player: osprey, role: static}
  - {file: osprey/1-driver-1.c3d, player: osprey, club: driver}
  - {file: osprey/1-driver-2.c3d, player: osprey, club: driver}
  - {file: osprey/2-iron7-1.c3d, player: osprey, club: iron7}
  - {file: osprey/2-iron7-2.c3d, player: osprey, club: iron7}
compare: {resamples: 200}
`;
