import type { Diagnostic } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { Hand, InsistedFact, PlayerPlan, SignedAxis, TrialPlan } from '../model/dayPlan.ts';
import type { Fact, LengthUnit, TrialFacts } from '../model/trial.ts';
import { axisVector, type DetectedFacts, nearestAxis } from './detectFacts.ts';
import { intakeDiagnostic } from './diagnosticCodes.ts';

export interface SettledFacts {
  readonly facts: TrialFacts;
  /** Unit vector toward the target in file axes, horizontal: along an axis when set, any direction when assumed from the feet. */
  readonly targetDirection: readonly [number, number, number];
  /** Left and right are exchanged in the names of the file. */
  readonly exchangeSides: boolean;
  readonly diagnostics: readonly Diagnostic[];
}

/** A set value and what the data show, when they contradict: both stand in the message. */
function conflict<T>(fact: InsistedFact, set: string, shown: string, evidence: string): Avail<T> {
  return absent(
    `conflict-${fact}`,
    `the day file sets ${fact} ${set}, the data show ${shown} (${evidence}); correct the day file, or list ${fact} under insist to hold the set value`,
  );
}

/**
 * Decides every fact of definitions 7 from the day file, the file and the data, in this order of weight;
 * a contradiction between what is set and what the data show refuses the trial unless it is insisted upon.
 */
export function settleFacts(
  file: C3dFile,
  detected: DetectedFacts,
  trial: TrialPlan,
  player: PlayerPlan,
): Avail<SettledFacts> {
  const diagnostics: Diagnostic[] = [];
  const insisted = (fact: InsistedFact, message: string): boolean => {
    if (!trial.insist.includes(fact)) return false;
    diagnostics.push(intakeDiagnostic('insisted-against-data', message));
    return true;
  };

  const rate = settleRate(file, trial, insisted);
  if (!rate.ok) return rate;
  const units = settleUnits(detected, trial, insisted, diagnostics);
  if (!units.ok) return units;
  const up = settleUp(file, detected, trial, insisted, diagnostics);
  if (!up.ok) return up;
  const sides = settleSides(detected, trial.hand ?? player.hand, trial.faults.repair, insisted, diagnostics);
  if (!sides.ok) return sides;
  const target = settleTarget(detected, trial, up.value.value, sides.value, insisted, diagnostics);
  if (!target.ok) return target;

  return present({
    facts: {
      units: units.value,
      rate_Hz: rate.value,
      up: up.value,
      target: target.value.fact,
      hand: sides.value.hand,
      mirrored: sides.value.mirrored,
    },
    targetDirection: target.value.direction,
    exchangeSides: sides.value.exchange,
    diagnostics,
  });
}

type Insisted = (fact: InsistedFact, message: string) => boolean;

function settleRate(file: C3dFile, trial: TrialPlan, insisted: Insisted): Avail<Fact<number>> {
  const stored = file.rate_Hz;
  if (trial.rate_Hz !== null) {
    if (stored !== null && Math.abs(stored - trial.rate_Hz) > 1e-3 * stored) {
      if (!insisted('rate', `rate ${trial.rate_Hz} Hz is used; the file says ${stored} Hz`)) {
        return conflict('rate', `${trial.rate_Hz} Hz`, `${stored} Hz`, 'the rate stored in the file');
      }
      return present({ value: trial.rate_Hz, source: 'insisted', evidence: `the file says ${stored} Hz` });
    }
    return present({ value: trial.rate_Hz, source: 'set', evidence: 'the day file' });
  }
  if (stored === null) {
    return absent('rate-missing', 'a rate: the file states none; set rate_Hz in the day file');
  }
  return present({ value: stored, source: 'file', evidence: 'the file' });
}

