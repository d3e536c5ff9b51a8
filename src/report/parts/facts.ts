import { formatFixed } from '../../base/format.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import type { Fact, FactSource, TrialFacts } from '../../model/trial.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { fitMiddle } from '../drawing/textMetrics.ts';
import { counted, listed } from '../sentences/numbers.ts';
import type { PlayerView } from '../views.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What was detected about the recordings, and from what (definitions 7): one line a fact where all swings agree. */

type FactKey = keyof TrialFacts;

const FACTS: readonly (readonly [key: FactKey, term: string])[] = [
  ['units', 'unit of length'],
  ['rate_Hz', 'rate'],
  ['up', 'up'],
  ['target', 'target line'],
  ['hand', 'hand'],
  ['mirrored', 'mirrored frame'],
];

/** A recording of sensors has no lengths and no frame in space. */
const OF_SENSORS: ReadonlySet<FactKey> = new Set(['rate_Hz', 'hand']);

const SOURCES: Readonly<Record<FactSource, string>> = {
  set: 'set in the day file',
  detected: 'detected',
  file: 'stated in the file',
  assumed: 'assumed',
  insisted: 'insisted on in the day file against the data',
};

const MOST_NAMES = 6;
const NUMBER = /\d+(?:\.\d+)?/g;

/** One reading of a fact and the swings that have it. */
export interface FactGroup {
  readonly text: string;
  readonly trials: readonly string[];
}

/** '240', '239.76': at most three decimals. */
function rateText(value: number): string {
  return formatFixed(value, 3).replace(/\.?0+$/, '');
}

function valueText(key: FactKey, { value, source }: Fact<unknown>): string {
  // an assumed line is that of the feet itself; the value names the axis nearest to it
  if (key === 'target' && source === 'assumed') return `near ${value}`;
  if (key === 'rate_Hz') return `${rateText(Number(value))} Hz`;
  if (key === 'mirrored') return value === true ? 'yes, the frame of the file is left-handed and was reflected' : 'no';
  return String(value);
}

/** The evidence without what the words of the source say already. */
function evidenceText(source: FactSource, evidence: string): string {
  const said = source === 'set' ? 'the day file' : source === 'file' ? 'the file' : '';
  if (said === '' || !evidence.startsWith(said)) return evidence;
  return evidence.slice(said.length).replace(/^; /, '');
}

function factText(key: FactKey, fact: Fact<unknown>, evidence: string): string {
  const { source } = fact;
  const shown = evidenceText(source, evidence);
  const joint = source === 'insisted' ? ', while ' : source === 'detected' || source === 'assumed' ? ': ' : '; ';
  return `${valueText(key, fact)}, ${SOURCES[source]}${shown === '' ? '' : `${joint}${shown}`}`;
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
export function factGroups(records: readonly SwingRecord[], key: FactKey): FactGroup[] {
  const groups = new Map<string, { fact: Fact<unknown>; evidence: string[]; trials: string[] }>();
  for (const { head } of records) {
    const fact: Fact<unknown> = head.facts[key];
    const like = JSON.stringify([valueText(key, fact), fact.source, fact.evidence.replace(NUMBER, '0')]);
    const found = groups.get(like) ?? { fact, evidence: [], trials: [] };
    found.evidence.push(fact.evidence);
    found.trials.push(head.trial);
    groups.set(like, found);
  }
  return [...groups.values()]
    .sort((a, b) => b.trials.length - a.trials.length)
    .map(({ fact, evidence, trials }) => ({ text: factText(key, fact, mergeNumbers(evidence)), trials }));
}

function trialNames(trials: readonly string[]): string {
  const shown = trials.slice(0, MOST_NAMES).map((trial) => fitMiddle(trial, 150, 'small'));
  const left = trials.length - shown.length;
  return listed(left > 0 ? [...shown, `${left} more`] : shown);
}

/** The block of the details; nothing where there are no swings. */
export function drawFacts(sheet: Sheet, flow: Flow, view: PlayerView): void {
  if (view.records.length === 0) return;
  drawHeading(sheet, flow, `What was detected, and from what (${counted(view.records.length, 'swing')})`);
  const isSensors = view.comparison.part.source === 'sensors';
  for (const [key, term] of FACTS) {
    if (isSensors && !OF_SENSORS.has(key)) continue;
    factGroups(view.records, key).forEach(({ text, trials }, i) => {
      const count = `${trials.length} of ${counted(view.records.length, 'swing')}`;
      const where =
        trials.length === view.records.length ? '' : i === 0 ? ` (${count})` : ` (${count}: ${trialNames(trials)})`;
      drawParagraph(sheet, flow, term, `${text}${where}.`);
    });
  }
  flow.y += 6;
}
