/**
 * swingbasis as a library: bytes → trial → record → comparison, the steps of `src/pipeline`, without disk or screen.
 * Radians, metres and seconds inside; comparisons are in display units.
 */
export type { Diagnostic, Outcome } from './base/diagnostics.ts';
export { FormatError } from './base/errors.ts';
export { bytesSource, readC3d } from './c3d/readC3d.ts';
export type { ByteSource, C3dFile } from './c3d/types.ts';
export { writeC3d } from './c3d/writeC3d.ts';
export { compareRecords } from './compare/compareRecords.ts';
export { readDay } from './day/readDay.ts';
export { type NamedBytes, readImu } from './imu/readImu.ts';
export type { ImuRecording } from './imu/types.ts';
export { type IntakePlan, intake } from './intake/intake.ts';
export { intakeSensors, type SensorIntakePlan } from './intake/sensors/intakeSensors.ts';
export type { AnalysisPlan } from './model/analysisPlan.ts';
export { CATALOGUE, quantityById } from './model/catalogue.ts';
export type { ComparisonRow, PlayerComparison } from './model/comparison.ts';
export type { ClubPlan, DayPlan, PlayerPlan, TrialPlan } from './model/dayPlan.ts';
export type { Quantity } from './model/quantity.ts';
export type { SwingRecord } from './model/swingRecord.ts';
export type { MarkerTrial, SensorTrial } from './model/trial.ts';
export { createWorkspace } from './numeric/workspace.ts';
export { analyseDay } from './pipeline/analyseDay.ts';
export { analyseTrial } from './pipeline/analyseTrial.ts';
