import { quantityById } from '../model/catalogue.ts';
import type { ComparisonRow, FirstDeparture, PlayerComparison } from '../model/comparison.ts';
import type { PositionId } from '../model/positions.ts';
import { topicOf } from '../model/topics.ts';
import { counted, listed, percent, signedWithUnit, withUnit } from './sentences/numbers.ts';
import { byPosition, capital, inMargins, primaryOf } from './sentences/ranking.ts';
import { commonest, joinedClauses, rangesText, undecidedText } from './sentences/summaries.ts';
import {
  changeClause,
  differenceClause,
  intervalText,
  isSaid,
  positionOrder,
  positionPhrase,
  type SaidRow,
} from './sentences/words.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

/** The sentences of the sheet, built from the comparison by templates. */
export interface Findings {
  /** One sentence: the first departure with its number, or what there is instead. */
  readonly headline: string;
  /** How sure, and where the same difference is still there; may be empty. */
  readonly support: readonly string[];
  /** At most four more departures, in the order of the swing; `short` leaves out the means. */
  readonly further: readonly { readonly position: PositionId; readonly text: string; readonly short: string }[];
  /** Departing quantities not listed above. */
  readonly furtherLeft: number;
  /** Where nothing departs: what differs slightly, '' where nothing does. */
  readonly slightly: string;
  /** Departures at P1, '' where there are none. */
  readonly setUp: string;
  /** How many quantities of arms, legs, forces and body speed depart, '' where none does. */
  readonly limbs: string;
  /** What matches, '' where nothing is known to. */
  readonly matches: string;
  /** How many comparisons can't be told yet and what would settle them, '' where all are told. */
  readonly undecided: string;
  /** The row of the headline, for the picture; null where no departure leads. */
  readonly lead: SaidRow | null;
}

const MOST_FURTHER = 4;

/** A departure during the swing: a row at a position, P1 apart. */
interface Departure extends SaidRow {
  readonly position: PositionId;
}

/** The sentences for one player. */
export function findingsOf(words: Words, comparison: PlayerComparison): Findings {
  const primary = primaryOf(comparison.rows);
  const values = comparison.rows.filter((row) => row.basis === 'value');
  const isTold = ({ quantity }: { readonly quantity: string }): boolean =>
    primary.has(quantity) || topicOf(quantityById(quantity).reading) === 'trunk';
  const rows = values.filter(isTold);
  const limbs = limbsText(
    words,
    comparison,
    values.filter((row) => !isTold(row) && topicOf(quantityById(row.quantity).reading) === 'limbs'),
  );
  const departures = rows
    .filter(isDeparture)
    .filter((row) => !isCarriedOn(comparison, row))
    .sort(byPosition);
  const lead = leadOf(
    { ...comparison, firstDepartures: comparison.firstDepartures.filter(isTold) },
    departures,
    primary,
  );
  const setUpRows = rows.filter((row) => row.verdict === 'departs' && row.position === 'P1').filter(isSaid);
  const { further, left } = furtherOf(departures, lead, primary);
  return {
    headline: headlineOf(words, comparison, values, lead, setUpRows, limbs !== ''),
    support: lead === null ? [] : supportOf(words, comparison, departures, lead),
    further: further.map((row) => ({ position: row.position, ...furtherTexts(words, comparison, row) })),
    furtherLeft: left,
    slightly: lead === null ? rangesText(words, rows, 'differs-slightly', primary) : '',
    setUp: setUpText(words, comparison, setUpRows, primary),
    limbs,
    matches: rangesText(words, rows, 'matches', primary),
    undecided: undecidedText(words, comparison.rows),
    lead,
  };
}

function isDeparture(row: ComparisonRow): row is Departure {
  return row.verdict === 'departs' && row.position !== 'P1' && row.position !== 'swing' && isSaid(row);
}

/**
 * True for a departure that was there at P1 on the same side and has not grown since, as far as one can tell: it is the set-up,
 * carried on.
 */
function isCarriedOn(comparison: PlayerComparison, row: SaidRow): boolean {
  const start = comparison.rows.find(
    (entry) => entry.quantity === row.quantity && entry.basis === 'value' && entry.position === 'P1',
  );
  if (start === undefined || start.verdict !== 'departs' || !isSaid(start)) return false;
  if (start.difference > 0 !== row.difference > 0) return false;
  const change = comparison.rows.find(
    (entry) => entry.quantity === row.quantity && entry.basis === 'change' && entry.position === row.position,
  );
  if (change === undefined || change.verdict !== 'departs' || !isSaid(change)) return true;
  return change.difference > 0 !== row.difference > 0;
}

