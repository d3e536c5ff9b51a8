/** Two days of one player, by the rules of definitions 8: sessions. */
import type { GroupInfo } from '../model/comparison.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { SessionComparison, SessionRow } from '../model/sessions.ts';
import type { StillRecord } from '../model/stillRecord.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingSelector } from '../model/swingSelector.ts';
import { ofDay, type RowPlan, type Side, sessionRows } from './sessionRows.ts';
import { type ClubOfPlan, DRIVER, handOf, IRONS, ofOneDatum, partsBy, refusal, selectSwings } from './swings.ts';
import { zeroingOf } from './zeroing.ts';

export interface SessionDay {
  /** ISO. */
  readonly date: string;
  readonly records: readonly SwingRecord[];
  readonly clubs: readonly ClubOfPlan[];
  /** Of the players' static trials. */
  readonly stills: readonly StillRecord[];
}

export interface SessionPlan extends RowPlan {
  readonly player: Pick<PlayerPlan, 'id' | 'hand'>;
  /** Default: the driver. */
  readonly group?: SwingSelector;
  /** Default: clubs of kind iron. */
  readonly reference?: SwingSelector;
}

/**
 * The later day against the earlier: of every quantity the change of the group, of the reference and of the gap between them, and the share of
 * the gap that has closed. Angles of markers alone: sensors have a zero of their own for every calibration. A position is found by one method
 * on both days and a quantity made by one rule, as within a day. Where both days hold a still pose of the player, angles are zeroed on it (`zeroingOf`).
 */
export function compareSessions(before: SessionDay, after: SessionDay, plan: SessionPlan): SessionComparison {
  const group = sideOf(before, after, plan, plan.group ?? DRIVER);
  const reference = sideOf(before, after, plan, plan.reference ?? IRONS);
  const lacking = [group, reference].flatMap((side) =>
    [true, false].flatMap((first) =>
      ofDay(side, first).length > 0 ? [] : [`no swing of the ${side.both.label} on ${(first ? before : after).date}`],
    ),
  );
  const hands = new Set([...group.both.records, ...reference.both.records].map(({ head }) => head.facts.hand.value));
  const refused =
    lacking.length > 0
      ? lacking.join('; ')
      : hands.size > 1
        ? 'left-handed on one day and right-handed on the other: two players under one id'
        : refusal(group.both, reference.both, false);
  if (refused !== '') return assembled(before, after, plan, group, reference, [], refused, []);
  const one = ofOneDatum(group.both, reference.both);
  const kept = { group: { ...group, both: one.group }, reference: { ...reference, both: one.reference } };
  const gone = [kept.group, kept.reference].some((side) =>
    [true, false].some((first) => ofDay(side, first).length === 0),
  );
  if (gone) {
    const reason =
      'the two days rest on other landmarks or joint centres: angles with different zeros are not compared';
    return assembled(before, after, plan, group, reference, [], reason, []);
  }
  const used = [...one.group.records, ...one.reference.records];
  const { zeros, notes } = zeroingOf(plan.player.id, before, after, used, plan.reapplication);
  const rows = sessionRows(kept.group, kept.reference, plan, zeros);
  return assembled(before, after, plan, kept.group, kept.reference, rows, '', [...one.notes, ...notes]);
}

function sideOf(before: SessionDay, after: SessionDay, plan: SessionPlan, selector: SwingSelector): Side {
  const [first, second] = [before, after].map(({ records, clubs }) =>
    selectSwings(
      records.filter(({ head }) => head.source !== 'sensors'),
      plan.player.id,
      clubs,
      selector,
    ),
  );
  return {
    both: {
      label: selector.label,
      records: [...first!.records, ...second!.records],
      clubs: [...first!.clubs, ...second!.clubs],
    },
    before: new Set(first!.records),
  };
}

function assembled(
  before: SessionDay,
  after: SessionDay,
  plan: SessionPlan,
  group: Side,
  reference: Side,
  rows: readonly SessionRow[],
  reason: string,
  notes: readonly string[],
): SessionComparison {
  const info = (side: Side, first: boolean): GroupInfo => {
    const own = ofDay(side, first);
    return {
      label: side.both.label,
      clubs: [...partsBy(own.map((index) => side.both.clubs[index]!)).keys()].sort(),
      trials: own.map((index) => side.both.records[index]!.head.trial),
    };
  };
  return {
    player: plan.player.id,
    hand: handOf(plan.player.hand, [...group.both.records, ...reference.both.records]),
    before: before.date,
    after: after.date,
    group: { before: info(group, true), after: info(group, false) },
    reference: { before: info(reference, true), after: info(reference, false) },
    rows,
    reason,
    notes,
  };
}
