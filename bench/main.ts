/** npm run bench -- [part ...]: times of one part beside an anchor measured in the same run, of compiled code as users run it. Never a test. */
const PARTS: Readonly<Record<string, () => Promise<readonly object[]>>> = {
  read: async () => (await import('./read.ts')).benchRead(),
  c3d: async () => [...(await import('./read.ts')).benchRead(), ...(await import('./readLarge.ts')).benchLarge()],
  text: async () => (await import('./text.ts')).benchText(),
  analyse: async () => (await import('./analyse.ts')).benchAnalyse(),
  quality: async () => (await import('./quality.ts')).benchQuality(),
  compare: async () => (await import('./compare.ts')).benchCompare(),
  report: async () => (await import('./report.ts')).benchReport(),
  archive: async () => (await import('./archive.ts')).benchArchive(),
  day: async () => (await import('./day.ts')).benchDay(),
  'growth-small': async () => (await import('./growth.ts')).benchGrowth([50, 500]),
  growth: async () => (await import('./growth.ts')).benchGrowth([50, 500, 5000]),
};

const asked = process.argv.slice(2);
const unknown = asked.filter((part) => !(part in PARTS));
if (unknown.length > 0) {
  console.error(`no part is called ${unknown.join(', ')}; parts: ${Object.keys(PARTS).join(', ')}`);
  process.exit(2);
}
for (const part of asked.length > 0 ? asked : Object.keys(PARTS)) {
  console.log(`\n${part}`);
  for (const row of await PARTS[part]!()) {
    console.log(
      Object.entries(row)
        .map(([key, value]) => (typeof value === 'number' ? `${key} ${value.toFixed(3)}` : String(value)))
        .join('  '),
    );
  }
}
