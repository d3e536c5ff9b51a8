/** The account of one number for a terminal. */

import { FAULTS } from '../../model/faults.ts';
import { GROUP_WORDS, groupNamed } from '../../model/landmarkGroups.ts';
import type { MomentMethod } from '../../model/positions.ts';
import { counted, listed, plain, withUnit } from '../../report/sentences/numbers.ts';
import { EN } from '../../report/words/en.ts';
import { jsonText } from '../../tables/storedRecord.ts';
import type { Explanation, MarkerUsed, MomentUsed } from './explanation.ts';
import { METHOD_WORDS } from './methodWords.ts';

const LABEL = 12;

type Section = readonly [label: string, lines: readonly string[]];

/** One object; numbers with every digit, missing ones null. */
export function explanationJson(explanation: Explanation): string {
  return `${jsonText(explanation)}\n`;
}

/** The number first, then the steps that led to it, each under its name; `width` columns. */
export function explanationText(explanation: Explanation, width: number): string {
  const sections = sectionsOf(explanation).filter(([, lines]) => lines.length > 0);
  const rows = sections.flatMap(([label, lines]) => wrapped(label, lines, width));
  return `${rows.join('\n')}\n`;
}

function sectionsOf(e: Explanation): readonly Section[] {
  return [
    ['number', [numberLine(e)]],
    ['95 %', [...bothLine(e), noiseLine(e), placementLine(e)]],
    ['means', [`${e.label}: ${e.term}; + ${e.plus}, − ${e.minus}`]],
    ['formula', [e.formula, ...(e.rule === null ? [] : [`in this swing: ${e.rule}`])]],
    ['order', e.order === null ? [] : [`${[...e.order].join('-')}, each axis as the turns before left it`]],
    ['flags', e.flags.length === 0 ? [] : [e.flags.join(', ')]],
    ['position', e.moments.flatMap(momentLines)],
    [
      'made of',
      e.parts.map(
        ({ name, from, markers }) => `${name}: ${from}${markers.length === 0 ? '' : ` (${markers.join(', ')})`}`,
      ),
    ],
    ['markers', markerLines(e)],
    [
      'sensors',
      e.sensors.map(({ place, name, method, flags }) =>
        [`${place}: ${name}`, method ?? 'no orientation', ...flags].join(', '),
      ),
    ],
    ['filled', filledLines(e)],
    ['faults', faultLines(e)],
    ['filter', e.smoothing === '' ? [] : [e.smoothing]],
    ['axes', axesLines(e)],
    ['gate', gateLines(e)],
    ['from', [`${e.file}, sha256 ${e.sha256}`, `${e.day}, ${e.program}`]],
  ];
}

function numberLine({ trial, quantity, position, value, unit, decimals, why, plus, minus }: Explanation): string {
  const which = `${quantity} ${position === 'swing' ? 'of the swing' : `at ${position}`} in ${trial}`;
  if (value === null)
    return `${which}: none; it needs ${why?.needed ?? 'what the recording lacks'} (${why?.code ?? ''})`;
  const side = value === 0 ? '' : ` (${value > 0 ? plus : minus})`;
  return `${which}: ${withUnit(EN, value, decimals, unit)}${side}`;
}

/** Only where there are two parts. */
function bothLine({ plusMinus: { both, placement }, unit, decimals }: Explanation): readonly string[] {
  if (both === null || placement === null) return [];
  return [`± ${withUnit(EN, both, decimals + 1, unit)} in all: both parts by the sum of squares`];
}

function noiseLine({ plusMinus: { noise }, unit, decimals }: Explanation): string {
  if (noise === null) return 'measuring noise: not known';
  return `± ${withUnit(EN, noise, decimals + 1, unit)} measuring noise, new in every swing`;
}

function placementLine({ plusMinus: { placement }, unit, decimals }: Explanation): string {
  if (placement === null) return 'landmarks and skin: no allowance';
  return `± ${withUnit(EN, placement, decimals, unit)} landmarks and skin, alike in all swings of a session`;
}

function momentLines(moment: MomentUsed): readonly string[] {
  const { position, time_s, plusMinus_s, frame, method, confidence, window_s, frames, flags, why } = moment;
  if (time_s === null) return [`${position}: not found; it needs ${why?.needed ?? ''}`];
  const found = `found by ${METHOD_WORDS[method as MomentMethod] ?? method}`;
  const at = `${plain(EN, time_s, 4)} s ± ${plain(EN, plusMinus_s!, 4)} s, frame ${plain(EN, frame!, 2)}`;
  const sure = `confidence ${plain(EN, confidence!, 2)}${flags.length === 0 ? '' : `; ${flags.join(', ')}`}`;
  return [`${position}: ${at}, ${found}; ${sure}${readWords(frames, window_s !== null)}`];
}

function readWords(frames: MomentUsed['frames'], isMean: boolean): string {
  if (frames === null) return '';
  const [first, last] = frames;
  if (isMean) return `; values are means over frames ${first}–${last}`;
  return `; values at the instant, through frames ${first}–${last}`;
}

