/**
 * swingbasis as a library: bytes → trial → record → comparison → report, the steps of `src/pipeline`, without disk or screen.
 * Radians, metres and seconds inside; comparisons are in display units.
 */
export type { Diagnostic, Outcome } from './base/diagnostics.ts';
export { FormatError } from './base/errors.ts';
export { bytesSource, readC3d } from './c3d/readC3d.ts';
export type { ByteSource, C3dFile } from './c3d/types.ts';
export { writeC3d } from './c3d/writeC3d.ts';
export { compareGroups } from './compare/compareGroups.ts';
export { type ComparePlan, compareRecords } from './compare/compareRecords.ts';
export { type DayReading, type DaySources, readDay } from './day/readDay.ts';
export { type NamedBytes, readImu } from './imu/readImu.ts';
export type { ImuRecording } from './imu/types.ts';
export { type IntakePlan, intake } from './intake/intake.ts';
export { intakeSensors, type SensorIntakePlan } from './intake/sensors/intakeSensors.ts';
export type { AnalysisPlan, OrderedRotation, OrderRequest, SensorAnalysis } from './model/analysisPlan.ts';
export type { Avail, Missing } from './model/availability.ts';
export type { PlayerCalibration } from './model/calibration.ts';
export { CATALOGUE, quantityById } from './model/catalogue.ts';
export type { Basis, ComparisonRow, PlayerComparison, Verdict } from './model/comparison.ts';
export type {
  ClubPlan,
  CompareOptions,
  DayPlan,
  FaultOptions,
  FilterOptions,
  GapOptions,
  PlayerPlan,
  TrialPlan,
} from './model/dayPlan.ts';
export type { OrderSensitivity, OrderVerdict } from './model/orderSensitivity.ts';
export type { Moment, PositionId } from './model/positions.ts';
export type { AngleOrder, Quantity, Reading } from './model/quantity.ts';
export { rereadRecord } from './model/storedRecord.ts';
export type { Cell, CurveBase, CurveRecord, SwingRecord, TrialOutcome } from './model/swingRecord.ts';
export type { SwingSelector } from './model/swingSelector.ts';
export type { MarkerTrial, SensorTrial, Trial, TrialHead } from './model/trial.ts';
export { toDisplay, type Unit } from './model/units.ts';
export { createWorkspace, type Workspace } from './numeric/workspace.ts';
export { analyseDay, type DayOptions, type DayProgress, type DayResult } from './pipeline/analyseDay.ts';
export { type AnalysedSwing, analyseTrial } from './pipeline/analyseTrial.ts';
export type { DayIo, OpenSource, TrialIo } from './pipeline/io.ts';
export { type OutputFile, renderDay } from './pipeline/renderDay.ts';
export type { RunInput, RunOptions } from './pipeline/runRecord.ts';
export { storedRecordText } from './tables/storedRecord.ts';
