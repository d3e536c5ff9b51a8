import type { Diagnostic } from '../../../base/diagnostics.ts';
import { nearestOf } from '../../../base/text.ts';
import type { Hand } from '../../../model/dayPlan.ts';
import { type FileSensorPlace, SENSOR_PLACES, type SensorPlace, type SidedPlace } from '../../../model/sensors.ts';
import { plainName } from '../../landmarkNames.ts';
import { sensorDiagnostic } from '../diagnosticCodes.ts';
import { type PlaceGuess, placeOfName } from '../placeNames.ts';
import { listOf } from './columnSets.ts';

export interface AssignedPlace {
  /** null: not used; the evidence says why. */
  readonly place: FileSensorPlace | SensorPlace | null;
  readonly evidence: string;
}

export interface AssignedPlaces {
  /** One for each name, in order. */
  readonly places: readonly AssignedPlace[];
  readonly diagnostics: readonly Diagnostic[];
}

const RANK: Readonly<Record<PlaceGuess['strength'], number>> = { exact: 2, word: 1, loose: 0 };

/**
 * Places of sensors: those of the day file first, then by their names. Of several candidates for one place the one with the place's own name,
 * else an anatomical word, else a neighbour is taken; equal candidates are all left out and the question is asked.
 * Places that the recording `needs` (all by default) are told where their named sensor is not in it.
 */
export function assignPlaces(
  names: readonly string[],
  declared: Readonly<Partial<Record<FileSensorPlace, string>>>,
  needs: (place: string) => boolean = () => true,
): AssignedPlaces {
  const diagnostics: Diagnostic[] = [];
  const places: AssignedPlace[] = names.map(() => ({ place: null, evidence: '' }));
  const taken = new Set<string>();
  for (const [place, name] of Object.entries(declared)) {
    taken.add(place);
    const at = findName(names, name);
    if (at < 0) {
      if (!needs(place)) continue;
      const near = nearestOf(name, names);
      diagnostics.push(
        sensorDiagnostic(
          'named-sensor-missing',
          `${place} is named "${name}" in the day file; the recording has ${listOf(names)}${near === null ? '' : `; did you mean "${near}"?`}`,
        ),
      );
    } else if (places[at]!.place !== null) {
      diagnostics.push(
        sensorDiagnostic(
          'place-ambiguous',
          `"${names[at]}" is named for ${places[at]!.place} and for ${place} in the day file; the first holds`,
        ),
      );
    } else places[at] = { place: place as FileSensorPlace, evidence: 'the day file' };
  }
  const candidates = new Map<string, { readonly at: number; readonly guess: PlaceGuess }[]>();
  const nameless: string[] = [];
  names.forEach((name, at) => {
    if (places[at]!.place !== null) return;
    const guess = placeOfName(name);
    if (guess.place === null || taken.has(guess.place)) {
      const why = guess.place === null ? guess.missing : `${guess.place} is another sensor by the day file`;
      places[at] = {
        place: null,
        evidence: `${why === '' ? 'the name says no place' : why}; set sensors: places in the day file`,
      };
      if (why === '') nameless.push(name);
      else if (guess.missing === '')
        diagnostics.push(sensorDiagnostic('sensor-not-placed', `"${name}": ${why}; not used`));
      else diagnostics.push(sensorDiagnostic('place-ambiguous', `"${name}": ${why}; left out`));
      return;
    }
    const list = candidates.get(guess.place) ?? [];
    list.push({ at, guess });
    candidates.set(guess.place, list);
  });
  if (nameless.length > 0) {
    diagnostics.push(
      sensorDiagnostic('sensor-not-placed', `${listOf(nameless)}: no place that is used here is in the name; not used`),
    );
  }
  const recognised: string[] = [];
  for (const [place, list] of candidates) {
    const best = Math.max(...list.map(({ guess }) => RANK[guess.strength]));
    const first = list.filter(({ guess }) => RANK[guess.strength] === best);
    const question = `${first.map(({ at }) => `"${names[at]}"`).join(' and ')} could each be ${place}; name the right one under sensors: places: ${place}`;
    if (first.length > 1) diagnostics.push(sensorDiagnostic('place-ambiguous', `${question}; all were left out`));
    for (const { at, guess } of list) {
      if (first.length > 1 && RANK[guess.strength] === best) places[at] = { place: null, evidence: question };
      else if (RANK[guess.strength] < best) {
        const other = names[first[0]!.at]!;
        places[at] = { place: null, evidence: `"${other}" is nearer ${place} by its name` };
        diagnostics.push(
          sensorDiagnostic('sensor-not-placed', `"${names[at]}": "${other}" is nearer ${place} by its name; not used`),
        );
      } else {
        const evidence = guess.strength === 'exact' ? 'its name' : 'a word of its name';
        places[at] = { place: guess.place, evidence };
        if (guess.strength !== 'exact') recognised.push(`"${names[at]}" as ${place}`);
      }
    }
  }
  if (recognised.length > 0) {
    diagnostics.push(sensorDiagnostic('place-recognised', `places read off names: ${recognised.join(', ')}`));
  }
  return { places, diagnostics };
}

function findName(names: readonly string[], wanted: string): number {
  const exact = names.findIndex((name) => name.trim() === wanted.trim());
  if (exact >= 0) return exact;
  const plain = plainName(wanted);
  return plain === '' ? -1 : names.findIndex((name) => plainName(name) === plain);
}

const PLACES: ReadonlySet<string> = new Set(SENSOR_PLACES);

/** Left is lead for a right-handed player; a left-hander's are exchanged with the one reflection of definitions 1. */
export function sensorPlaceOf(place: FileSensorPlace | SensorPlace, hand: Hand): SensorPlace {
  if (PLACES.has(place)) return place as SensorPlace;
  const left = place.startsWith('left_');
  const part = place.slice(left ? 5 : 6) as SidedPlace;
  return `${left === (hand === 'right') ? 'lead' : 'trail'}_${part}`;
}
