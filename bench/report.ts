/** SVG and page of a player beside the analysis of five trials; bytes of the page; in Chromium, where there is one, how soon and how smoothly it moves. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { FILM_POINTS, packPlaces } from '../src/model/film.ts';
import { CURVE_STEPS } from '../src/model/swingRecord.ts';
import { createRandom } from '../src/numeric/random.ts';
import { median } from '../src/numeric/statistics.ts';
import { renderPlayerPage } from '../src/report/page/playerPage.ts';
import { renderPlayerDetails } from '../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../src/report/playerSheet.ts';
import type { PlayerView } from '../src/report/views.ts';
import { hasChromium, launchChromium } from '../tests/support/chromium.ts';
import { fixtureView } from '../tests/support/reportFixture.ts';
import { benchAnalyse } from './analyse.ts';

type Row = Readonly<Record<string, string | number>>;

/** A player whose every swing has a film of all points. */
function filmed(drivers: number, irons: number): PlayerView {
  const random = createRandom(1);
  const places = (): Float64Array => Float64Array.from({ length: 3 * FILM_POINTS.length * CURVE_STEPS }, random.normal);
  const view = fixtureView({ drivers, irons, face: true });
  const film = () => ({ points: FILM_POINTS, data: packPlaces(places()) });
  return { ...view, records: view.records.map((record) => ({ ...record, film: film() })) };
}

function timed(task: () => unknown, runs: number): { median_ms: number; least_ms: number } {
  const times: number[] = [];
  for (let run = -3; run < runs; run++) {
    const start = performance.now();
    task();
    if (run >= 0) times.push(performance.now() - start);
  }
  return { median_ms: median(times), least_ms: Math.min(...times) };
}

/** Time from the start of loading to the first drawing by the script, and frames a second while each frame goes one step on. */
async function inBrowser(html: string): Promise<readonly Row[]> {
  if (!hasChromium()) return [];
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-bench-'));
  const browser = await launchChromium();
  try {
    const file = join(folder, 'player.html');
    writeFileSync(file, html);
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    const usable: number[] = [];
    for (let run = 0; run < 5; run++) {
      await page.goto('about:blank');
      await page.goto(`${pathToFileURL(file).href}#coach`);
      usable.push(await page.evaluate(() => performance.now()));
    }
    const framesPerSecond = await page.evaluate(
      () =>
        new Promise<number>((done) => {
          const slider = document.querySelector<HTMLInputElement>('.scrub input')!;
          const frames = 160;
          let frame = 0;
          const start = performance.now();
          const next = (): void => {
            slider.value = String(frame % 81);
            slider.dispatchEvent(new Event('input'));
            frame += 1;
            if (frame < frames) requestAnimationFrame(next);
            else done((1000 * frames) / (performance.now() - start));
          };
          next();
        }),
    );
    return [
      { name: 'page usable in Chromium, 40 swings', median_ms: median(usable), least_ms: Math.min(...usable) },
      { name: 'frames a second while scrubbing (60 is all the browser gives)', frames_per_s: framesPerSecond },
    ];
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

export async function benchReport(runs = 15): Promise<readonly Row[]> {
  const rows: Row[] = [];
  let largest = '';
  for (const [drivers, irons] of [
    [8, 8],
    [20, 20],
  ] as const) {
    const view = filmed(drivers, irons);
    const swings = `${drivers + irons} swings`;
    largest = renderPlayerPage(view);
    rows.push(
      { name: `page, ${swings}`, ...timed(() => renderPlayerPage(view), runs), bytes: largest.length },
      { name: `sheet, ${swings}`, ...timed(() => renderPlayerSheet(view), runs) },
      { name: `details, ${swings}`, ...timed(() => renderPlayerDetails(view), runs) },
    );
  }
  const trial = benchAnalyse(31).find(({ name }) => name.includes('whole'))!;
  const five = { median_ms: 5 * trial.median_ms, least_ms: 5 * trial.least_ms };
  return [
    ...rows,
    { name: 'analysis of five trials of 60 markers × 1200 frames', ...five },
    ...(await inBrowser(largest)),
  ];
}
