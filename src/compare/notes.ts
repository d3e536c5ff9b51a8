import type { ComparisonPart, ComparisonRow, Drift, FamilyId, Verdict } from '../model/comparison.ts';
import { FAMILIES } from './families.ts';
import { FEWEST_SWINGS, type MethodChoice } from './methods.ts';
import { compareText, countOf, IRONS, type SwingGroup } from './swings.ts';

/** The sentences that belong to every reading of the rows. */

/** Swings of each group that the documents advise (definitions 8). */
const ADVISED_SWINGS = 8;

export function countVerdicts(rows: readonly ComparisonRow[]): Record<Verdict, number> {
  const counts: Record<Verdict, number> = { departs: 0, matches: 0, 'differs-slightly': 0, undecided: 0, none: 0 };
  for (const row of rows) counts[row.verdict] += 1;
  return counts;
}

export function countFamilies(rows: readonly ComparisonRow[]): Record<FamilyId, number> {
  const sizes = Object.fromEntries(FAMILIES.map((family) => [family, 0])) as Record<FamilyId, number>;
  for (const row of rows) if (row.family !== null) sizes[row.family] += 1;
  return sizes;
}

const FACT_WORDS = {
  units: 'unit',
  rate_Hz: 'rate',
  up: 'up',
  target: 'target',
  hand: 'hand',
  mirrored: 'mirrored',
} as const;

/** Swings of sensors are compared within one calibration, and it is said which. */
function notesOnZero({ source, datum }: ComparisonPart): string[] {
  if (source !== 'sensors' || datum === null) return [];
  return [`Angles of sensors are compared within one calibration only (${datum.id}).`];
}

/** What was assumed, held against the data or lacked for the swings compared (definitions 5 and 7): said, never silent. */
function notesOnFacts(group: SwingGroup, reference: SwingGroup): string[] {
  const records = [...group.records, ...reference.records];
  const of = (n: number): string => (n === records.length ? 'all swings' : `${n} of ${records.length} swings`);
  const notes: string[] = [];
  // a recording of sensors has no target line at all
  const assumed = records.filter(
    ({ head }) => head.source !== 'sensors' && head.facts.target.source === 'assumed',
  ).length;
  if (assumed > 0) {
    notes.push(
      `The target line is assumed from the feet at address in ${of(assumed)}: turns, side bends and shifts are against that line, and the path is not given. Set target in the day file.`,
    );
  }
  const insisted = new Map<string, number>();
  for (const { head } of records) {
    for (const key of Object.keys(FACT_WORDS) as (keyof typeof FACT_WORDS)[]) {
      const { source, value, evidence } = head.facts[key];
      if (source !== 'insisted') continue;
      const text = `${FACT_WORDS[key]} ${value}, while ${evidence}`;
      insisted.set(text, (insisted.get(text) ?? 0) + 1);
    }
  }
  for (const [text, n] of [...insisted].sort(([a], [b]) => compareText(a, b))) {
    notes.push(`Held against the data, as the day file insists, in ${of(n)}: ${text}.`);
  }
  const own = records.filter(({ diagnostics }) =>
    diagnostics.some(({ code }) => code === 'calibrated-on-itself'),
  ).length;
  if (own > 0) {
    notes.push(`Joint centres were fixed from the swing itself in ${of(own)}: no static trial shows them.`);
  }
  return notes;
}

/** Notes in a fixed order; only those that apply. */
export function notesOf(
  rows: readonly ComparisonRow[],
  group: SwingGroup,
  reference: SwingGroup,
  choice: MethodChoice,
  drift: readonly Drift[],
  orderConfounded: boolean,
  part: ComparisonPart,
): string[] {
  const notes: string[] = [...notesOnZero(part), ...notesOnFacts(group, reference)];
  const sizes = countFamilies(rows);
  const counts = countVerdicts(rows);
  const benchmark = reference.label === IRONS.label ? 'The irons are' : `Reference: ${reference.label},`;
  notes.push(`${benchmark} a benchmark, not a target: a departure is neither a fault nor an advice.`);
  const ofOneClub = group.clubs.some((club) => reference.clubs.includes(club));
  if (!ofOneClub && rows.some((row) => row.position === 'P1')) {
    notes.push('Set-up (P1): part of a difference there belongs to the longer club, which stands the player taller.');
  }
  if (FAMILIES.some((family) => sizes[family] > 0)) {
    const limbs =
      sizes.limbs + sizes['change-limbs'] === 0
        ? ''
        : `; arms, legs, forces and how the club meets the ball ${sizes.limbs} and changes ${sizes['change-limbs']}`;
    notes.push(
      `Tests: primary ${sizes.primary} and changes ${sizes['change-primary']}, each adjusted by Holm; screening ${sizes.screening} and changes ${sizes['change-screening']}${limbs}, each adjusted by Benjamini–Hochberg at 5 %. "Matches" is read row by row, not adjusted.`,
    );
    notes.push(
      'Detectable: the true difference that these swings would call a departure four times in five, by the non-central t of the minimum-effect test at the p the row needs in its family.',
    );
  }
  if (counts.undecided > 0) {
    notes.push(`${counts.undecided} of ${rows.length - counts.none} comparisons are undecided with these swings.`);
  }
  for (const side of [group, reference]) {
    const n = side.records.length;
    if (n < FEWEST_SWINGS)
      notes.push(`${countOf(n, side.label)}: fewer than ${FEWEST_SWINGS} give values, no verdict.`);
    else if (n < ADVISED_SWINGS) notes.push(`${countOf(n, side.label)}: ${ADVISED_SWINGS} of each are advised.`);
  }
  if (choice.top === 'P4(arm)') {
    notes.push(
      'The top is that of the lead arm, P4(arm), and stands in for P4: the shaft is missing in too many swings.',
    );
  }
  if (orderConfounded) {
    notes.push(
      `${ofOneClub ? 'Group' : 'Club'} and order cannot be told apart: all swings of the ${group.label} come before or after all swings of the ${reference.label}.`,
    );
  }
  for (const entry of drift) {
    if (!entry.flagged) continue;
    const place = entry.position === 'swing' ? '' : ` at ${entry.position}`;
    notes.push(
      `Drift within ${entry.club}: ${entry.quantity}${place} changes over the swings or depends on the swing before.`,
    );
  }
  return notes;
}
