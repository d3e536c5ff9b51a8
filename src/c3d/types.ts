import type { Diagnostic } from '../base/diagnostics.ts';

/** Bytes at rest: a file, a buffer, a slice of either. `read` fills `into` from `offset` and returns the bytes read. */
export interface ByteSource {
  readonly size: number;
  /** Fills the start of `into` with up to `length` bytes from `offset`; returns how many there were. */
  read(offset: number, length: number, into: Uint8Array): number;
  /** The bytes themselves where they lie in memory, never changed by a reader: spares copying them. */
  view?(offset: number, length: number): Uint8Array;
}

/** Byte order and float format of a file: Intel (little-endian IEEE), DEC (little-endian, DEC floats), MIPS (big-endian IEEE). */
export type Processor = 'intel' | 'dec' | 'mips';

/** A parameter of the file, values in storage order (first index fastest). */
export interface C3dParameter {
  readonly group: string;
  readonly name: string;
  readonly type: 'char' | 'byte' | 'int16' | 'float';
  readonly dimensions: readonly number[];
  /** Trimmed strings for char parameters (one per column; a 1-D char parameter is one string), numbers otherwise. */
  readonly text: readonly string[];
  readonly numbers: readonly number[];
  /** The bytes of a char parameter as stored, padding included, so that it can be written back unchanged. */
  readonly raw?: Uint8Array;
  readonly locked: boolean;
  readonly description: string;
  readonly offset: number;
}

/** A group of parameters as stored. */
export interface C3dGroup {
  readonly id: number;
  readonly name: string;
  readonly locked: boolean;
  readonly description: string;
  readonly parameters: ReadonlyMap<string, C3dParameter>;
}

/** An event as stored. Time counted from the first stored frame, seconds; frame from 0 (may lie outside the file, which is a diagnostic). */
export interface C3dEvent {
  readonly label: string;
  readonly context: string;
  readonly time_s: number;
  readonly frame: number;
  readonly store: 'group' | 'header';
}

/** The header block as stored: counts, scale and rate that the parameters should repeat. */
export interface C3dHeader {
  readonly parameterBlock: number;
  readonly points: number;
  readonly analogPerFrame: number;
  readonly firstFrame: number;
  readonly lastFrame: number;
  readonly maxGap: number;
  readonly scale: number;
  readonly dataBlock: number;
  readonly analogSamplesPerFrame: number;
  readonly rate_Hz: number;
  /** The 512 bytes as stored. */
  readonly bytes?: Uint8Array;
}

/**
 * A C3D file as stored: no unit change, no gap rule, no meaning of labels.
 * Coordinates are columns: `xyz[(3·point + axis)·frames + frame]`, in the file's own units and axes.
 */
export interface C3dFile {
  readonly processor: Processor;
  readonly form: 'float' | 'integer';
  readonly header: C3dHeader;
  readonly groups: ReadonlyMap<string, C3dGroup>;
  readonly labels: readonly string[];
  readonly descriptions: readonly string[];
  /** One text per point where the file has one per point, otherwise one text for all; '' where absent. */
  readonly units: readonly string[];
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly rate_Hz: number | null;
  readonly xyz: Float64Array;
  /** Fourth word of every point, as the signed 16-bit word the format describes: `word4[point·frames + frame]`; negative = invalid. */
  readonly word4: Int16Array;
  /** Residual in file units = low byte of word4 × residualScale. */
  readonly residualScale: number;
  readonly analog: C3dAnalog;
  readonly events: readonly C3dEvent[];
  /** Labels of points that the file's type groups call angles, forces, moments, powers or scalars, by group. */
  readonly typeGroups: ReadonlyMap<string, readonly string[]>;
  readonly screen: { readonly x: string; readonly y: string } | null;
  /** How many rotations the file says it holds: ROTATION:USED. */
  readonly rotations: number;
  /** The matrices of the ROTATION group; null where there is none, it could not be read, or a selection does not ask for it. */
  readonly rotationData: C3dRotations | null;
  /** Where only a part was asked for: what was read, as indices into the stored points, channels and frames. */
  readonly selection?: C3dSelection;
  readonly diagnostics: readonly Diagnostic[];
}

/** Indices from 0 of the points, channels and rotations that were read, and their frames [from, to). */
export interface C3dSelection {
  readonly points: readonly number[];
  readonly channels: readonly number[];
  readonly rotations: readonly number[];
  readonly from: number;
  readonly to: number;
}

/** A file without the values of its data section. */
export interface C3dHead extends Omit<C3dFile, 'xyz' | 'word4' | 'analog' | 'rotationData'> {
  readonly analog: Omit<C3dAnalog, 'data'>;
  readonly rotationData: C3dRotationHead | null;
}

/** What is known of the rotations before their values are read. */
export interface C3dRotationHead {
  readonly labels: readonly string[];
  readonly descriptions: readonly string[];
  /** Samples in a second; NaN where the file gives no rate. */
  readonly rate_Hz: number;
  /** ROTATION:RATIO: samples of every rotation in a frame of the file. */
  readonly samplesPerFrame: number;
}

/**
 * Poses of bodies, one track per label: stored as 4 × 4 matrices, column after column, with the position in the fourth column, and a
 * reliability. A matrix takes coordinates in the body to those of the file: its columns are the body's axes there.
 */
export interface C3dRotations extends C3dRotationHead {
  /** Samples per rotation: frames × samplesPerFrame, fewer where the file ends early. */
  readonly frames: number;
  /** `matrices[9·(rotation·frames + frame) + 3·row + column]`, the upper left 3 × 3 as stored; NaN where invalid. */
  readonly matrices: Float64Array;
  /** Position of the body's origin, `translations[3·(rotation·frames + frame) + axis]`, in the file's units; NaN where invalid. */
  readonly translations: Float64Array;
  /** `reliability[rotation·frames + frame]` as stored; negative = invalid, also where the stored matrix or reliability is no number. */
  readonly reliability: Float32Array;
}

/** Analog signals of a file, in the unit of each channel. */
export interface C3dAnalog {
  readonly channels: number;
  readonly samplesPerFrame: number;
  readonly labels: readonly string[];
  readonly units: readonly string[];
  /** Scaled, (raw − OFFSET) × SCALE × GEN_SCALE, columns: `data[channel·(frames·samplesPerFrame) + sample]`. */
  readonly data: Float64Array;
}
