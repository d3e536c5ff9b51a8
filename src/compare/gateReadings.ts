/** What each gate finds in the record of a swing. */
import { PRIMARY_POSITIONS } from '../model/dayPlan.ts';
import type { GateRuleId } from '../model/gateRules.ts';
import { FAULTS_OF_WHOLE_TRIAL } from '../model/gates.ts';
import type { Unmeasured } from '../model/markerRuns.ts';
import type { PositionId } from '../model/positions.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { MarkerQuality } from '../model/trial.ts';
import { toDisplay } from '../model/units.ts';

/** A number to hold against the limit of its rule, or the words of a rule without a number, which then trips. */
export interface GateFinding {
  readonly rule: GateRuleId;
  /** In the unit of the rule; null where it has no number. */
  readonly found: number | null;
  /** Of a number which marker or value it is, or ''; of a rule without one what was found, a sentence without a full stop. */
  readonly of: string;
}

/** Landmarks without their side that pelvis and chest are made of (ISB 2002, 2005 and the clusters that carry them). */
const TRUNK = new Set([
  'ASIS', 'PSIS', 'SACRUM', 'PELVIS_1', 'PELVIS_2', 'PELVIS_3', 'IJ', 'PX', 'C7', 'T8', 'T10', 'THORAX_1', 'THORAX_2', 'THORAX_3',
]); // biome-ignore format: one glance

/** With them the two markers of the shaft, which the positions rest on. */
const NEEDED = new Set([...TRUNK, 'CLUB_GRIP', 'CLUB_SHAFT']);
/** What of a run is a guess: the rest of a segment carries a marker to a millimetre (docs/accuracy.md), a spline across the downswing does not. */
const GUESSED: ReadonlySet<Unmeasured> = new Set<Unmeasured>(['spline', 'components', 'missing']);

const BENDS = ['pelvis.forward_bend', 'pelvis.side_bend', 'thorax.forward_bend', 'thorax.side_bend'] as const;

/** 'L_ASIS' as 'ASIS'. */
function withoutSide(marker: string): string {
  return marker.replace(/^[LR]_/, '');
}

/** A value of the record in display units; null where it is missing. */
function displayed({ cells }: SwingRecord, quantity: string, position: PositionId | 'swing'): number | null {
  const cell = cells.find((one) => one.quantity === quantity && one.position === position);
  return cell?.value == null || !Number.isFinite(cell.value) ? null : toDisplay(cell.value, cell.unit);
}

function isFound({ moments }: SwingRecord, position: PositionId): boolean {
  return moments[position]?.found === true;
}

/** 'the top (P4) was not found: needs two markers of the shaft' */
function notFound({ moments }: SwingRecord, rule: GateRuleId, name: string, position: PositionId): GateFinding {
  const moment = moments[position];
  const why = moment?.found === false ? `: needs ${moment.why.needed}` : '';
  return { rule, found: null, of: `${name} was not found${why}` };
}

/** A number that is compared with the rule's limit; nothing where it is not known. */
function number(rule: GateRuleId, found: number | null, of = ''): readonly GateFinding[] {
  return found === null ? [] : [{ rule, found, of }];
}

/** First and last frame of the downswing, from the top to impact; null where either was not found. */
function downswingOf({ moments, head }: SwingRecord): readonly [number, number] | null {
  const top = moments.P4?.found === true ? moments.P4 : moments['P4(arm)'];
  const { P7: impact } = moments;
  if (top?.found !== true || impact?.found !== true) return null;
  const rate = head.facts.rate_Hz.value;
  const [from, to] = [Math.ceil(top.time_s * rate), Math.floor(impact.time_s * rate)];
  return to > from ? [from, to] : null;
}

/** Frames of a stretch in which a marker is not measured; `of`: only those runs. */
function lostIn(
  { runs }: MarkerQuality,
  [from, to]: readonly [number, number],
  of: (what: Unmeasured) => boolean,
): number {
  const inside = (runs ?? []).map(([first, last, what]) =>
    of(what) ? Math.max(0, Math.min(last, to) - Math.max(first, from) + 1) : 0,
  );
  return inside.reduce((sum, frames) => sum + frames, 0);
}

/** A landmark that is never seen is carried by its segment throughout, by design, and counts for nothing here. */
function downswing(record: SwingRecord): readonly GateFinding[] {
  const stretch = downswingOf(record);
  const rows = record.quality.filter(
    ({ marker, missing, frames }) => NEEDED.has(withoutSide(marker)) && missing < frames,
  );
  if (stretch === null || rows.length === 0) return [];
  const frames = stretch[1] - stretch[0] + 1;
  const guessed = rows.map((row) => lostIn(row, stretch, (what) => GUESSED.has(what)));
  const worst = guessed.reduce((most, lost, i) => (lost > guessed[most]! ? i : most), 0);
  const all = rows.reduce((sum, row) => sum + lostIn(row, stretch, () => true), 0);
  const share = toDisplay(all / (frames * rows.length), '%');
  return [
    ...number('marker-lost-in-downswing', toDisplay(guessed[worst]! / frames, '%'), rows[worst]!.marker),
    ...number('markers-lost-in-downswing', share),
    ...number('most-lost-in-downswing', share),
  ];
}

