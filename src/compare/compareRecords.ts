/** Many swing records become one comparison: a player's driver against the same player's irons, with verdicts (definitions 8). */

import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import { DEFAULT_CHECKPOINTS } from '../model/checkpointDefaults.ts';
import type { ComparisonPart, PlayerComparison } from '../model/comparison.ts';
import type { CompareOptions, PlayerPlan } from '../model/dayPlan.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingSelector } from '../model/swingSelector.ts';
import { topicOf } from '../model/topics.ts';
import { blocksOf, describeBlocks, orderNote, pairedNote } from './blocks.ts';
import { calibrationOf } from './calibrationOf.ts';
import { departureChains } from './chain.ts';
import { checkpointResults, checkpointsAlone } from './checkpoints.ts';
import { firstDepartures } from './departures.ts';
import { driftOf } from './drift.ts';
import { lengthTrends, trendSwings } from './lengthTrend.ts';
import { chooseMethods } from './methods.ts';
import { countFamilies, countVerdicts, notesOf } from './notes.ts';
import { orderSummary } from './orderOfMotion.ts';
import { orderRows } from './orderRows.ts';
import { orderSensitivity, type SensitivityContext } from './orderSensitivity.ts';
import { curveSummaries, meanFigures, meanTimes, swingMarks } from './pictures.ts';
import { resampleSwings } from './resampling.ts';
import { judge, writeRows } from './rows.ts';
import { collectSamples } from './samples.ts';
import { thoraxShares } from './shares.ts';
import {
  type ClubOfPlan,
  countOf,
  DRIVER,
  datumOf,
  handOf,
  IRONS,
  isOrderConfounded,
  lengthKeys,
  ofOneDatum,
  partsBy,
  refusal,
  type SwingGroup,
  selectSwings,
  sharedDatum,
} from './swings.ts';

/** What a comparison needs beside the records: whose swings, which clubs they were made with, what is set against what, and the settings. */
export interface ComparePlan {
  readonly player: Pick<PlayerPlan, 'id' | 'hand'> & Partial<Pick<PlayerPlan, 'static'>>;
  readonly clubs: readonly ClubOfPlan[];
  readonly options: CompareOptions;
  /** Default: the driver. */
  readonly group?: SwingSelector;
  /** Default: clubs of kind iron. */
  readonly reference?: SwingSelector;
  /** Of a comparison beside the first; default ''. */
  readonly name?: string;
  /** Orders beside the main ones that are described; default: none. */
  readonly orders?: readonly OrderRequest[];
  /** Segments and joints of which all orders are judged; default: none. */
  readonly orderCheck?: readonly OrderedRotation[];
  /** Which of the player's recordings these are; default: all that there are. */
  readonly part?: Pick<ComparisonPart, 'label' | 'suffix'>;
}

function info(side: SwingGroup): PlayerComparison['group'] {
  return {
    label: side.label,
    clubs: [...partsBy(side.clubs).keys()].sort(),
    trials: side.records.map(({ head }) => head.trial),
  };
}

/** The part that the swings compared belong to: the datum they share, the source of what there is. */
function partOf(plan: ComparePlan, group: SwingGroup, reference: SwingGroup): ComparisonPart {
  const shared = sharedDatum(group, reference);
  const all = [...group.records, ...reference.records];
  const one = all.find((record) => shared === null || datumOf(record) === shared);
  const settled = shared !== null || new Set(all.map(datumOf)).size === 1;
  const datum = settled ? (one?.datum ?? null) : null;
  return {
    source: one?.head.source ?? 'markers',
    datum,
    calibration: datum?.kind === 'calibration' ? calibrationOf(datum.id, plan.player.static ?? null) : null,
    label: plan.part?.label ?? '',
    suffix: plan.part?.suffix ?? '',
  };
}

function orderChecksOf(
  { orderCheck = [] }: ComparePlan,
  context: SensitivityContext,
): Pick<PlayerComparison, 'orderChecks'> {
  return orderCheck.length === 0
    ? {}
    : { orderChecks: orderCheck.map((rotation) => orderSensitivity(rotation, context)) };
}

const sameTrials = (a: SwingGroup, b: SwingGroup): boolean =>
  a.records.length === b.records.length && a.records.every((record, i) => record === b.records[i]);

/** Everything of a comparison that was refused: who, against what, and why. */
function withoutRows(plan: ComparePlan, group: SwingGroup, reference: SwingGroup, reason: string): PlayerComparison {
  return {
    player: plan.player.id,
    name: plan.name ?? '',
    part: partOf(plan, group, reference),
    hand: handOf(plan.player.hand, [...group.records, ...reference.records]),
    group: info(group),
    reference: info(reference),
    rows: [],
    familySizes: countFamilies([]),
    firstDepartures: [],
    shares: [],
    chains: [],
    drift: [],
    blocks: [],
    orderConfounded: isOrderConfounded(group, reference),
    curves: [],
    figures: [],
    marks: [],
    times: [],
    orderOfMotion: null,
    counts: countVerdicts([]),
    checkpoints: [],
    reason,
    notes: [],
    options: plan.options,
  };
}

