/** The clocks of a trial's sensors on one zero: by their stamps, by a knock that all feel, or by a trigger. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { formatFixed } from '../base/format.ts';
import type { Missing } from '../model/availability.ts';
import type { SensorPlace, SensorPlan, SensorTrack } from '../model/sensors.ts';
import type { SensorTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { clocksDisagree } from './orient/clocksDisagree.ts';
import { orientDiagnostic } from './orient/diagnosticCodes.ts';
import { knockTime } from './orient/knock.ts';
import { placeWords } from './sensors/places.ts';

/**
 * The same trial with `times_s`, triggers and events of all sensors on the clock of the first sensor that shows the knock or trigger; that
 * sensor's times stay as they are, and events are taken to be on its clock. Steps, rates and gaps stay. Sensors whose clocks start
 * far apart are joined like others: a knock is sought by times that count from each sensor's own first sample. With 'stamps' nothing changes, and
 * shocks that contradict the stamps are told (clocks-disagree).
 * A sensor that does not show it keeps its own times and is named in `unusable` with the reason.
 */
export function alignClocks(trial: SensorTrial, plan: SensorPlan, ws: Workspace): Outcome<SensorTrial> {
  const { align } = plan;
  if (align.kind === 'stamps') {
    const doubt = clocksDisagree(trial, ws);
    return { value: trial, diagnostics: doubt === null ? [] : [doubt] };
  }
  const diagnostics: Diagnostic[] = [];
  const unusable = new Map<SensorPlace, Missing>(trial.unusable ?? []);
  const sensors = new Map<SensorPlace, SensorTrack>();
  const offsets: string[] = [];
  let reference = Number.NaN;
  for (const [place, track] of trial.sensors) {
    const at = align.kind === 'trigger' ? track.trigger_s : knockTime(track, align.from_s, align.to_s);
    if (at === null) {
      const needed =
        align.kind === 'trigger'
          ? `a trigger signal of the sensor on ${placeWords(place)}`
          : `a sharp knock that the sensor on ${placeWords(place)} feels between ${formatFixed(align.from_s, 2)} and ${formatFixed(align.to_s, 2)} s after its first sample`;
      unusable.set(place, { code: 'clock-not-joined', needed });
      diagnostics.push(orientDiagnostic('clock-not-joined', `${placeWords(place)} needs ${needed}`));
      sensors.set(place, track);
      continue;
    }
    if (Number.isNaN(reference)) reference = at;
    const shift = reference - at;
    sensors.set(place, shift === 0 ? track : shifted(track, shift, ws));
    offsets.push(`${placeWords(place)} ${formatFixed(1000 * shift, 1)} ms`);
  }
  if (offsets.length > 0) {
    const by = align.kind === 'trigger' ? 'the trigger' : `the knock at ${formatFixed(reference, 3)} s`;
    diagnostics.push(orientDiagnostic('clocks-aligned', `by ${by}, times moved by: ${offsets.join(', ')}`));
  }
  return { value: { ...trial, sensors, unusable }, diagnostics };
}

function shifted(track: SensorTrack, shift_s: number, ws: Workspace): SensorTrack {
  const n = track.times_s.length;
  const times_s = ws.float64(n);
  for (let k = 0; k < n; k++) times_s[k] = track.times_s[k]! + shift_s;
  return { ...track, times_s, trigger_s: track.trigger_s === null ? null : track.trigger_s + shift_s };
}