function rowOf(comparison: PlayerComparison, of: FirstDeparture): SaidRow | null {
  const found = comparison.rows.find(
    (row) => row.quantity === of.quantity && row.position === of.position && row.basis === of.basis,
  );
  return found !== undefined && isSaid(found) ? found : null;
}

/**
 * First departures of primary quantities, by value, then as change since P1 (their order is the comparison's); then any departing
 * row of theirs; then the same of all other quantities.
 */
function leadOf(
  comparison: PlayerComparison,
  departures: readonly Departure[],
  primary: ReadonlySet<string>,
): SaidRow | null {
  for (const wanted of [true, false]) {
    for (const basis of ['value', 'change'] as const) {
      for (const entry of comparison.firstDepartures) {
        if (entry.basis !== basis || entry.position === 'P1' || primary.has(entry.quantity) !== wanted) continue;
        const row = rowOf(comparison, entry);
        if (row !== null) return row;
      }
    }
    const row = departures.find((departure) => primary.has(departure.quantity) === wanted);
    if (row !== undefined) return row;
  }
  return null;
}

function headlineOf(
  words: Words,
  comparison: PlayerComparison,
  rows: readonly ComparisonRow[],
  lead: SaidRow | null,
  setUpRows: readonly SaidRow[],
  limbsDepart: boolean,
): string {
  const { group, reference } = comparison;
  if (comparison.reason !== '') {
    const { noComparison, noVerdictBecause } = words.findings;
    return fill(rows.length === 0 ? noComparison : noVerdictBecause, { reason: comparison.reason });
  }
  if (lead !== null) return leadSentence(words, comparison, lead);
  const told = comparison.rows.filter((row) => row.verdict !== 'none');
  const because = (of: readonly ComparisonRow[]): string => {
    const reason = commonest(of.map((row) => row.reason).filter((text) => text !== ''));
    return reason === null ? '' : `: ${reason}`;
  };
  if (told.length === 0) {
    return fill(words.findings.noVerdict, {
      because: because(rows),
      group: group.label,
      groupSwings: counted(words, group.trials.length, 'swing'),
      reference: reference.label,
      referenceSwings: counted(words, reference.trials.length, 'swing'),
    });
  }
  const matching = told.filter((row) => row.verdict === 'matches').length;
  if (told.every((row) => row.position === 'swing')) {
    const body = rows.filter((row) => row.position !== 'swing');
    return fill(words.findings.onlyOnce, { because: because(body), matching, told: told.length });
  }
  const { onlySetUp, nothing, theTrunk, theBody } = words.findings;
  return fill(setUpRows.length > 0 ? onlySetUp : nothing, {
    reference: reference.label,
    body: limbsDepart ? theTrunk : theBody,
    matching,
    told: told.length,
  });
}

function leadSentence(words: Words, comparison: PlayerComparison, lead: SaidRow): string {
  const { group, reference } = comparison;
  const { decimals } = quantityById(lead.quantity);
  const position = lead.position as PositionId;
  const interval = intervalText(words, lead);
  const numbers = [
    `${group.label} ${showMean(words, lead, lead.meanGroup, decimals)}`,
    `${reference.label} ${showMean(words, lead, lead.meanReference, decimals)}`,
    ...(interval === '' ? [] : [fill(words.findings.leadInterval, { interval })]),
  ].join(', ');
  const phrase = positionPhrase(words, position);
  const isValue = lead.basis === 'value';
  return fill(words.findings.lead, {
    phrase: isValue ? phrase : words.differences.sinceAddress(phrase),
    clause: isValue ? differenceClause(words, lead, 'position') : changeClause(words, lead),
    reference: reference.label,
    numbers,
  });
}

function showMean(words: Words, row: SaidRow, mean: number, decimals: number): string {
  return row.basis === 'change'
    ? signedWithUnit(words, mean, decimals, row.unit)
    : withUnit(words, mean, decimals, row.unit);
}