function settleUnits(
  detected: DetectedFacts,
  trial: TrialPlan,
  insisted: Insisted,
  diagnostics: Diagnostic[],
): Avail<Fact<LengthUnit>> {
  const { units: body, unitsText: text } = detected;
  if (trial.units !== null) {
    if (body !== null && body.value !== trial.units) {
      if (!insisted('units', `units ${trial.units} are used; the body says ${body.value} (${body.evidence})`)) {
        return conflict('units', trial.units, body.value, body.evidence);
      }
      return present({ value: trial.units, source: 'insisted', evidence: `in ${body.value} ${body.evidence}` });
    }
    return present({ value: trial.units, source: 'set', evidence: 'the day file' });
  }
  if (text !== null && (body === null || body.value === text)) {
    return present({
      value: text,
      source: 'file',
      evidence: body === null ? 'the file' : `the file; ${body.evidence}`,
    });
  }
  if (body === null) {
    return absent(
      'units-unknown',
      'a unit of length: the file states none and no body landmarks show it; set units in the day file',
    );
  }
  diagnostics.push(
    text === null
      ? intakeDiagnostic('units-from-body', `the file states no unit of length; in ${body.value} ${body.evidence}`)
      : intakeDiagnostic(
          'units-contradict-body',
          `the file says ${text}, but only in ${body.value} ${body.evidence}; ${body.value} is used`,
        ),
  );
  return present({ value: body.value, source: 'detected', evidence: body.evidence });
}

function settleUp(
  file: C3dFile,
  detected: DetectedFacts,
  trial: TrialPlan,
  insisted: Insisted,
  diagnostics: Diagnostic[],
): Avail<Fact<SignedAxis>> {
  const body = detected.up;
  const screen = file.screen?.y ?? null;
  if (body !== null && screen !== null && /^[+-][XYZ]$/.test(screen) && screen !== body.value) {
    diagnostics.push(
      intakeDiagnostic('screen-contradicts-body', `the screen axes say ${screen} is up, the body says ${body.value}`),
    );
  }
  if (trial.up !== null) {
    if (body !== null && body.value !== trial.up) {
      if (!insisted('up', `up ${trial.up} is used; ${body.evidence}`))
        return conflict('up', trial.up, body.value, body.evidence);
      return present({ value: trial.up, source: 'insisted', evidence: body.evidence });
    }
    return present({
      value: trial.up,
      source: 'set',
      evidence: body === null ? 'the day file' : `the day file; ${body.evidence}`,
    });
  }
  if (body === null) {
    return absent('up-unknown', 'the up axis: head and feet (or pelvis) are not both seen; set up in the day file');
  }
  return present({ value: body.value, source: 'detected', evidence: body.evidence });
}

interface Sides {
  readonly hand: Fact<Hand>;
  readonly mirrored: Fact<boolean>;
  readonly exchange: boolean;
}

/** A mirrored file frame and exchanged sides look alike: the declared hand and which hand is nearer the club head decide. */
function settleSides(
  detected: DetectedFacts,
  declared: Hand | null,
  repair: boolean,
  insisted: Insisted,
  diagnostics: Diagnostic[],
): Avail<Sides> {
  const { chirality, hand: nearer } = detected;
  const leftHanded = chirality?.sign === -1;
  const disagree = declared !== null && nearer !== null && declared !== nearer.value;
  const fact = (value: Hand, source: Fact<Hand>['source'], evidence: string): Fact<Hand> => ({
    value,
    source,
    evidence,
  });
  const straight: Fact<boolean> = {
    value: false,
    source: chirality === null ? 'assumed' : 'detected',
    evidence: chirality?.evidence ?? 'too few landmarks to tell; a right-handed frame is assumed',
  };
  if (!leftHanded) {
    if (disagree) {
      if (!insisted('hand', `hand ${declared} is used; ${nearer.evidence}`)) {
        return conflict('hand', declared, nearer.value, nearer.evidence);
      }
      return present({ hand: fact(declared, 'insisted', nearer.evidence), mirrored: straight, exchange: false });
    }
    if (declared !== null) {
      return present({
        hand: fact(declared, 'set', nearer?.evidence ?? 'the day file'),
        mirrored: straight,
        exchange: false,
      });
    }
    if (nearer !== null)
      return present({ hand: fact(nearer.value, 'detected', nearer.evidence), mirrored: straight, exchange: false });
    diagnostics.push(intakeDiagnostic('hand-assumed', 'handedness is neither set nor visible; right is assumed'));
    return present({ hand: fact('right', 'assumed', 'neither set nor visible'), mirrored: straight, exchange: false });
  }
  if (declared === null) {
    return absent(
      'mirrored-or-exchanged',
      `the player's hand: ${chirality!.evidence}, so ${bothReadings(nearer?.value ?? null)}; set hand in the day file`,
    );
  }
  if (disagree) {
    const shown = `${chirality!.evidence} and by the names ${nearer.evidence}, while the player is ${declared}-handed`;
    if (!repair) {
      const way =
        'exchange the labels in the capture program, or allow it here (faults: {repair: yes}, no --no-repair)';
      return absent('sides-exchanged', `true names of left and right: ${shown}; ${way}`);
    }
    diagnostics.push(intakeDiagnostic('sides-exchanged', `${shown}: left and right were exchanged back`));
    return present({ hand: fact(declared, 'set', nearer.evidence), mirrored: straight, exchange: true });
  }
  diagnostics.push(
    intakeDiagnostic(
      'mirrored-file-frame',
      `${chirality!.evidence}${nearer === null ? '' : ` and ${nearer.evidence}`}: the frame of the file is left-handed; it was reflected`,
    ),
  );
  return present({
    hand: fact(declared, 'set', nearer?.evidence ?? 'the day file'),
    mirrored: { value: true, source: 'detected', evidence: chirality!.evidence },
    exchange: false,
  });
}

