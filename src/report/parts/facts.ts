import { formatFixed } from '../../base/format.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import type { Fact, FactSource, TrialFacts } from '../../model/trial.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { fitMiddle } from '../drawing/textMetrics.ts';
import { counted, listed } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What was detected about the recordings, and from what (definitions 7): one line a fact where all swings agree. */

type FactKey = keyof TrialFacts;

const FACTS: readonly FactKey[] = ['units', 'rate_Hz', 'up', 'target', 'hand', 'mirrored'];

/** A recording of sensors has no lengths and no frame in space. */
const OF_SENSORS: ReadonlySet<FactKey> = new Set(['rate_Hz', 'hand']);

const MOST_NAMES = 6;
const NUMBER = /\d+(?:\.\d+)?/g;

/** One reading of a fact and the swings that have it. */
export interface FactGroup {
  readonly text: string;
  readonly trials: readonly string[];
}

/** '240', '239.76': at most three decimals. */
function rateText(words: Words, value: number): string {
  return formatFixed(value, 3)
    .replace(/\.?0+$/, '')
    .replace('.', words.decimal);
}

function valueText(words: Words, key: FactKey, { value, source }: Fact<unknown>): string {
  const { facts } = words.details;
  // an assumed line is that of the feet itself; the value names the axis nearest to it
  if (key === 'target' && source === 'assumed') return fill(facts.near, { axis: String(value) });
  if (key === 'rate_Hz') return `${rateText(words, Number(value))} Hz`;
  if (key === 'mirrored') return value === true ? facts.mirrored : facts.notMirrored;
  return facts.value(value);
}

/** The evidence without what the words of the source say already. */
function evidenceText(source: FactSource, evidence: string): string {
  const said = source === 'set' ? 'the day file' : source === 'file' ? 'the file' : '';
  if (said === '' || !evidence.startsWith(said)) return evidence;
  return evidence.slice(said.length).replace(/^; /, '');
}

function factText(words: Words, key: FactKey, fact: Fact<unknown>, evidence: string): string {
  const { source } = fact;
  const shown = evidenceText(source, evidence);
  const { sources, insisted, found, said, bare } = words.details.facts;
  const whole = source === 'insisted' ? insisted : source === 'detected' || source === 'assumed' ? found : said;
  return fill(shown === '' ? bare : whole, {
    value: valueText(words, key, fact),
    source: sources[source],
    evidence: shown,
  });
}

/** Sentences that differ in their numbers alone, as one with ranges: 'the body spans 1.58–1.61 m'. */
function mergeNumbers(texts: readonly string[]): string {
  const columns = texts.map((text) => text.match(NUMBER) ?? []);
  let next = 0;
  return (texts[0] ?? '').replace(NUMBER, (own) => {
    const i = next++;
    const sorted = columns.map((column) => column[i] ?? own).sort((a, b) => Number(a) - Number(b));
    const [low, high] = [sorted[0] ?? own, sorted[sorted.length - 1] ?? own];
    return low === high ? low : `${low}–${high}`;
  });
}

/** Readings of a fact by value, source and the words of the evidence; the one of most swings first. */
export function factGroups(words: Words, records: readonly SwingRecord[], key: FactKey): FactGroup[] {
  const groups = new Map<string, { fact: Fact<unknown>; evidence: string[]; trials: string[] }>();
  for (const { head } of records) {
    const fact: Fact<unknown> = head.facts[key];
    const like = JSON.stringify([valueText(words, key, fact), fact.source, fact.evidence.replace(NUMBER, '0')]);
    const found = groups.get(like) ?? { fact, evidence: [], trials: [] };
    found.evidence.push(fact.evidence);
    found.trials.push(head.trial);
    groups.set(like, found);
  }
  return [...groups.values()]
    .sort((a, b) => b.trials.length - a.trials.length)
    .map(({ fact, evidence, trials }) => ({ text: factText(words, key, fact, mergeNumbers(evidence)), trials }));
}

function trialNames(words: Words, trials: readonly string[]): string {
  const shown = trials.slice(0, MOST_NAMES).map((trial) => fitMiddle(trial, 150, 'small'));
  const left = trials.length - shown.length;
  return listed(words, left > 0 ? [...shown, fill(words.more, { n: left })] : shown);
}

/** The block of the details; nothing where there are no swings. */
export function drawFacts(sheet: Sheet, flow: Flow, view: PlayerView): void {
  if (view.records.length === 0) return;
  const { details } = sheet.words;
  drawHeading(
    sheet,
    flow,
    fill(details.headings.facts, { swings: counted(sheet.words, view.records.length, 'swing') }),
  );
  const isSensors = view.comparison.part.source === 'sensors';
  for (const key of FACTS) {
    if (isSensors && !OF_SENSORS.has(key)) continue;
    factGroups(sheet.words, view.records, key).forEach(({ text, trials }, i) => {
      const count = fill(details.facts.count, {
        n: trials.length,
        swings: counted(sheet.words, view.records.length, 'swing'),
      });
      const where =
        trials.length === view.records.length
          ? ''
          : i === 0
            ? ` (${count})`
            : ` (${count}: ${trialNames(sheet.words, trials)})`;
      drawParagraph(sheet, flow, details.facts.terms[key], `${text}${where}.`);
    });
  }
  flow.y += 6;
}