function supportOf(
  words: Words,
  comparison: PlayerComparison,
  departures: readonly Departure[],
  lead: SaidRow,
): string[] {
  const lines: string[] = [];
  const first = comparison.firstDepartures.find(
    (entry) => entry.quantity === lead.quantity && entry.position === lead.position && entry.basis === lead.basis,
  );
  if (first !== undefined) {
    const others = first.neighbours.filter((other) => other.position !== first.position);
    const named = others.map((other) =>
      fill(words.findings.placeIn, { position: other.position, share: percent(words, other.share) }),
    );
    lines.push(
      fill(words.findings.sure, {
        share: percent(words, first.certainty),
        position: first.position,
        others: named.length === 0 ? '' : fill(words.findings.sureOthers, { others: listed(words, named) }),
      }),
    );
  }
  const { decimals } = quantityById(lead.quantity);
  const later = departures.filter(
    (row) => row.quantity === lead.quantity && positionOrder(row.position) > positionOrder(lead.position),
  );
  if (later.length > 0) {
    const places = later.map((row) => `${row.position} (${signedWithUnit(words, row.difference, decimals, row.unit)})`);
    lines.push(fill(words.findings.stillThere, { places: listed(words, places) }));
  }
  return lines;
}

/** True where both sides have swings with the same club: no length of a club explains a difference. */
function ofOneClub({ group, reference }: PlayerComparison): boolean {
  return group.clubs.some((club) => reference.clubs.includes(club));
}

/** Arms, legs, forces and body speed: the count of quantities that depart at some position. */
function limbsText(words: Words, comparison: PlayerComparison, rows: readonly ComparisonRow[]): string {
  const departing = new Set(rows.filter((row) => row.verdict === 'departs').map((row) => row.quantity)).size;
  if (departing === 0) return '';
  const { limbs, setUpNote } = words.findings;
  const said = limbs(departing, comparison.reference.label);
  return ofOneClub(comparison) ? said : `${said} ${setUpNote}`;
}

/** One row a quantity, its earliest; primary quantities first, then by size in margins; told in the order of the swing. */
function furtherOf(
  departures: readonly Departure[],
  lead: SaidRow | null,
  primary: ReadonlySet<string>,
): { further: Departure[]; left: number } {
  const earliest = new Map<string, Departure>();
  for (const row of departures) {
    if (row.quantity !== lead?.quantity && !earliest.has(row.quantity)) earliest.set(row.quantity, row);
  }
  const ranked = [...earliest.values()].sort(
    (a, b) =>
      Number(primary.has(b.quantity)) - Number(primary.has(a.quantity)) ||
      inMargins(b) - inMargins(a) ||
      byPosition(a, b),
  );
  const further = ranked.slice(0, MOST_FURTHER).sort(byPosition);
  return { further, left: ranked.length - further.length };
}

function furtherTexts(words: Words, comparison: PlayerComparison, row: Departure): { text: string; short: string } {
  const { decimals } = quantityById(row.quantity);
  const clause = capital(differenceClause(words, row));
  const interval = intervalText(words, row, true);
  const means = `${comparison.group.label} ${withUnit(words, row.meanGroup, decimals, row.unit)}, ${comparison.reference.label} ${withUnit(words, row.meanReference, decimals, row.unit)}`;
  return {
    text: `${clause} (${means}${interval === '' ? '' : `; ${interval}`}).`,
    short: `${clause}${interval === '' ? '' : ` (${interval})`}.`,
  };
}

function setUpText(
  words: Words,
  comparison: PlayerComparison,
  rows: readonly SaidRow[],
  primary: ReadonlySet<string>,
): string {
  if (rows.length === 0) return '';
  const ranked = [...rows].sort(
    (a, b) =>
      Number(primary.has(b.quantity)) - Number(primary.has(a.quantity)) ||
      inMargins(b) - inMargins(a) ||
      byPosition(a, b),
  );
  const shown = ranked.slice(0, 3).sort(byPosition);
  const told = joinedClauses(words, shown);
  const left = ranked.length - 3;
  const text = `${listed(words, left > 0 ? [...told, fill(words.findings.moreInDetails, { n: left })] : told)}.`;
  const carried = comparison.rows.filter(
    (row) =>
      row.basis === 'value' &&
      shown.some((start) => start.quantity === row.quantity) &&
      isDeparture(row) &&
      isCarriedOn(comparison, row),
  );
  return [
    capital(text),
    ...(carried.length === 0 ? [] : [words.findings.setUpStays]),
    ...(ofOneClub(comparison) ? [] : [words.findings.setUpNote]),
  ].join(' ');
}