/** Markers alike in group and cutoff in one line. */
function markerLines({ markers }: Explanation): readonly string[] {
  const groups = new Map<string, MarkerUsed[]>();
  for (const marker of markers) {
    const key = `${groupWords(marker.marker)}, ${cutoffWords(marker)}`;
    groups.set(key, [...(groups.get(key) ?? []), marker]);
  }
  return [...groups].map(([key, members]) => `${key}: ${members.map(markerWords).join(', ')}`);
}

function groupWords(marker: string): string {
  const group = groupNamed(marker);
  return group === null ? 'other' : GROUP_WORDS[group];
}

function cutoffWords({ cutoff_Hz, chosenBy }: MarkerUsed): string {
  if (cutoff_Hz === null) return 'as measured';
  return `low-pass ${plain(EN, cutoff_Hz, 1).replace(/\.0$/, '')} Hz${chosenBy === null ? '' : ` by ${chosenBy}`}`;
}

function markerWords({ marker, noise_mm }: MarkerUsed): string {
  return noise_mm === null ? marker : `${marker} (noise ${plain(EN, noise_mm, 2)} mm)`;
}

function filledLines({ markers, moments }: Explanation): readonly string[] {
  if (markers.length === 0) return [];
  const here = markers.flatMap(({ marker, here: runs }) =>
    runs.map(({ frames: [first, last], what }) => `${marker}: frames ${first}–${last} ${RUN_WORDS[what]}`),
  );
  const isRead = moments.some(({ frames }) => frames !== null);
  const measured = isRead && here.length === 0 ? ['every sample that is read there was measured'] : [];
  const all = markers
    .filter(({ missing }) => missing > 0)
    .map(
      ({ marker, filled, missing }) =>
        `${marker} ${counted(EN, missing, 'frame')} without a measurement, ${filled} filled`,
    );
  const whole = all.length === 0 ? 'nothing to fill' : all.join('; ');
  return [...measured, ...here, `in the whole recording: ${whole}`];
}

const RUN_WORDS = {
  rigid: 'rebuilt from the other markers of the segment',
  spline: 'filled by a spline',
  components: 'filled from neighbouring markers',
  missing: 'missing',
  flown: 'flown off',
} as const;

function faultLines({ faults, markers: used }: Explanation): readonly string[] {
  if (faults.length === 0) return used.length === 0 ? [] : ['none found on these markers'];
  return faults.map(({ code, markers, frames, action, detail }) => {
    const where = frames.map(([first, last]) => (first === last ? `${first}` : `${first}–${last}`)).join(', ');
    const who = markers.length === 0 ? 'the trial' : listed(EN, markers);
    return `${code} (${FAULTS[code]}): ${who}${where === '' ? '' : `, frames ${where}`}; ${action}. ${detail}`;
  });
}

function axesLines({ datum, substitutions, facts }: Explanation): readonly string[] {
  const { up, target, hand, mirrored } = facts;
  return [
    `player frame: Y up (${up.value} of the file, ${up.source}), −Z to the target (${target.value}, ${target.source}), X to the ball; ${hand.value}-handed (${hand.source})`,
    ...(hand.value === 'left' ? ['a left-hander is reflected once: lead is right'] : []),
    ...(mirrored.value ? ['the file’s own frame is left-handed: reflected'] : []),
    `${datum.kind === 'anatomical' ? 'axes from landmarks' : 'axes by calibration'}: ${datum.id}`,
    ...(substitutions.length === 0 ? [] : [`substituted: ${substitutions.join('; ')}`]),
  ];
}

function gateLines({ gate, outlying }: Explanation): readonly string[] {
  const reasons = gate?.reasons.map(({ rule, text }) => `${text} (${rule})`) ?? [];
  const by = gate?.setBy === 'day file' ? ` by the day file${gate.note === '' ? '' : `: ${gate.note}`}` : '';
  return [
    gate === null ? 'accepted by the rules' : `${gate.verdict}${by}`,
    ...reasons,
    ...(outlying === null ? [] : [apart(outlying)]),
  ];
}

function apart({ group, swings, distance, limit }: NonNullable<Explanation['outlying']>): string {
  const size = `distance ${plain(EN, distance, 1)}, more than ${plain(EN, limit, 1)}`;
  return `stands apart from the ${counted(EN, swings, 'swing')} of ${group} (${size}); used all the same`;
}

/** The label once, the lines beside it; a word longer than the room stays whole. */
function wrapped(label: string, lines: readonly string[], width: number): readonly string[] {
  const room = Math.max(20, width - LABEL);
  const out = lines.flatMap((line) => foldLine(line.replace(/\s+/g, ' '), room));
  return out.map((line, i) => `${(i === 0 ? label : '').padEnd(LABEL)}${line}`);
}

/** Later lines of one text stand two columns further in. */
function foldLine(text: string, room: number): readonly string[] {
  const out: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.trimStart() !== '' && line.length + 1 + word.length > room) {
      out.push(line);
      line = `  ${word}`;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...out, line];
}
