import { NOTE_POSITIONS } from '../../src/model/positions.ts';
import type { FixtureOptions } from './reportFixture.ts';

/** Every kind of player that a sheet must stand. */
export const REPORT_CASES: Readonly<Record<string, FixtureOptions>> = {
  normal: {},
  'a short note': { note: 'works on the driver from a tee' },
  'a note, nothing compared': { reason: 'no swing of the irons', irons: 0, note: 'left-handed' },
  'a note, no departure': { departs: false, note: 'left-handed' },
  'a long note': { note: 'works on the driver from a tee, and on little else '.repeat(40), face: true },
  'notes at positions and a practice list': {
    notes: { P4: 'stands up here', P7: 'much better than in spring' },
    practice: ['half swings with the feet together', 'slow swings, stop at the top'],
  },
  'long notes at every position, a long practice list': {
    note: 'works on the driver from a tee, and on little else '.repeat(10),
    notes: Object.fromEntries(NOTE_POSITIONS.map((position) => [position, 'says much of this position '.repeat(30)])),
    practice: Array.from({ length: 12 }, (_, i) => `exercise ${i} `.repeat(40)),
    face: true,
  },
  'notes, no departure': { departs: false, notes: { P1: 'ball too far forward' }, practice: ['ball place'] },
  'no departure': { departs: false },
  'no comparison': { reason: 'only 1 swing of the irons', irons: 1 },
  'no irons': { reason: 'no swing of the irons', irons: 0 },
  'many irons, no driver': { reason: 'no swing of the driver', drivers: 0, irons: 20 },
  'no irons, reduced form without club': { reason: 'no swing of the irons', irons: 0, reduced: true, club: false },
  'no irons, long names': {
    reason: 'no swing of the irons',
    irons: 0,
    trialPrefix: 'a_folder_with_quite_a_long_name/and_another_one_below_it/',
  },
  'without P1': { withoutP1: true },
  'assumed target, two sets': { assumedTarget: true, sets: ['before', 'after'] },
  'sets with long names': {
    sets: [
      'before_the_lesson_on_the_mat_in_the_bay',
      'after_the_lesson_on_the_mat_in_the_bay',
      'a_week_later_on_the_grass_of_the_range',
    ],
  },
  'few swings': { drivers: 3, irons: 3 },
  'face of the club': { face: true },
  'face of the club, assumed target, order open': { face: true, assumedTarget: true, order: 'open' },
  'face of the club, many swings, left-handed': { face: true, drivers: 40, irons: 40, hand: 'left', order: 'mixed' },
  'no club': { club: false },
  'no arms': { arms: false },
  'no arms, no club': { arms: false, club: false },
  '5 drivers, 12 irons': { drivers: 5, irons: 12 },
  'methods and clubs disagree on the order': { order: 'mixed' },
  'nothing settled in the order': { order: 'open' },
  'reduced form': { reduced: true },
  'reduced form without club': { reduced: true, club: false },
  'many swings': { drivers: 40, irons: 40 },
  sensors: {
    part: {
      source: 'sensors',
      label: 'sensors',
      suffix: '-sensors',
      calibration: { still: 'wren/sensors/still', anatomicalFrom: 'wren/0-static', headings: 'address' },
    },
  },
  'sensors without a calibration': { part: { source: 'sensors' }, reason: 'only 1 swing of the irons', irons: 1 },
  'sensors calibrated twice, long names': {
    player: 'Long_tailed_tit_with_forty_characters_00',
    part: {
      source: 'sensors',
      label: 'sensors calibrated in a_folder_with_quite_a_long_name/and_another_one_below_it/still',
      suffix: '-sensors-2',
      calibration: {
        still: 'a_folder_with_quite_a_long_name/and_another_one_below_it/still',
        anatomicalFrom: null,
        headings: 'file',
      },
    },
  },
  'left-handed': { hand: 'left', player: 'Siskin', seed: 11 },
  'long names': {
    player: 'Long_tailed_tit_with_forty_characters_00',
    clubs: [
      'a_driver_with_a_name_of_forty_characters',
      'an_iron__with_a_name_of_forty_characters',
      'another_iron_with_a_name_of_40_character',
    ],
    trialPrefix: 'a_folder_with_quite_a_long_name/and_another_one_below_it/',
    day: 'A capture day with a name that goes on and on, through <angle> brackets & "quotes", until nothing is left of the line it stands on',
  },
};