/** The two readings of a body that looks mirrored, in words. */
function bothReadings(nearer: Hand | null): string {
  const frame = 'either the frame of the file is left-handed';
  const names = 'or left and right are exchanged in the names';
  if (nearer === null) return `${frame} ${names}`;
  const other = nearer === 'right' ? 'left' : 'right';
  return `${frame} and the player is ${nearer}-handed, ${names} and the player is ${other}-handed`;
}

/** How far the line of the feet may be from a set target line before it contradicts it (an open or closed stance is 20° at most; common practice, no source). */
const FEET_COSINE = 0.5;

function settleTarget(
  detected: DetectedFacts,
  trial: TrialPlan,
  up: SignedAxis,
  sides: Sides,
  insisted: Insisted,
  diagnostics: Diagnostic[],
): Avail<{ fact: Fact<SignedAxis>; direction: readonly [number, number, number] }> {
  const lead = leadFromTrail(detected, up, sides);
  if (trial.target !== null) {
    if (trial.target[1] === up[1]) {
      return absent(
        'target-is-up',
        `a horizontal target: target ${trial.target} lies along up ${up}; correct the day file`,
      );
    }
    const direction = axisVector(trial.target);
    if (lead !== null && trial.role === 'swing') {
      const cosine = lead[0] * direction[0] + lead[1] * direction[1] + lead[2] * direction[2];
      const shown = nearestAxis(lead).axis;
      if (cosine < FEET_COSINE) {
        if (!insisted('target', `target ${trial.target} is used; the feet point along ${shown}`)) {
          return conflict('target', trial.target, shown, detected.feet!.evidence);
        }
        return present({
          fact: { value: trial.target, source: 'insisted', evidence: `the feet point along ${shown}` },
          direction,
        });
      }
    }
    return present({ fact: { value: trial.target, source: 'set', evidence: 'the day file' }, direction });
  }
  if (lead === null) {
    return absent(
      'target-unknown',
      'the target line: neither set nor visible from the feet; set target in the day file',
    );
  }
  const { axis } = nearestAxis(lead);
  if (trial.role === 'swing') {
    diagnostics.push(
      intakeDiagnostic('target-assumed', `the target line was taken from the feet at the start (nearest axis ${axis})`),
    );
  }
  return present({ fact: { value: axis, source: 'assumed', evidence: detected.feet!.evidence }, direction: lead });
}

/** Horizontal unit vector from the trail foot to the lead foot in file axes, or null. */
function leadFromTrail(
  detected: DetectedFacts,
  up: SignedAxis,
  sides: Sides,
): readonly [number, number, number] | null {
  if (detected.feet === null) return null;
  const u = axisVector(up);
  const d = detected.feet.leftFromRight;
  const along = d[0] * u[0] + d[1] * u[1] + d[2] * u[2];
  const flat = [d[0] - along * u[0], d[1] - along * u[1], d[2] - along * u[2]] as const;
  const size = Math.sqrt(flat[0] * flat[0] + flat[1] * flat[1] + flat[2] * flat[2]);
  if (!(size > 0.2)) return null;
  const leftLeads = (sides.hand.value === 'right') !== sides.exchange;
  const sign = leftLeads ? 1 : -1;
  return [(sign * flat[0]) / size, (sign * flat[1]) / size, (sign * flat[2]) / size];
}
