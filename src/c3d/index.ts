/**
 * C3D files as a library of its own, `swingbasis/c3d`: bytes ⇄ C3dFile, faithful to the file. No unit change, no gap rule, no meaning
 * of labels, no disk: bytes come through a ByteSource.
 */
export type { Diagnostic, Outcome, Severity } from '../base/diagnostics.ts';
export { FormatError, type FormatProblem } from '../base/errors.ts';
export { C3D_DIAGNOSTICS, type C3dCode } from './diagnosticCodes.ts';
export { type ForcePlatform, type ForcePlatformOptions, forcePlatforms } from './forcePlatforms.ts';
export type { C3dParameterContent } from './parameterWriter.ts';
export { bytesSource, type C3dMemory, type ReadC3dOptions, readC3d } from './readC3d.ts';
export {
  bytesOf,
  type RewriteOptions,
  type RewriteReport,
  type Rewritten,
  rewriteC3d,
  rewriteSource,
  type SampleNotHeld,
} from './rewriteC3d.ts';
export { C3D_REWRITE_DIAGNOSTICS } from './rewriteCodes.ts';
export type { C3dSelect } from './select.ts';
export type {
  ByteSource,
  C3dAnalog,
  C3dEvent,
  C3dFile,
  C3dGroup,
  C3dHead,
  C3dHeader,
  C3dParameter,
  C3dRotationHead,
  C3dRotations,
  C3dSelection,
  Processor,
} from './types.ts';
export { type C3dBlock, type WalkC3dOptions, walkC3d } from './walkC3d.ts';
export { type C3dTarget, writeC3d } from './writeC3d.ts';
export type { AnalogContent, C3dContent, RotationContent } from './writeContent.ts';
