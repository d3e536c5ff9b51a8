import { quantityById } from '../../model/catalogue.ts';
import type { PlayerComparison } from '../../model/comparison.ts';
import type { TrialOutcome } from '../../model/swingRecord.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { fitMiddle, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { noteText } from '../sentences/coachText.ts';
import { doubtText } from '../sentences/doubts.ts';
import { counted, decimalsIn, listed, percent, plain, signed, signedWithUnit, unitText } from '../sentences/numbers.ts';
import { labelOf, placedLabel } from '../sentences/words.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';

/** What the sheet was made from and how: trials, settings, notes, method, references. */

const WIDTH = PAGE.right - PAGE.left;
const TERM = 92;

/** A heading that stays with at least one line below it. */
export function drawHeading(sheet: Sheet, flow: Flow, text: string, below = 14): void {
  makeRoom(flow, 14 + below);
  write(sheet, sheet.root, text, PAGE.left, flow.y + 8, { size: 'middle', weight: 'bold', width: WIDTH });
  flow.y += 14;
}

/** A paragraph in small type, with a term before it where one is given. */
export function drawParagraph(sheet: Sheet, flow: Flow, term: string, text: string): void {
  const x = term === '' ? PAGE.left : PAGE.left + TERM;
  const lines = wrapText(text, Math.min(640, PAGE.right - x), 'small');
  makeRoom(flow, LEADING.small * Math.min(lines.length, 20) + 2);
  lines.forEach((line, i) => {
    makeRoom(flow, LEADING.small + 2);
    if (i === 0)
      write(sheet, sheet.root, term, PAGE.left, flow.y + 7, { size: 'small', fill: COLOUR.grey, width: TERM - 6 });
    write(sheet, sheet.root, line, x, flow.y + 7, { size: 'small' });
    flow.y += LEADING.small;
  });
  if (lines.length > 0) flow.y += 2;
}

/** Trials used in columns, then those among them that are marked, then the others with their reasons. */
export function drawTrials(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const used = view.outcomes.filter((outcome) => outcome.status === 'used');
  const others = view.outcomes.filter((outcome) => outcome.status !== 'used');
  const { headings, trial: template } = sheet.words.details;
  drawHeading(sheet, flow, fill(headings.used, { n: used.length }));
  const columns = 5;
  const width = WIDTH / columns;
  for (let i = 0; i < used.length; i += columns) {
    makeRoom(flow, LEADING.small);
    used.slice(i, i + columns).forEach((outcome, k) => {
      const text = fitMiddle(trialText(outcome), width - 10, 'small');
      write(sheet, sheet.root, text, PAGE.left + width * k, flow.y + 7, { size: 'small' });
    });
    flow.y += LEADING.small;
  }
  flow.y += 6;
  drawNamed(
    sheet,
    flow,
    headings.doubts,
    used.flatMap((outcome) =>
      doubtText(sheet.words, outcome) === '' ? [] : [[outcome.trial, doubtText(sheet.words, outcome)]],
    ),
  );
  drawNamed(
    sheet,
    flow,
    headings.notUsed,
    others.map(({ trial, status, reason }) => [trial, fill(template, { status: sheet.words.status[status], reason })]),
  );
}

/** Names with a text each, under a heading that counts them; nothing where there are none. */
function drawNamed(
  sheet: Sheet,
  flow: Flow,
  heading: string,
  entries: readonly (readonly [name: string, text: string])[],
): void {
  if (entries.length === 0) return;
  drawHeading(sheet, flow, fill(sheet.words.details.headings.counted, { heading, n: entries.length }));
  for (const [full, text] of entries) {
    const name = fitMiddle(full, 190, 'small');
    const lines = wrapText(text, WIDTH - 200, 'small', 'regular', 6);
    lines.forEach((line, i) => {
      makeRoom(flow, LEADING.small);
      if (i === 0) write(sheet, sheet.root, name, PAGE.left, flow.y + 7, { size: 'small' });
      write(sheet, sheet.root, line, PAGE.left + 200, flow.y + 7, { size: 'small' });
      flow.y += LEADING.small;
    });
  }
  flow.y += 6;
}

function trialText(outcome: TrialOutcome): string {
  return outcome.club === null || outcome.trial.includes(outcome.club)
    ? outcome.trial
    : `${outcome.trial} (${outcome.club})`;
}

function departsAt(comparison: PlayerComparison, quantity: string, position: string): boolean {
  return comparison.rows.some(
    (row) =>
      row.quantity === quantity && row.position === position && row.basis === 'value' && row.verdict === 'departs',
  );
}

