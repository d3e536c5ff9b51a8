/** The gates of a day, after all its trials: which swings are accepted, marked for review or rejected. */
import { compareCodeUnits } from '../base/text.ts';
import { faultFindings, type GateFinding } from '../compare/gateReadings.ts';
import { outlyingSwings } from '../compare/outliers.ts';
import type { CompareOptions, DayPlan, TrialPlan } from '../model/dayPlan.ts';
import { GATE_RULE_IDS, gateRule } from '../model/gateRules.ts';
import { type Gate, type GateReason, type GateSettings, isBeyond, limitOf } from '../model/gates.ts';
import type { DayOutcome, SwingFacts, SwingRecord } from '../model/swingRecord.ts';
import { qualityOf, type TrialQuality } from '../model/trialQuality.ts';
import { findingText, rejectionText } from './gateText.ts';
import { withHeadPoints } from './headPoints.ts';
import { type BriefOutcome, type RecordShelf, recordFrom, type SwingBrief } from './swingBrief.ts';

/** An outcome that has a record. */
type Swing = BriefOutcome & { readonly record: SwingBrief };

/** What the judgement needs of the day beside its trials. */
export type JudgedBy = Pick<DayPlan, 'gates'> & { readonly trials: readonly Pick<TrialPlan, 'id' | 'gate' | 'note'>[] };

/** What shows only when the trials of a day are done: faults of several swings together, and the gates. For `process` and `check` alike. */
export function judgedDay(found: readonly BriefOutcome[], plan: DayPlan, shelf: RecordShelf): readonly BriefOutcome[] {
  return judgeDay(withHeadPoints(found, plan.trials), plan, (swing) => qualityOf(recordFrom(shelf, swing)!));
}

/**
 * The outcomes with the gate of each swing; a rejected one has no record any more and says why. What there is no record of stays as it
 * is. `qualityBy`: the quality of a swing that is rejected. The result does not depend on the order of the outcomes, and keeps it.
 */
export function judgeDay(
  outcomes: readonly BriefOutcome[],
  plan: JudgedBy,
  qualityBy: (swing: BriefOutcome) => TrialQuality | null,
): readonly BriefOutcome[] {
  const settings = plan.gates ?? {};
  const planned = new Map(plan.trials.map((trial) => [trial.id, trial]));
  const kept = outcomes.filter(({ trial }) => planned.get(trial)?.gate !== 'reject');
  const repeated = repeatedContent(kept.filter(isSwing));
  return outcomes.map((outcome) => {
    const own = planned.get(outcome.trial);
    if (!isSwing(outcome)) return withoutRecord(outcome, own);
    const findings = [
      ...outcome.record.findings,
      ...faultFindings(outcome.record),
      ...(repeated.get(outcome.trial) ?? []),
    ];
    const gate = gateOf(reasonsOf(findings, outcome.record, settings), own);
    return gate.verdict === 'reject' ? rejected(outcome, gate, qualityBy(outcome)) : { ...outcome, gate };
  });
}

/** The outcomes with what stands apart among the used swings, whose records are given: pointed out, never dropped. No player's swings are held against another's. */
export function pointOut<O extends DayOutcome>(
  outcomes: readonly O[],
  records: readonly SwingRecord[],
  { primary, margins }: Pick<CompareOptions, 'primary' | 'margins'>,
): readonly O[] {
  const apart = outlyingSwings(records, primary, margins);
  return outcomes.map((outcome) => {
    const outlying = apart.get(outcome.trial);
    return outlying === undefined ? outcome : { ...outcome, outlying };
  });
}

function isSwing(outcome: BriefOutcome): outcome is Swing {
  return outcome.record !== null;
}

/** Nothing can be accepted of which there is no record, which a person who asks for it is told. */
function withoutRecord(outcome: BriefOutcome, own: JudgedBy['trials'][number] | undefined): BriefOutcome {
  const refused = outcome.status === 'rejected' || outcome.status === 'failed';
  if (own?.gate !== 'accept' || !refused) return outcome;
  return { ...outcome, reason: `${outcome.reason}; gate: accept cannot help, since nothing could be worked out` };
}

/** What trips, in the order of the table. */
function reasonsOf(
  findings: readonly GateFinding[],
  { head }: SwingFacts,
  settings: GateSettings,
): readonly GateReason[] {
  const tripped = findings.flatMap((finding): GateReason[] => {
    const { rule, found } = finding;
    const limit = limitOf(rule, head.kind, settings);
    if (limit === 'off' || (limit !== null && (found === null || !isBeyond(found, limit)))) return [];
    return [{ rule, level: gateRule(rule).level, found, limit, text: findingText(finding, limit) }];
  });
  return GATE_RULE_IDS.flatMap((id) => tripped.filter(({ rule }) => rule === id));
}

function gateOf(reasons: readonly GateReason[], own: JudgedBy['trials'][number] | undefined): Gate {
  if (own?.gate !== undefined) return { verdict: own.gate, reasons, setBy: 'day file', note: own.note };
  const rejects = reasons.some(({ level }) => level === 'reject');
  return { verdict: rejects ? 'reject' : reasons.length > 0 ? 'review' : 'accept', reasons, setBy: 'rules', note: '' };
}

function rejected(outcome: Swing, gate: Gate, quality: TrialQuality | null): BriefOutcome {
  const { head, frames, faults } = outcome.record;
  const lost = { ...outcome, record: null, head, frames, quality, ...(faults === undefined ? {} : { faults }) };
  return { ...lost, status: 'rejected', reason: rejectionText(gate), gate };
}

/** By trial id: which swings hold what another one holds. The first in the order of the day counts. */
function repeatedContent(swings: readonly Swing[]): ReadonlyMap<string, readonly GateFinding[]> {
  const inOrder = [...swings].sort(
    (a, b) => a.record.head.order - b.record.head.order || compareCodeUnits(a.trial, b.trial),
  );
  const first = new Map<string, Swing>();
  const out = new Map<string, GateFinding[]>();
  const say = (trial: string, finding: GateFinding): void => {
    out.set(trial, [...(out.get(trial) ?? []), finding]);
  };
  for (const swing of inOrder) {
    const keys = [swing.sha256, swing.record.contentKey].filter((key) => key !== '');
    const before = keys.map((key) => first.get(key)).find((one) => one !== undefined);
    for (const key of keys) if (!first.has(key)) first.set(key, before ?? swing);
    if (before === undefined) continue;
    const what = before.sha256 !== '' && before.sha256 === swing.sha256 ? 'file' : 'samples';
    say(swing.trial, { rule: 'same-content', found: null, of: `the same ${what} as ${before.trial}` });
    if (isNamedAlike(before, swing)) continue;
    const other = `${swing.trial} holds the same ${what} as a swing of ${nameOf(swing)}`;
    say(before.trial, { rule: 'content-named-twice', found: null, of: other });
  }
  return out;
}

function isNamedAlike(a: Swing, b: Swing): boolean {
  return a.player === b.player && a.club === b.club && a.set === b.set;
}

/** 'wren, iron7, set after' */
function nameOf({ player, club, set }: Swing): string {
  return [player, club ?? '', set === '' ? '' : `set ${set}`].filter((text) => text !== '').join(', ');
}
