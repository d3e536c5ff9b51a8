/** Beside those of tests/long the files that take longest, 7 to 30 s each: `npm run test:long` runs them, so that `npm test` stays short. */
export const SLOW_TESTS: readonly string[] = [
  'tests/truth/{bodyFaults,club,faults,gaps,limbs,orderOfMotion,sensors,sensorsDemo,sessions}.test.ts',
  'tests/unit/archive/query.test.ts',
  'tests/unit/batch/shards.test.ts',
  'tests/unit/cli/{check,compare,compareSessions,orderCheck,watch}.test.ts',
  'tests/unit/intake/wholeFaults.test.ts',
  'tests/unit/pipeline/{badDay,userDays}.test.ts',
  'tests/unit/report/{figurePanels,germanDays,sheets,wordsOutside}.test.ts',
  'tests/unit/stages/positions/{clubDelivery,withoutPoints}.test.ts',
];