/** First departures of values and of changes, two columns read downward. */
export function drawFirstDepartures(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const { words } = sheet;
  const { details } = words;
  const texts = comparison.firstDepartures.map((first): [string, string] => {
    const { decimals } = quantityById(first.quantity);
    const quantity = labelOf(words, first.quantity);
    const others = first.neighbours.map((other) =>
      fill(words.findings.placeIn, { position: other.position, share: percent(words, other.share) }),
    );
    return [
      first.basis === 'change' ? fill(details.ofChange, { quantity }) : quantity,
      fill(details.departure, {
        position: first.position,
        difference: signedWithUnit(words, first.difference, decimals, first.unit),
        share: percent(words, first.certainty),
        others: others.length === 0 ? '' : fill(details.departureOthers, { others: listed(words, others) }),
      }),
    ];
  });
  if (texts.length === 0) return;
  drawHeading(sheet, flow, details.headings.departures);
  const lines = Math.ceil(texts.length / 2);
  const width = WIDTH / 2;
  for (let i = 0; i < lines; i++) {
    makeRoom(flow, LEADING.small);
    for (const [k, entry] of [texts[i], texts[i + lines]].entries()) {
      if (entry === undefined) continue;
      const x = PAGE.left + width * k;
      write(sheet, sheet.root, entry[0], x, flow.y + 7, { size: 'small', width: 138 });
      write(sheet, sheet.root, entry[1], x + 142, flow.y + 7, { size: 'small', width: width - 150 });
    }
    flow.y += LEADING.small;
  }
  flow.y += 6;
}

/** Shares of the chest's departures, drift, and what the comparison notes. */
export function drawNotes(sheet: Sheet, flow: Flow, { comparison, note: own }: PlayerView): void {
  const { words } = sheet;
  const { terms, shares, percents, drift: driftTemplate, headings } = words.details;
  const notes: [string, string][] = [];
  if (noteText(words, own) !== '') notes.push([terms.dayFile, noteText(words, own)]);
  for (const share of comparison.shares.filter((entry) => departsAt(comparison, entry.quantity, entry.position))) {
    const shown =
      share.pelvisPercent === null || share.trunkPercent === null
        ? ''
        : fill(percents, {
            pelvis: plain(words, share.pelvisPercent, 0),
            trunk: plain(words, share.trunkPercent, 0),
          });
    notes.push([
      terms.madeOf,
      fill(shares, {
        what: placedLabel(words, share.quantity, share.position),
        total: signedWithUnit(words, share.total_deg, 1, 'deg'),
        pelvis: signedWithUnit(words, share.pelvis_deg, 1, 'deg'),
        low: signed(words, share.pelvisLow95_deg, 1),
        high: signedWithUnit(words, share.pelvisHigh95_deg, 1, 'deg'),
        trunk: signedWithUnit(words, share.trunk_deg, 1, 'deg'),
        percents: shown,
      }),
    ]);
  }
  for (const drift of comparison.drift.filter((entry) => entry.flagged)) {
    const { decimals, unit: own } = quantityById(drift.quantity);
    // without rows, where nothing was compared, nothing was put into another unit
    const unit = comparison.rows.find(({ quantity }) => quantity === drift.quantity)?.unit ?? own;
    notes.push([
      terms.drift,
      fill(driftTemplate, {
        what: placedLabel(words, drift.quantity, drift.position),
        club: drift.club,
        slope: `${signed(words, drift.slope, decimalsIn(decimals, unit) + 1)}${unitText(unit)}`,
      }),
    ]);
  }
  for (const note of comparison.notes) {
    // the lines above say the same with slopes
    if (!note.startsWith('Drift within')) notes.push([terms.note, note]);
  }
  if (notes.length === 0) return;
  drawHeading(sheet, flow, headings.notes);
  for (const [term, text] of notes) drawParagraph(sheet, flow, term, text);
  flow.y += 6;
}

/** Filter, orders, margins, false discovery rate, landmarks, program. */
export function drawSettings(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { comparison } = view;
  const { details } = sheet.words;
  const { headings, terms } = details;
  drawHeading(sheet, flow, headings.settings);
  drawParagraph(sheet, flow, terms.filter, view.filterText);
  drawParagraph(sheet, flow, terms.orders, view.ordersText);
  const own = Object.keys(comparison.options.margins).sort();
  const margins = own.map((id) => `${id} ${plain(sheet.words, comparison.options.margins[id]!, 1)}`);
  drawParagraph(
    sheet,
    flow,
    terms.margin,
    fill(details.margin, {
      own: margins.length === 0 ? '' : fill(details.ownMargins, { margins: margins.join(', ') }),
    }),
  );
  drawParagraph(sheet, flow, terms.falseDiscovery, details.falseDiscovery);
  if (comparison.part.source === 'markers') drawLandmarks(sheet, flow, view);
  drawParagraph(sheet, flow, terms.program, fill(details.program, { program: view.programVersion }));
  flow.y += 6;
}

function drawLandmarks(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { details } = sheet.words;
  const { terms } = details;
  const substitutions = [...new Set(view.records.flatMap((record) => record.head.substitutions))].sort();
  const reduced = view.records.filter((record) => record.form === 'reduced').length;
  drawParagraph(
    sheet,
    flow,
    terms.landmarks,
    [
      reduced === 0 ? '' : fill(details.reduced, { swings: counted(sheet.words, reduced, 'swing') }),
      substitutions.length === 0
        ? reduced === 0
          ? details.asDefined
          : ''
        : fill(details.substituted, { names: substitutions.join(', ') }),
    ]
      .filter((text) => text !== '')
      .join('; '),
  );
}

export function drawMethod(sheet: Sheet, flow: Flow): void {
  const { headings, method, references } = sheet.words.details;
  drawHeading(sheet, flow, headings.method);
  for (const text of method) drawParagraph(sheet, flow, '', text);
  flow.y += 6;
  drawHeading(sheet, flow, headings.references);
  drawParagraph(sheet, flow, '', references);
}
