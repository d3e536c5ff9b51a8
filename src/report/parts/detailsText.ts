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
import type { PlayerView } from '../views.ts';

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
  drawHeading(sheet, flow, `Trials used (${used.length})`);
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
    'Used, with a doubt or by hand',
    used.flatMap((outcome) => (doubtText(outcome) === '' ? [] : [[outcome.trial, doubtText(outcome)]])),
  );
  drawNamed(
    sheet,
    flow,
    'Trials not used',
    others.map(({ trial, status, reason }) => [trial, `${status}: ${reason}`]),
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
  drawHeading(sheet, flow, `${heading} (${entries.length})`);
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
  const texts = comparison.firstDepartures.map((first): [string, string] => {
    const { label, decimals } = quantityById(first.quantity);
    const others = first.neighbours.map((other) => `${other.position} in ${percent(other.share)}`);
    return [
      `${label}${first.basis === 'change' ? ', change' : ''}`,
      `${first.position}, ${signedWithUnit(first.difference, decimals, first.unit)}, in ${percent(first.certainty)} of resamples${others.length === 0 ? '' : `; ${listed(others)}`}`,
    ];
  });
  if (texts.length === 0) return;
  drawHeading(sheet, flow, 'First departures');
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
  const notes: [string, string][] = [];
  if (noteText(own) !== '') notes.push(['day file', noteText(own)]);
  for (const share of comparison.shares.filter((entry) => departsAt(comparison, entry.quantity, entry.position))) {
    const percents =
      share.pelvisPercent === null || share.trunkPercent === null
        ? ''
        : `, ${plain(share.pelvisPercent, 0)} % and ${plain(share.trunkPercent, 0)} %`;
    notes.push([
      'made of',
      `${quantityById(share.quantity).label} at ${share.position}, ${signedWithUnit(share.total_deg, 1, 'deg')}: pelvis ${signedWithUnit(share.pelvis_deg, 1, 'deg')} (95 % interval ${signed(share.pelvisLow95_deg, 1)} to ${signedWithUnit(share.pelvisHigh95_deg, 1, 'deg')}), chest on pelvis ${signedWithUnit(share.trunk_deg, 1, 'deg')}${percents}.`,
    ]);
  }
  for (const drift of comparison.drift.filter((entry) => entry.flagged)) {
    const { label, decimals, unit: own } = quantityById(drift.quantity);
    // without rows, where nothing was compared, nothing was put into another unit
    const unit = comparison.rows.find(({ quantity }) => quantity === drift.quantity)?.unit ?? own;
    const where = drift.position === 'swing' ? '' : ` at ${drift.position}`;
    notes.push([
      'drift',
      `${label}${where} with ${drift.club} moved by ${signed(drift.slope, decimalsIn(decimals, unit) + 1)}${unitText(unit)} a swing through the session.`,
    ]);
  }
  for (const note of comparison.notes) {
    // the lines above say the same with slopes
    if (!note.startsWith('Drift within')) notes.push(['note', note]);
  }
  if (notes.length === 0) return;
  drawHeading(sheet, flow, 'Notes, order and drift');
  for (const [term, text] of notes) drawParagraph(sheet, flow, term, text);
  flow.y += 6;
}

/** Filter, orders, margins, false discovery rate, landmarks, program. */
export function drawSettings(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const { comparison } = view;
  drawHeading(sheet, flow, 'Settings');
  drawParagraph(sheet, flow, 'filter', view.filterText);
  drawParagraph(sheet, flow, 'orders', view.ordersText);
  const own = Object.keys(comparison.options.margins).sort();
  const margins = own.map((id) => `${id} ${plain(comparison.options.margins[id]!, 1)}`);
  drawParagraph(
    sheet,
    flow,
    'margin',
    `2° for angles, attack and path; 10 mm; 3 % of the mean for speeds and times${margins.length === 0 ? '' : `; set for this day: ${margins.join(', ')}`}.`,
  );
  drawParagraph(
    sheet,
    flow,
    'false discovery',
    'Holm over the primary rows and over their changes; Benjamini–Hochberg at 5 % over all others and over their changes, arms, legs and forces apart.',
  );
  if (comparison.part.source === 'markers') drawLandmarks(sheet, flow, view);
  drawParagraph(
    sheet,
    flow,
    'program',
    `${view.programVersion}; inputs with their checksums and all options in run.json.`,
  );
  flow.y += 6;
}

function drawLandmarks(sheet: Sheet, flow: Flow, view: PlayerView): void {
  const substitutions = [...new Set(view.records.flatMap((record) => record.head.substitutions))].sort();
  const reduced = view.records.filter((record) => record.form === 'reduced').length;
  drawParagraph(
    sheet,
    flow,
    'landmarks',
    [
      reduced === 0 ? '' : `${counted(reduced, 'swing')} in the reduced form (joint centres alone)`,
      substitutions.length === 0
        ? reduced === 0
          ? 'as defined, none substituted'
          : ''
        : `substituted: ${substitutions.join(', ')}`,
    ]
      .filter((text) => text !== '')
      .join('; '),
  );
}

const METHOD: readonly string[] = [
  'The unit is the swing; the reference is this player’s own accepted swings of the same day, by default those with irons, never a norm. It is a benchmark, not a target: a departure is neither a fault nor an advice, and a longer club stands the player taller.',
  'A row departs when its difference is beyond the margin by a minimum-effect test (adjusted p below 0.05), matches when two one-sided tests put it inside the margin (row by row, not adjusted), differs slightly when only the difference from zero is certain, and otherwise can’t be told yet. Standard errors and degrees of freedom are Welch’s. With fewer than five swings in a group values stand without a verdict.',
  'The first departure is the earliest position that departs and whose next position lies on the same side of zero; how sure it is, is the share of resamples of swings that name the same position. Outside the usual swing: a difference beyond 1.96·√2 times the standard deviation of the reference within one length of club.',
  'A bar under a curve: there the two groups of curves, aligned at the positions, differ further than the largest difference of the whole curve does by chance once in twenty, by permutation of whole swings; each curve is tested by itself.',
];

const REFERENCES =
  'Segment axes: Wu and others 2002 (J Biomech 35:543) and 2005 (J Biomech 38:981). Turn first: Baker 2001 (Gait Posture 13:1). Joints: Grood and Suntay 1983 (J Biomech Eng 105:136). Chest against pelvis: Brown and others 2013. Shoulder line: Wheat and others 2007. Tests: Welch 1947, Holm 1979, Benjamini and Hochberg 1995; curves Nichols and Holmes 2002, Pataky 2010. Positions P1 to P10: common practice.';

export function drawMethod(sheet: Sheet, flow: Flow): void {
  drawHeading(sheet, flow, 'Method');
  for (const text of METHOD) drawParagraph(sheet, flow, '', text);
  flow.y += 6;
  drawHeading(sheet, flow, 'References');
  drawParagraph(sheet, flow, '', REFERENCES);
}