function noise(record: SwingRecord): readonly GateFinding[] {
  const rows = record.quality.filter(({ marker, noise_m }) => TRUNK.has(withoutSide(marker)) && noise_m > 0);
  if (rows.length === 0) return [];
  const worst = rows.reduce((most, row) => (row.noise_m > most.noise_m ? row : most));
  const found = toDisplay(worst.noise_m, 'mm');
  return [...number('marker-noise', found, worst.marker), ...number('marker-noise-extreme', found, worst.marker)];
}

function positions(record: SwingRecord): readonly GateFinding[] {
  const shaftAtTop = isFound(record, 'P4');
  const top = shaftAtTop || isFound(record, 'P4(arm)');
  return [
    ...(isFound(record, 'P1') ? [] : [notFound(record, 'no-address', 'address (P1)', 'P1')]),
    ...(top ? [] : [notFound(record, 'no-top', 'the top (P4)', 'P4')]),
    ...(shaftAtTop && isFound(record, 'P7') && !isFound(record, 'P5.5')
      ? [notFound(record, 'no-late-downswing', 'P5.5', 'P5.5')]
      : []),
    ...(isFound(record, 'P7') ? [] : [notFound(record, 'no-impact', 'impact (P7)', 'P7')]),
  ];
}

function club(record: SwingRecord): readonly GateFinding[] {
  const speed = displayed(record, 'club.head_speed', 'swing');
  return [...number('head-speed-low', speed), ...number('head-speed-high', speed)];
}

function angles(record: SwingRecord): readonly GateFinding[] {
  const turn = displayed(record, 'pelvis.turn', 'P1');
  const size = turn === null ? null : Math.abs(turn);
  return [
    ...number('turned-at-address', size),
    ...number('turned-away-at-address', size),
    ...number('pelvis-bend-at-address', displayed(record, 'pelvis.forward_bend', 'P1')),
    ...number('chest-bend-at-address', displayed(record, 'thorax.forward_bend', 'P1')),
    ...largestBend(record),
  ];
}

function largestBend(record: SwingRecord): readonly GateFinding[] {
  let most: { found: number; of: string } | null = null;
  for (const quantity of BENDS) {
    for (const position of PRIMARY_POSITIONS) {
      const value = displayed(record, quantity, position);
      if (value === null || (most !== null && Math.abs(value) <= most.found)) continue;
      most = { found: Math.abs(value), of: `${quantity} at ${position}` };
    }
  }
  return most === null ? [] : number('bend-impossible', most.found, most.of);
}

/** A fault that says the rate contradicts the swing says of the times what these rules would. */
function times(record: SwingRecord): readonly GateFinding[] {
  if (record.faults?.some(({ code, action }) => code === 'rate-contradicts-swing' && action === 'kept')) return [];
  return [
    ...number('backswing-time', displayed(record, 'tempo.backswing', 'swing')),
    ...number('downswing-time', displayed(record, 'tempo.downswing', 'swing')),
    ...number('tempo-ratio', displayed(record, 'tempo.ratio', 'swing')),
  ];
}

/** What the rules look at in the faults of a swing, which the other swings of its day may add to. */
export function faultFindings({ faults }: Pick<SwingRecord, 'faults'>): readonly GateFinding[] {
  return (faults ?? [])
    .filter(({ action }) => action === 'kept')
    .map(({ code, detail }) => ({
      rule: FAULTS_OF_WHOLE_TRIAL.has(code) ? 'fault-of-whole-trial' : 'fault-kept',
      found: null,
      of: `${code}: ${detail}`,
    }));
}

/** The quantities that the rules read. */
export const GATE_QUANTITIES: readonly string[] = [
  ...BENDS,
  'pelvis.turn',
  'club.head_speed',
  'tempo.backswing',
  'tempo.downswing',
  'tempo.ratio',
];

/** What the rules look at in the record of one swing, apart from its faults; what is not known is not there. In the order of the table. */
export function gateFindings(record: SwingRecord): readonly GateFinding[] {
  return [
    ...downswing(record),
    ...noise(record),
    ...positions(record),
    ...club(record),
    ...angles(record),
    ...times(record),
  ];
}

/** Fewest numbers that must be equal for two recordings to count as one. */
const FEWEST_EQUAL = 4;

/**
 * What tells a recording's samples apart from any other's, '' where too little is known: frames, the times of P1 to P4 and the primary
 * values at P1 and P4, to the last digit. Times are between frames, so that no two swings share them by chance; what follows impact is
 * left out, since the face of the club the day file names moves it.
 */
export function contentKey(record: SwingRecord): string {
  const times = (['P1', 'P2', 'P3', 'P4', 'P4(arm)'] as const).flatMap((position) => {
    const moment = record.moments[position];
    return moment?.found === true ? [`${position} ${moment.time_s}`] : [];
  });
  const values = (['P1', 'P4'] as const).flatMap((position) =>
    BENDS.flatMap((quantity) => {
      const value = displayed(record, quantity, position);
      return value === null ? [] : [`${quantity}@${position} ${value}`];
    }),
  );
  const known = [...times, ...values];
  return known.length < FEWEST_EQUAL ? '' : [record.frames, ...known].join(';');
}
