import type { Diagnostic, DiagnosticTable } from '../base/diagnostics.ts';
import { FormatError } from '../base/errors.ts';
import { C3D_DIAGNOSTICS } from '../c3d/diagnosticCodes.ts';
import { readC3d } from '../c3d/readC3d.ts';
import { intake } from '../intake/intake.ts';
import type { AnalysisPlan, OrderRequest } from '../model/analysisPlan.ts';
import type { Missing } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { ClubPlan, DayPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { SwingRecord, TrialOutcome, TrialStatus } from '../model/swingRecord.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { calibrate } from '../stages/calibrate.ts';
import { checkBody } from '../stages/checkBody.ts';
import { toPlayerFrame } from '../stages/toPlayerFrame.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';
import type { DayIo } from './io.ts';

export type AnalyseTrial = (trial: MarkerTrial, plan: AnalysisPlan, ws: Workspace) => SwingRecord;

/** What one trial needs of its day. */
export interface TrialContext {
  readonly plan: DayPlan;
  readonly io: DayIo;
  readonly ws: Workspace;
  readonly analyse: AnalyseTrial;
  readonly orders: readonly OrderRequest[];
  readonly strict: boolean;
  /** Filled by the static trials, which come first. */
  readonly calibrations: Map<string, PlayerCalibration>;
  /** Players whose static trial could not be used. */
  readonly withoutStatic: Set<string>;
}

/** A refusal inside one trial: its sentence goes to the tables, the report and the screen. */
class Refused extends Error {
  readonly why: Missing;

  constructor(why: Missing) {
    super(why.needed);
    this.why = why;
  }
}

/** What the bytes of a file settled before anything could go wrong. */
interface Known {
  sha256: string;
  frames: number | null;
  head: MarkerTrial['head'] | null;
  diagnostics: Diagnostic[];
}

/** One trial from bytes to outcome. Whatever is wrong with it becomes its status and reason: nothing here stops a day. */
export function runTrial(trial: TrialPlan, context: TrialContext): TrialOutcome {
  const known: Known = { sha256: '', frames: null, head: null, diagnostics: [] };
  const club = context.plan.clubs.find((one) => one.id === trial.club) ?? null;
  const outcome = (status: TrialStatus, reason: string, record: SwingRecord | null = null): TrialOutcome => ({
    trial: trial.id,
    file: trial.file,
    sha256: known.sha256,
    player: trial.player,
    club: trial.club,
    kind: club?.kind ?? null,
    set: trial.set,
    role: trial.role,
    status,
    reason,
    record,
    head: known.head,
    frames: known.frames,
    diagnostics: known.diagnostics,
  });
  context.ws.reset();
  try {
    const source = context.io.open(trial.file);
    try {
      known.sha256 = context.io.sha256(source);
      if (!trial.use && trial.role === 'static') context.withoutStatic.add(trial.player);
      if (!trial.use) return outcome('left-out', trial.note === '' ? 'left out in the day file' : trial.note);
      if (trial.role === 'functional' || trial.role === 'calibration') {
        return outcome('left-out', `${trial.role} trials are not used by this version`);
      }
      const file = readC3d(source, {
        file: trial.file,
        memory: { float64: (n) => context.ws.float64(n), int16: (n) => new Int16Array(n) },
      });
      known.frames = file.frames;
      known.diagnostics.push(...file.diagnostics);
      refuseDamaged(file.diagnostics);
      const player = context.plan.players.find((one) => one.id === trial.player);
      if (player === undefined) throw new RangeError(`the plan has no player ${trial.player}`);
      const taken = intake(file, { trial, player, club }, context.ws);
      known.diagnostics.push(...taken.diagnostics);
      if (!taken.value.ok) throw new Refused(taken.value.why);
      known.head = taken.value.value.head;
      const record =
        trial.role === 'static'
          ? calibrateFrom(taken.value.value, player, context, known)
          : analyseSwing(taken.value.value, player, club, context, known);
      if (context.strict) refuseWarnings(known.diagnostics);
      return outcome('used', '', record);
    } finally {
      source.close();
    }
  } catch (error) {
    if (trial.role === 'static') {
      context.calibrations.delete(trial.player);
      context.withoutStatic.add(trial.player);
    }
    if (error instanceof Refused) return outcome('rejected', error.why.needed);
    if (error instanceof FormatError) return outcome('failed', withoutFile(error, trial.file));
    if (isFromDisk(error)) return outcome('failed', error.message);
    const message = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
    known.diagnostics.push(pipelineDiagnostic('program-error', message));
    return outcome('failed', `the program failed on this trial (${message}); please report it`);
  }
}

/** The file's name stands in its own column; the reason need not repeat it. */
function withoutFile(error: FormatError, file: string): string {
  return error.message.startsWith(`${file}: `) ? error.message.slice(file.length + 2) : error.message;
}

function isFromDisk(error: unknown): error is Error {
  return error instanceof Error && error.name === 'FileError';
}

/** Damage in the file itself; a missing rate is settled by the day file or refused by the intake. */
function refuseDamaged(diagnostics: readonly Diagnostic[]): void {
  const damage = diagnostics.find((one) => one.severity === 'error' && one.code !== 'rate-missing');
  if (damage === undefined) return;
  const wayOut = (C3D_DIAGNOSTICS as DiagnosticTable)[damage.code]?.whatToDo ?? '';
  throw new Refused({ code: damage.code, needed: `${damage.message}${wayOut === '' ? '' : `. ${wayOut}`}` });
}

/** --strict: the one place where doubts become refusals. */
function refuseWarnings(diagnostics: readonly Diagnostic[]): void {
  const doubt = diagnostics.find((one) => one.severity !== 'info');
  if (doubt !== undefined) {
    throw new Refused({ code: 'strict-refusal', needed: `refused with --strict: ${doubt.message} (${doubt.code})` });
  }
}

function calibrateFrom(trial: MarkerTrial, player: PlayerPlan, context: TrialContext, known: Known): null {
  if (player.static !== trial.head.trial) return null;
  const moved = toPlayerFrame(trial, context.ws);
  const made = calibrate(moved.value, player, context.ws);
  known.diagnostics.push(...moved.diagnostics, ...made.diagnostics);
  context.calibrations.set(player.id, made.value);
  return null;
}

function analyseSwing(
  trial: MarkerTrial,
  player: PlayerPlan,
  club: ClubPlan | null,
  context: TrialContext,
  known: Known,
): SwingRecord {
  if (club === null) {
    throw new Refused({
      code: 'no-club-named',
      needed: 'no club is named for this swing in the day file; name it, or leave the swing out with use: no',
    });
  }
  const calibration = context.calibrations.get(player.id) ?? null;
  if (calibration !== null) {
    const other = checkBody(trial, calibration);
    if (other !== null) throw new Refused({ ...other, needed: `this is not ${other.needed}` });
  }
  if (context.withoutStatic.has(player.id)) {
    const message = `the static trial of ${player.id} could not be used; joint centres are fixed from this swing itself`;
    known.diagnostics.push(pipelineDiagnostic('static-not-used', message));
  }
  const planned = context.plan.trials.find((one) => one.id === trial.head.trial)!;
  const record = context.analyse(
    trial,
    {
      player,
      club,
      calibration,
      filter: planned.filter,
      gaps: planned.gaps,
      orders: context.orders,
      sensors: null,
      sha256: known.sha256,
    },
    context.ws,
  );
  refuseWithoutSwing(record);
  known.diagnostics.push(...record.diagnostics);
  return { ...record, diagnostics: [...known.diagnostics] };
}

function refuseWithoutSwing({ moments }: SwingRecord): void {
  const asked = [moments.P4, moments['P4(arm)'], moments.P7];
  if (asked.some((moment) => moment?.found === true)) return;
  const needs = asked.flatMap((moment) => (moment === undefined || moment.found ? [] : [moment.why.needed]));
  const needed = `no swing was found in the recording: neither the top nor impact (${[...new Set(needs)].join('; ')})`;
  throw new Refused({ code: 'no-swing-found', needed });
}
