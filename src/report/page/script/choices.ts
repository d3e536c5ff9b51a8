import { powerOfTen } from '../../../base/format.ts';
import { unpack16 } from '../../../base/packed.ts';
import { FILM_POINTS, unpackPlaces } from '../../../model/film.ts';
import { CURVE_STEPS } from '../../../model/swingRecord.ts';
import { fill } from '../../words/fill.ts';
import { CURVE_STEPS_PER_UNIT, type PageData, type PageRow, type PageSwing, type Side } from '../pageData.ts';

/** What can be shown: the mean of a group, of a set within it, or one swing. */
export interface Choice {
  readonly key: string;
  readonly label: string;
  /** As it stands over a column. */
  readonly short: string;
  /** Heading it stands under in a list, '' for the means of the groups. */
  readonly under: string;
  /** Its side where it is the group's own mean: its rows then have differences and verdicts. */
  readonly mean: 0 | 1 | null;
  /** Metres, step by step, x, y, z of each of FILM_POINTS; null where no film is known. */
  readonly places: () => Float64Array | null;
  /** Values of a drawn curve at its steps. */
  readonly curve: (place: number) => ArrayLike<number>;
  /** Value of a quantity at a position, −1 for the whole swing; NaN where missing. */
  readonly value: (quantity: number, position: number) => number;
}

const WIDTH = 3 * FILM_POINTS.length;

function remember<K, T>(compute: (key: K) => T): (key: K) => T {
  const known = new Map<K, T>();
  return (key) => {
    if (!known.has(key)) known.set(key, compute(key));
    return known.get(key)!;
  };
}

/** Mean number by number over those that are there; NaN where fewer than half of them are, so that no mean jumps. */
export function meanOf(series: readonly ArrayLike<number>[], length: number): Float64Array {
  const mean = new Float64Array(length).fill(Number.NaN);
  for (let i = 0; i < length; i++) {
    let sum = 0;
    let n = 0;
    for (const one of series) {
      const value = one[i]!;
      if (Number.isNaN(value)) continue;
      sum += value;
      n += 1;
    }
    if (n > 0 && 2 * n >= series.length) mean[i] = sum / n;
  }
  return mean;
}

/** The places of a film in the order of FILM_POINTS. */
function placesOf({ film }: PageSwing): Float64Array | null {
  if (film === null) return null;
  const stored = unpackPlaces(film.data);
  const places = new Float64Array(WIDTH * CURVE_STEPS).fill(Number.NaN);
  film.points.forEach((id, p) => {
    const to = FILM_POINTS.indexOf(id);
    if (to < 0) return;
    for (let step = 0; step < CURVE_STEPS; step++) {
      const from = 3 * (film.points.length * step + p);
      places.set(stored.subarray(from, from + 3), WIDTH * step + 3 * to);
    }
  });
  return places;
}

/** One swing, unpacked when first asked for. */
interface Unpacked {
  readonly places: () => Float64Array | null;
  readonly curve: (place: number) => Float64Array;
  readonly value: (quantity: number, position: number) => number;
}

function unpacked(swing: PageSwing, data: PageData): Unpacked {
  const wide = data.positions.length + 1;
  const places = remember((_: 0) => placesOf(swing));
  const curves = remember((_: 0) => unpack16(swing.curves, CURVE_STEPS_PER_UNIT));
  const values = remember((_: 0) =>
    unpack16(swing.values, (i) => powerOfTen(data.quantities[Math.floor(i / wide)]!.decimals)),
  );
  return {
    places: () => places(0),
    curve: (place) => curves(0).subarray(CURVE_STEPS * place, CURVE_STEPS * (place + 1)),
    value: (quantity, position) => values(0)[wide * quantity + (position < 0 ? wide - 1 : position)] ?? Number.NaN,
  };
}

/** Rows by quantity and position. */
export function rowFinder({ rows }: PageData): (quantity: number, position: number) => PageRow | null {
  const byPlace = new Map(rows.map((row) => [`${row[0]}@${row[1]}`, row]));
  return (quantity, position) => byPlace.get(`${quantity}@${position}`) ?? null;
}

/** Everything that can be chosen: means of the groups, means of their sets, swings. */
export function choicesOf(data: PageData): readonly Choice[] {
  const { labels, swings, words } = data;
  const each = swings.map((swing) => unpacked(swing, data));
  const rowOf = rowFinder(data);
  const several = (own: readonly number[]): Pick<Choice, 'places' | 'curve' | 'value'> => {
    const places = remember((_: 0) => {
      const films = own.map((i) => each[i]!.places()).filter((one) => one !== null);
      return films.length === 0 ? null : meanOf(films, WIDTH * CURVE_STEPS);
    });
    const curve = remember((place: number) =>
      meanOf(
        own.map((i) => each[i]!.curve(place)),
        CURVE_STEPS,
      ),
    );
    return {
      places: () => places(0),
      curve,
      value: (quantity, position) =>
        meanOf(
          own.map((i) => [each[i]!.value(quantity, position)]),
          1,
        )[0]!,
    };
  };
  const ofSide = (side: Side): number[] => swings.flatMap((swing, i) => (swing.side === side ? [i] : []));
  const groups = ([0, 1] as const).map((side): Choice => {
    const own = ofSide(side);
    const label = fill(words.meanOf, { n: own.length, label: labels[side] });
    return {
      ...several(own),
      key: `mean-${side}`,
      label,
      short: labels[side],
      under: '',
      mean: side,
      curve: (place) => (data.curves[place]?.means[side] ?? []).map((value) => value ?? Number.NaN),
      value: (quantity, position) => rowOf(quantity, position)?.[side === 0 ? 2 : 3] ?? Number.NaN,
    };
  });
  const sets = ([0, 1] as const).flatMap((side): Choice[] => {
    const names = [...new Set(ofSide(side).map((i) => swings[i]!.set))];
    if (names.length < 2) return [];
    return names.map((set) => {
      const own = ofSide(side).filter((i) => swings[i]!.set === set);
      const shown = set === '' ? words.noSet : set;
      const label = fill(words.meanOfSet, { n: own.length, label: labels[side], set: shown });
      return { ...several(own), key: `set-${side}-${set}`, label, short: label, under: '', mean: null };
    });
  });
  const single = ([0, 1, 2] as const).flatMap((side) =>
    ofSide(side).map((i): Choice => {
      const under = side === 2 ? words.otherSwings : fill(words.swingsOf, { label: labels[side] });
      return { ...each[i]!, key: `swing-${i}`, label: swings[i]!.label, short: swings[i]!.label, under, mean: null };
    }),
  );
  return [...groups, ...sets, ...single];
}

/** Pairs worth a choice of their own: the two groups, and a later set of a side against an earlier one. */
export function pairsOf(
  data: PageData,
): readonly { readonly label: string; readonly keys: readonly [string, string] }[] {
  const { labels, swings, words } = data;
  const pairs = [
    {
      label: fill(words.against, { a: labels[0], b: labels[1] }),
      keys: ['mean-0', 'mean-1'] as const,
    },
  ];
  const name = (side: 0 | 1, set: string): string => `${labels[side]}, ${set === '' ? words.noSet : set}`;
  const more = ([0, 1] as const).flatMap((side) => {
    const sets = [...new Set(swings.filter((swing) => swing.side === side).map(({ set }) => set))];
    return sets.slice(1).map((set, i) => ({
      label: fill(words.against, { a: name(side, set), b: name(side, sets[i]!) }),
      keys: [`set-${side}-${set}`, `set-${side}-${sets[i]!}`] as const,
    }));
  });
  return [...pairs, ...more];
}