/**
 * Compares the player's swings of one selector with those of another, all of one session (the caller's records). All numbers in display
 * units. Other players' records, and records that are no swings, are passed over. Differences are group less reference. `reason` is not ''
 * where a side has fewer than two swings, or where the two may not be compared (no datum in common, a trial on both sides); single swings
 * of another datum are left out, which a note says.
 * Throws RangeError for margins or resamples that are no use. The result does not depend on the order of the records.
 */
export function compareRecords(records: readonly SwingRecord[], plan: ComparePlan): PlayerComparison {
  const { options } = plan;
  if (!(Number.isInteger(options.resamples) && options.resamples > 0)) {
    throw new RangeError(`resamples must be a whole number above 0, not ${options.resamples}`);
  }
  const all = selectSwings(records, plan.player.id, plan.clubs, plan.group ?? DRIVER);
  const against = selectSwings(records, plan.player.id, plan.clubs, plan.reference ?? IRONS);
  const refused = refusal(all, against);
  const rules = options.checkpoints?.checkpoints ?? DEFAULT_CHECKPOINTS;
  if (refused !== '') {
    const checkpoints = checkpointsAlone(rules, all, against.label, plan.clubs);
    return { ...withoutRows(plan, all, against, refused), checkpoints };
  }
  const { group, reference, notes } = ofOneDatum(all, against);

  const choice = chooseMethods(group, reference);
  const samples = collectSamples(group, reference, choice);
  const judgements = judge(samples, options, choice);
  const resamples = resampleSwings(group.records.length, reference.records.length, options.seed, options.resamples);
  const trend = trendSwings(
    records.filter((record) => datumOf(record) === datumOf(group.records[0]!)),
    plan.player.id,
    plan.clubs,
    group,
    reference,
    plan.reference?.sets,
  );
  const context = {
    labels: { group: group.label, reference: reference.label },
    lengths: [...partsBy(lengthKeys(reference, plan.clubs)).values()],
    options,
    resamples,
  };
  const rows = writeRows(judgements, {
    ...context,
    trends:
      typeof trend === 'string'
        ? new Map()
        : lengthTrends(
            judgements,
            sameTrials(trend.others, reference) ? samples : collectSamples(group, trend.others, choice),
            trend,
          ),
  });
  const primary = new Set(options.primary.map((key) => key.slice(0, key.indexOf('@'))));
  const departing = new Set(
    rows
      .filter((row) => row.basis === 'value' && row.verdict === 'departs')
      .map((row) => `${row.quantity}@${row.position}`),
  );
  const watched = judgements
    .filter(
      ({ sample, family }) =>
        sample.basis === 'value' &&
        sample.refused === '' &&
        (family === 'primary' || (sample.position === 'swing' && topicOf(sample.quantity.reading) !== 'order')),
    )
    .map(({ sample }) => sample);
  const drift = driftOf(watched, group, reference);
  const blocks = blocksOf(group, reference);
  const order = describeBlocks(blocks, group, reference);
  const curves = curveSummaries(group, reference, options, blocks);
  const orderConfounded = isOrderConfounded(group, reference);
  const few = [group, reference].find((side) => side.records.length < 2);
  return {
    ...withoutRows(plan, group, reference, few === undefined ? '' : `only ${countOf(few.records.length, few.label)}`),
    rows,
    familySizes: countFamilies(rows),
    firstDepartures: firstDepartures(judgements, resamples, primary),
    shares: thoraxShares(
      group,
      reference,
      choice,
      (quantity, position) => departing.has(`${quantity}@${position}`),
      options.seed,
      resamples,
    ),
    chains: departureChains(rows),
    drift,
    blocks: order,
    orderConfounded,
    curves,
    figures: meanFigures(group, reference, choice),
    marks: swingMarks(samples, group, reference),
    times: meanTimes(group, reference, choice),
    orderOfMotion: orderSummary(samples),
    counts: countVerdicts(rows),
    ...(plan.orders === undefined || plan.orders.length === 0
      ? {}
      : { orderRows: orderRows(plan.orders, { group, reference, choice, options, rows: context }) }),
    ...orderChecksOf(plan, { group, reference, choice, options, judgements }),
    checkpoints: checkpointResults(rules, { group, reference, samples, rows, choice, clubs: plan.clubs }),
    notes: [
      ...notes,
      ...notesOf(rows, group, reference, choice, drift, orderConfounded, partOf(plan, group, reference)),
      orderNote(order),
      ...[pairedNote(curves, order)].filter((note) => note !== ''),
      ...(typeof trend === 'string' && departing.size > 0 ? [`Club length: no trend, since ${trend}.`] : []),
    ],
  };
}
