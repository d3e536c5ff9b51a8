import type { PlayerComparison } from '../../src/model/comparison.ts';
import type { SwingRecord, TrialOutcome } from '../../src/model/swingRecord.ts';
import type { DayView, PlayerView } from '../../src/report/views.ts';
import { fixtureDay } from './reportFixture.ts';

/** Texts that would like to be more than text, by what they try. Scripts in them would set `globalThis.ran`. */
export const HOSTILE_TEXTS: Readonly<Record<string, string>> = {
  'the end of a script and an element': '</script><img src=x onerror=globalThis.ran=1>',
  'the end of a title and a style': '</title></style><svg onload=globalThis.ran=1><script>globalThis.ran=1</script>',
  'the end of an attribute': `" onmouseover="globalThis.ran=1" x='`,
  'the end of a comment and of CDATA': '--><!-- ]]> <![CDATA[ <?xml ?> &lt; &#60; &quot;',
  'an entity of XML': '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>&e;',
  'a template': `{label} \${globalThis.ran=1} {{n}} %s \\u003cscript\\u003e`,
  'an address that is a script': 'javascript:globalThis.ran=1//',
  'writing from right to left': '\u202ereverse\u202c \u2067isolated\u2069 \u200f\u061c end',
  'an override that is never closed': 'open \u202e\u2067\u202b to the end',
  'characters without width': 'a\u200bb\ufeffc\u2060d\u200d\u200ce\u{e0041}',
  'control characters': 'bell\u0007 escape\u001b[31m delete\u007f next\u0085 zero\u0000 line\u2028paragraph\u2029',
  'halves of pairs': 'high \ud83c low \udfcc none \ufffe\uffff',
  'marks upon marks': `Z${'\u0301\u0302\u0303'.repeat(60)}`,
  'a formula': '=HYPERLINK("http://example.invalid";"x")',
  'a formula behind a blank': ' \u200b=1+1',
  'line breaks': 'one\r\ntwo\nthree\ttab',
  '10,000 characters without a blank': 'x'.repeat(10_000),
  '10,000 characters of words': 'word <b> '.repeat(1112).slice(0, 10_000),
};

/** One of each kind: what ends an element, what is not seen, what is long. */
export const FEW_HOSTILE_TEXTS: readonly string[] = [
  'the end of a script and an element',
  'an override that is never closed',
  '10,000 characters of words',
];

/** What must stand nowhere in a page or a picture. */
export const UNSEEN =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones to find
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufffe\uffff]|\p{Surrogate}/u;

/** The day of the fixture with a text in every place that a file fills: names, labels, sets, notes, reasons, markers. */
export function hostileDay(text: string): DayView {
  const day = fixtureDay();
  const players = day.players.map((view) => hostileView(view, text));
  return { ...day, day: text, players, outcomes: players.flatMap(({ outcomes }) => outcomes) };
}

function hostileView(view: PlayerView, text: string): PlayerView {
  const names = new Map(view.outcomes.map(({ trial }, i) => [trial, `${text}${i}`]));
  const renamed = (trial: string): string => names.get(trial) ?? text;
  const record = (one: SwingRecord): SwingRecord => ({
    ...one,
    head: { ...one.head, trial: renamed(one.head.trial), file: text, club: text, set: text },
    quality: one.quality.map((marker) => ({ ...marker, marker: text })),
  });
  const outcome = (one: TrialOutcome): TrialOutcome => ({
    ...one,
    trial: renamed(one.trial),
    file: text,
    club: text,
    set: text,
    reason: one.reason === '' ? '' : text,
    record: one.record === null ? null : record(one.record),
  });
  return {
    ...view,
    day: text,
    note: text,
    comparison: hostileComparison(view.comparison, text, renamed),
    records: view.records.map(record),
    outcomes: view.outcomes.map(outcome),
  };
}

function hostileComparison(
  comparison: PlayerComparison,
  text: string,
  renamed: (trial: string) => string,
): PlayerComparison {
  const side = (group: PlayerComparison['group']): PlayerComparison['group'] => ({
    ...group,
    label: text,
    clubs: group.clubs.map(() => text),
    trials: group.trials.map(renamed),
  });
  return {
    ...comparison,
    group: side(comparison.group),
    reference: side(comparison.reference),
    notes: [text],
    drift: comparison.drift.map((entry) => ({ ...entry, club: text })),
    checkpoints: comparison.checkpoints.map((result) => ({
      ...result,
      checkpoint: { ...result.checkpoint, name: text, source: text, note: text },
    })),
  };
}
