/** One trial from bytes to outcome: what it is, what it needs of its day, what became of it. */
import type { Diagnostic } from '../base/diagnostics.ts';
import { countsAsSensors } from '../day/poseTrials.ts';
import { intake } from '../intake/intake.ts';
import { intakeSensors } from '../intake/sensors/intakeSensors.ts';
import type { AnalysisPlan, OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { ClubPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { Fault } from '../model/faults.ts';
import type { StillRecord } from '../model/stillRecord.ts';
import type { SwingRecord, TrialOutcome, TrialStatus } from '../model/swingRecord.ts';
import type { SwingSeries } from '../model/swingSeries.ts';
import type { MarkerTrial, SensorTrial, Trial, TrialHead } from '../model/trial.ts';
import { qualityOf, type TrialQuality } from '../model/trialQuality.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { standingPose } from '../stages/calibrateSensors.ts';
import { checkBody } from '../stages/checkBody.ts';
import { faultDiagnostics } from '../stages/faults/faultDiagnostics.ts';
import type { AnalysedSwing } from './analyseTrial.ts';
import type { DayBasis } from './dayBasis.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';
import { loseFace, showsNoFace, useFaceTrial, withFace } from './faceTrial.ts';
import { isLegSwing, unusedLegSwing, useLegSwing } from './functionalTrial.ts';
import type { TrialIo } from './io.ts';
import { type FileSum, type OpenFile, type Recording, readRecording, trialSum } from './recordings.ts';
import { outcomeOf, Refused, refuseDamaged, refuseWarnings, refuseWithoutSwing } from './refusals.ts';
import { calibrateStill, calibrationOf, forgetSensorTrial, keepSensorTrial } from './sensorStore.ts';
import { calibrateStatic, stillRecord } from './staticTrial.ts';
import type { TrialsPlan } from './trialTask.ts';

export type AnalyseTrial = (trial: Trial, plan: AnalysisPlan, ws: Workspace) => AnalysedSwing;

/** What one trial needs of its day; of the basis it sees and changes its own part. */
export interface TrialContext extends DayBasis {
  readonly plan: TrialsPlan;
  readonly io: TrialIo;
  readonly ws: Workspace;
  readonly analyse: AnalyseTrial;
  readonly orders: readonly OrderRequest[];
  readonly strict: boolean;
  readonly residuals?: boolean;
  readonly series?: boolean;
  /** Takes the swing at every frame, where `series` asks for it. */
  readonly onSeries?: (series: SwingSeries) => void;
  readonly orderCheck?: readonly OrderedRotation[];
  /** What an earlier run made of the same files in the same day, or null. */
  readonly recall: (files: readonly FileSum[]) => TrialOutcome | null;
}

/** What the bytes of a file settled before anything could go wrong. */
interface Known {
  files: readonly FileSum[];
  sha256: string;
  frames: number | null;
  head: TrialHead | null;
  still: StillRecord | null;
  quality: TrialQuality | null;
  diagnostics: Diagnostic[];
  faults: Fault[];
}

/** What the steps of one trial share. */
interface Run {
  readonly trial: TrialPlan;
  readonly player: PlayerPlan;
  readonly club: ClubPlan | null;
  readonly context: TrialContext;
  readonly known: Known;
}

/** One trial from bytes to outcome. Whatever is wrong with it becomes its status and reason: nothing here stops a day. */
export function runTrial(trial: TrialPlan, context: TrialContext): TrialOutcome {
  const files = trial.files.map((path) => ({ path, sha256: '', bytes: 0 }));
  const known: Known = {
    files,
    sha256: '',
    frames: null,
    head: null,
    still: null,
    quality: null,
    diagnostics: [],
    faults: [],
  };
  const club = withFace(context.plan.clubs.find((one) => one.id === trial.club) ?? null, context.faces);
  const outcome = (status: TrialStatus, reason: string, record: SwingRecord | null = null): TrialOutcome => ({
    trial: trial.id,
    file: trial.file,
    files: known.files,
    sha256: known.sha256,
    player: trial.player,
    club: trial.club,
    kind: club?.kind ?? null,
    set: trial.set,
    role: trial.role,
    status,
    reason,
    record,
    ...(status === 'used' && known.still !== null ? { still: known.still } : {}),
    head: known.head,
    frames: known.frames,
    ...(record === null && known.quality !== null ? { quality: known.quality } : {}),
    ...(record === null && known.faults.length > 0 ? { faults: known.faults } : {}),
    diagnostics: known.diagnostics,
  });
  context.ws.reset();
  const opened: OpenFile[] = [];
  try {
    for (const path of trial.files) opened.push({ path, source: context.io.open(path) });
    known.files = opened.map(({ path, source }) => ({ path, sha256: context.io.sha256(source), bytes: source.size }));
    known.sha256 = trialSum(known.files, context.io);
    const recalled = context.recall(known.files);
    if (recalled !== null) return recalled;
    if (!trial.use) {
      const reason = trial.note === '' ? 'left out in the day file' : trial.note;
      noteLost(trial, `left out in the day file${trial.note === '' ? '' : `: ${trial.note}`}`, context);
      return outcome('left-out', reason);
    }
    if (isUnusedRole(trial)) return outcome('left-out', unusedRole(trial));
    const player = context.plan.players.find((one) => one.id === trial.player);
    if (player === undefined) throw new RangeError(`the plan has no player ${trial.player}`);
    const unused = isLegSwing(trial) && !countsAsSensors(trial) ? unusedLegSwing(player, context) : null;
    if (unused !== null) return outcome('left-out', unused);
    const recording = readRecording(opened, trial, club, context.ws);
    if (recording.source === 'markers' && trial.role === 'functional' && !isLegSwing(trial)) {
      return outcome('left-out', unusedRole(trial));
    }
    if (recording.source === 'markers' && trial.role === 'calibration') {
      const faceless = showsNoFace(recording.file, trial, club);
      if (faceless !== null) {
        noteLost(trial, faceless, context);
        return outcome('left-out', faceless);
      }
    }
    if (recording.source === 'sensors' && isLegSwing(trial)) {
      return outcome('left-out', 'a functional trial of sensors needs movement: it shows which axes');
    }
    known.diagnostics.push(...recording.file.diagnostics);
    if ('frames' in recording.file) known.frames = recording.file.frames;
    refuseDamaged(recording.file.diagnostics);
    const run: Run = { trial, player, club, context, known };
    const record = recording.source === 'markers' ? useMarkers(recording, run) : useSensors(recording, run);
    if (context.strict) refuseWarnings(known.diagnostics);
    for (const { source } of opened) source.confirm?.();
    return outcome('used', '', record);
  } catch (thrown) {
    const failed = outcomeOf(changeOf(opened) ?? thrown, trial.file);
    known.diagnostics.push(...failed.diagnostics);
    known.faults.push(...failed.faults);
    noteLost(trial, failed.reason, context);
    const lost = outcome(failed.status, failed.reason);
    return failed.passing ? { ...lost, passing: true } : lost;
  } finally {
    for (const { source } of opened) source.close();
  }
}

/** What is wrong with a file that is no longer the one that was opened, or null: then the damage seen in it is none of its own. */
function changeOf(opened: readonly OpenFile[]): unknown {
  try {
    for (const { source } of opened) source.confirm?.();
    return null;
  } catch (error) {
    return error;
  }
}

/** What the swings are told of a trial that they would have rested on. */
export function noteLost(trial: TrialPlan, reason: string, context: DayBasis & Pick<TrialContext, 'plan'>): void {
  if (trial.role === 'swing') return;
  forgetSensorTrial(trial, reason, context.sensors);
  if (trial.role === 'calibration' && !countsAsSensors(trial)) loseFace(trial, reason, context.faces);
  if (trial.role !== 'static' || countsAsSensors(trial)) return;
  const named = context.plan.players.find((one) => one.id === trial.player)?.static ?? null;
  if (named !== null && named !== trial.id) return;
  context.calibrations.delete(trial.player);
  context.sensors.standing.delete(trial.player);
  context.withoutStatic.add(trial.player);
}

/** Calibration trials without a club, functional ones that cannot be of sensors; a C3D file with a movement or a club is read to see what it holds. */
function isUnusedRole(trial: TrialPlan): boolean {
  if (countsAsSensors(trial)) return false;
  if (trial.role === 'functional') return trial.source === 'markers' && trial.movement !== null;
  return trial.role === 'calibration' && trial.club === null;
}

function unusedRole({ role }: TrialPlan): string {
  if (role === 'calibration') return 'a calibration trial needs club: it shows the face or the shaft of one';
  return `${role} trials are not used by this version`;
}

function useMarkers({ file }: Recording & { source: 'markers' }, run: Run): SwingRecord | null {
  const { trial, player, club, context, known } = run;
  if (trial.role === 'calibration') {
    if (club === null) throw new RangeError(`the plan has no club ${trial.club}`);
    useFaceTrial(file, trial, club, context, known.diagnostics);
    return null;
  }
  const taken = intake(file, { trial, player, club }, context.ws);
  known.diagnostics.push(...taken.diagnostics);
  if (!taken.value.ok) throw new Refused(taken.value.why);
  known.head = taken.value.value.head;
  known.faults.push(...(taken.value.value.faults ?? []));
  if (isLegSwing(trial)) {
    useLegSwing(taken.value.value, trial, player, context, known.diagnostics);
    return null;
  }
  return trial.role === 'static' ? calibrateFrom(taken.value.value, run) : analyseSwing(taken.value.value, run);
}

function useSensors({ file }: Recording & { source: 'sensors' }, run: Run): SwingRecord | null {
  const { trial, player, club, context, known } = run;
  const taken = intakeSensors(file, { trial, player, club }, context.ws);
  known.diagnostics.push(...taken.diagnostics);
  if (!taken.value.ok) throw new Refused(taken.value.why);
  const moved = taken.value.value;
  known.head = moved.head;
  known.frames = Math.max(0, ...[...moved.sensors.values()].map((track) => track.times_s.length));
  if (trial.role === 'swing') return analyseSwing(moved, run);
  if (trial.role === 'static') {
    const { plan, sensors, ws } = context;
    known.diagnostics.push(...calibrateStill(trial, moved, player, plan.clubs, sensors, ws));
  } else keepSensorTrial(trial, moved, context.sensors);
  return null;
}

function calibrateFrom(trial: MarkerTrial, { player, context, known }: Run): null {
  if (player.static !== trial.head.trial) return null;
  const made = calibrateStatic(trial, player, context.ws);
  const { calibration, moved } = made.value;
  known.diagnostics.push(...made.diagnostics);
  context.calibrations.set(player.id, calibration);
  known.still = stillRecord(made.value, known.sha256, context.ws);
  if (context.plan.trials.some((one) => one.player === player.id && one.still !== null)) {
    context.sensors.standing.set(player.id, standingPose(moved, calibration, context.ws));
  }
  return null;
}

/** What the markers of a swing need of their static trial, and a marker that moved since then. @throws Refused for another body */
function staticOf(
  trial: MarkerTrial,
  { player, context, known }: Run,
): { readonly calibration: PlayerCalibration | null; readonly moved: Fault | null } {
  const calibration = context.calibrations.get(player.id) ?? null;
  const { other, moved } = calibration === null ? { other: null, moved: null } : checkBody(trial, calibration);
  if (other !== null) throw new Refused({ ...other, needed: `this is not ${other.needed}` });
  if (context.withoutStatic.has(player.id)) {
    const message = `the static trial of ${player.id} could not be used; joint centres are fixed from this swing itself`;
    known.diagnostics.push(pipelineDiagnostic('static-not-used', message));
  }
  return { calibration, moved };
}

/** Whether the moved marker is named by the shape of its segment already. */
function isTold({ code, markers }: Fault, told: readonly Fault[]): boolean {
  return told.some((one) => one.code === code && markers.every((name) => one.markers.includes(name)));
}

/** What the sensors of a swing need of their still pose. */
function stillOf({ trial, player, context, known }: Run): AnalysisPlan['sensors'] {
  const { calibration, diagnostics } = calibrationOf(trial, player, context.sensors);
  known.diagnostics.push(...diagnostics);
  return { plan: trial.sensors, calibration };
}

function analyseSwing(trial: MarkerTrial | SensorTrial, run: Run): SwingRecord {
  const { trial: planned, player, club, context, known } = run;
  if (club === null) {
    throw new Refused({
      code: 'no-club-named',
      needed: 'no club is named for this swing in the day file; name it, or leave the swing out with use: no',
    });
  }
  const still = trial.source === 'markers' ? staticOf(trial, run) : { calibration: null, moved: null };
  const { series, ...record } = context.analyse(
    trial,
    {
      player,
      club,
      calibration: still.calibration,
      filter: planned.filter,
      gaps: planned.gaps,
      faults: planned.faults,
      orders: context.orders,
      ...(context.residuals === true ? { residuals: true } : {}),
      ...(context.series === true ? { series: true } : {}),
      ...(context.orderCheck === undefined ? {} : { rotations: context.orderCheck }),
      ...(planned.placement === undefined ? {} : { placement: planned.placement }),
      sensors: trial.source === 'sensors' ? stillOf(run) : null,
      sha256: known.sha256,
    },
    context.ws,
  );
  known.quality = qualityOf(record);
  known.diagnostics.push(...record.diagnostics);
  refuseWithoutSwing(record);
  if (series !== undefined) context.onSeries?.(series);
  const told = record.faults ?? [];
  const moved = still.moved === null || isTold(still.moved, told) ? [] : [still.moved];
  known.diagnostics.push(...faultDiagnostics(moved));
  const faults = [...told, ...moved];
  return { ...record, ...(faults.length === 0 ? {} : { faults }), diagnostics: [...known.diagnostics] };
}
