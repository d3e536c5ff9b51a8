/** Names by the rules of the Brain Imaging Data Structure (version 1.9.0): labels are letters and digits, entities come in one order. */
import { compareCodeUnits } from '../../base/text.ts';
import type { TrialHead } from '../../model/trial.ts';

/** The label of each id: its letters and digits; ids that would be alike, whatever their case, get a number behind, by code unit. */
export function bidsLabels(ids: Iterable<string>): ReadonlyMap<string, string> {
  const labels = new Map<string, string>();
  const taken = new Set<string>();
  for (const id of [...new Set(ids)].sort(compareCodeUnits)) {
    const plain = id.replace(/[^A-Za-z0-9]/g, '') || 'x';
    let label = plain;
    for (let i = 2; taken.has(label.toLowerCase()); i++) label = `${plain}${i}`;
    taken.add(label.toLowerCase());
    labels.set(id, label);
  }
  return labels;
}

/** A used swing under its name in the data set. */
export interface BidsName {
  readonly head: TrialHead;
  /** Such as `sub-wren`. */
  readonly subject: string;
  /** Before `_motion.tsv`, without folders. */
  readonly stem: string;
}

/**
 * Names of swings: `sub` the player, `tracksys` markers or sensors, `acq` the club, `run` counted from 1 over the swings of the three by
 * trial id; `desc-filtered` says that the data are no recording.
 */
export function bidsNames(heads: readonly TrialHead[]): readonly BidsName[] {
  const subjects = bidsLabels(heads.map(({ player }) => player));
  const clubs = bidsLabels(heads.flatMap(({ club }) => (club === null ? [] : [club])));
  const runs = new Map<string, number>();
  return [...heads]
    .sort((a, b) => compareCodeUnits(a.trial, b.trial))
    .map((head) => {
      const { player, club, source } = head;
      const subject = `sub-${subjects.get(player)}`;
      const acq = club === null ? '' : `_acq-${clubs.get(club)}`;
      const group = `${subject}_task-swing_tracksys-${source ?? 'markers'}${acq}`;
      const run = (runs.get(group) ?? 0) + 1;
      runs.set(group, run);
      return { head, subject, stem: `${group}_run-${String(run).padStart(2, '0')}_desc-filtered` };
    });
}

/** A line of a tab-separated file; '' becomes n/a, and a tab or a line break in a text a blank. */
export function tsvLine(cells: readonly string[]): string {
  return `${cells.map((cell) => cell.replace(/[\t\r\n]+/g, ' ').trim() || 'n/a').join('\t')}\n`;
}
