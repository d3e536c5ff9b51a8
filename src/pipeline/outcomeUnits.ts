import type { Gate, GateReason } from '../model/gates.ts';
import type { Outlying } from '../model/outlying.ts';
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import { unitChange } from '../report/reportUnits.ts';
import { findingText, findingTextIn } from './gateText.ts';

/** What gates and the search for outlying swings say of a trial, in the units of the report; all else stays as it is, and done twice is as done once. */
export function outcomeInReportUnits<O extends DayOutcome>(outcome: O, settings: ReportSettings = DEFAULT_REPORT): O {
  const { gate, outlying } = outcome;
  if (gate === undefined && outlying === undefined) return outcome;
  return {
    ...outcome,
    ...(gate === undefined ? {} : gateIn(outcome.reason, gate, settings)),
    ...(outlying === undefined ? {} : { outlying: outlyingIn(outlying, settings) }),
  };
}

/** The reason of a rejected trial holds the texts of the rules that rejected it. */
function gateIn(reason: string, gate: Gate, settings: ReportSettings): Pick<DayOutcome, 'reason' | 'gate'> {
  const reasons = gate.reasons.map((one) => ({ ...one, text: reasonText(one, settings) }));
  const said = gate.reasons.reduce((text, one, i) => text.replaceAll(one.text, () => reasons[i]!.text), reason);
  return { reason: gate.setBy === 'rules' ? said : reason, gate: { ...gate, reasons } };
}

/** Stands for what a finding is of, which is known only as part of the text. */
const PLACE = '\u0000';

/** A text that another version of the program wrote otherwise stays as it is. */
function reasonText({ rule, found, limit, text }: GateReason, settings: ReportSettings): string {
  if (found === null) return text;
  const saidOf = (of: string): string => findingTextIn(settings, { rule, found, of }, limit);
  if (text === findingText({ rule, found, of: '' }, limit)) return saidOf('');
  const [before = '', after = ''] = findingText({ rule, found, of: PLACE }, limit).split(PLACE);
  const isOwn = text.startsWith(before) && text.endsWith(after) && text.length >= before.length + after.length;
  return isOwn ? saidOf(text.slice(before.length, text.length - after.length)) : text;
}

function outlyingIn(outlying: Outlying, settings: ReportSettings): Outlying {
  return {
    ...outlying,
    values: outlying.values.map((own) => {
      const { unit, value } = unitChange(own.unit, settings);
      return { ...own, unit, deviation: value(own.deviation) };
    }),
  };
}
