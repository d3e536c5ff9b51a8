/** Why a trial is not used: refusals in one place, and what becomes of an error. */
import type { Diagnostic } from '../base/diagnostics.ts';
import { FormatError } from '../base/errors.ts';
import type { Missing } from '../model/availability.ts';
import type { Fault, FaultCode } from '../model/faults.ts';
import type { SwingRecord, TrialStatus } from '../model/swingRecord.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';
import { wayOutOf } from './recordings.ts';

/** A refusal inside one trial: its sentence goes to the tables, the report and the screen. */
export class Refused extends Error {
  readonly why: Missing;

  constructor(why: Missing) {
    super(why.needed);
    this.why = why;
  }
}

export interface LostTrial {
  readonly status: TrialStatus;
  readonly reason: string;
  /** True where the reason is one of the moment, not of the files. */
  readonly passing: boolean;
  readonly diagnostics: readonly Diagnostic[];
  /** What the refusal is a fault of the recording. */
  readonly faults: readonly Fault[];
}

/** What an error makes of a trial, and what to say where it is the program's own. */
export function outcomeOf(error: unknown, file: string): LostTrial {
  const diagnostics: Diagnostic[] = [];
  const rest = { diagnostics, faults: [] };
  if (error instanceof Refused) {
    const faults = refusedFaults(error.why);
    return { status: 'rejected', reason: error.why.needed, passing: false, diagnostics, faults };
  }
  if (error instanceof FormatError) {
    return { status: 'failed', reason: withoutFile(error, file), passing: false, ...rest };
  }
  if (isFromDisk(error)) return { status: 'failed', reason: error.message, passing: true, ...rest };
  const message = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  diagnostics.push(pipelineDiagnostic('program-error', message));
  const reason = `the program failed on this trial (${message}); please report it`;
  return { status: 'failed', reason, passing: true, ...rest };
}

/** Refusals that are faults of the recording. */
const FAULT_OF_REFUSAL: Readonly<Record<string, FaultCode>> = {
  'another-body': 'static-of-another-player',
  'sides-exchanged': 'sides-exchanged',
  'conflict-units': 'units-contradict',
};

function refusedFaults({ code, needed }: Missing): readonly Fault[] {
  const fault = FAULT_OF_REFUSAL[code];
  return fault === undefined ? [] : [{ code: fault, markers: [], frames: [], action: 'refused', detail: needed }];
}

/** The file's name stands in its own column; the reason need not repeat it. */
function withoutFile(error: FormatError, file: string): string {
  return error.message.startsWith(`${file}: `) ? error.message.slice(file.length + 2) : error.message;
}

function isFromDisk(error: unknown): error is Error {
  return error instanceof Error && error.name === 'FileError';
}

/** Damage in the file itself; a missing rate is settled by the day file or refused by the intake. */
export function refuseDamaged(diagnostics: readonly Diagnostic[]): void {
  const damage = diagnostics.find((one) => one.severity === 'error' && one.code !== 'rate-missing');
  if (damage === undefined) return;
  const wayOut = wayOutOf(damage.code);
  throw new Refused({ code: damage.code, needed: `${damage.message}${wayOut === '' ? '' : `. ${wayOut}`}` });
}

/** --strict: the one place where doubts become refusals. */
export function refuseWarnings(diagnostics: readonly Diagnostic[]): void {
  const doubt = diagnostics.find((one) => one.severity !== 'info');
  if (doubt !== undefined) {
    throw new Refused({ code: 'strict-refusal', needed: `refused with --strict: ${doubt.message} (${doubt.code})` });
  }
}

/** A recording in which neither top nor impact is found holds no swing. */
export function refuseWithoutSwing({ moments }: SwingRecord): void {
  const asked = [moments.P4, moments['P4(arm)'], moments.P7];
  if (asked.some((moment) => moment?.found === true)) return;
  const needs = asked.flatMap((moment) => (moment === undefined || moment.found ? [] : [moment.why.needed]));
  const needed = `no swing was found in the recording: neither the top nor impact (${[...new Set(needs)].join('; ')})`;
  throw new Refused({ code: 'no-swing-found', needed });
}
