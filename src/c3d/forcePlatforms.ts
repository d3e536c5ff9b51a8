/** Force platforms of types 1 to 4: channels, corners, origin and calibration → force, moment, centre of pressure, free moment. */
import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type C3dCode, diagnose } from './diagnosticCodes.ts';
import { type Placed, readPlatforms } from './forcePlatformParameters.ts';
import type { C3dFile } from './types.ts';

/** How the signals of force platforms are read. */
export interface ForcePlatformOptions {
  /** |normal force| under which no centre of pressure is given, in the file's unit of force; 10 by default (common practice, no source). */
  readonly leastForce?: number;
  /** What stored moments are multiplied by, where their length is not that of the corners (N·m beside mm: 1000); 1 by default. */
  readonly momentFactor?: number;
}

/**
 * One platform, one value per analog sample, columns `[axis·samples + sample]` in the file's axes and units. Signs are those of the
 * stored channels: where they hold what acts on the body, as is usual, the force of a standing body points up.
 */
export interface ForcePlatform {
  /** Place in the parameters, from 0. */
  readonly index: number;
  readonly type: 1 | 2 | 3 | 4;
  /** Centre of the working surface: the mean of the corners. */
  readonly centre: Float64Array;
  /** Row-major, columns are the platform's axes in the lab; z points into the platform. */
  readonly R_lab_platform: Float64Array;
  readonly samples: number;
  readonly force: Float64Array;
  /** About the centre of the working surface. */
  readonly moment: Float64Array;
  /** Where the line of the force meets the working surface; NaN under `leastForce`. */
  readonly centreOfPressure: Float64Array;
  /** About the normal through the centre of pressure, a vector along the normal; NaN under `leastForce`. */
  readonly freeMoment: Float64Array;
}

/**
 * All platforms of a file whose analog channels were read; those that cannot be computed are left out and told.
 *
 * In the axes of the platform, with F and M of the stored channels (C3D user guide, chapter on the FORCE_PLATFORM group: TYPE, CORNERS,
 * ORIGIN, CHANNEL, CAL_MATRIX, ZERO; from memory):
 * - x from the middle of corners 2, 3 to that of 1, 4; z = x × (from 3, 4 to 1, 2), into the platform; y = z × x.
 * - type 1: channels Fx, Fy, Fz, the centre of pressure Px, Py from the centre of the surface, the free moment Tz.
 * - type 2: channels Fx, Fy, Fz, Mx, My, Mz about the sensors' origin O; ORIGIN is the way from O to the centre C of the surface.
 * - type 3: channels Fx12, Fx34, Fy14, Fy23, Fz1 … Fz4; ORIGIN holds the distances a, b of the sensors from the axes and the way up
 *   to the surface (negative): Mx = b(Fz1 + Fz2 − Fz3 − Fz4), My = a(−Fz1 + Fz2 + Fz3 − Fz4), Mz = b(Fx34 − Fx12) + a(Fy14 − Fy23).
 * - type 4: as type 2, with the six channels first multiplied by CAL_MATRIX.
 * - moment about C = M − ORIGIN × F; centre of pressure = (−My, Mx) / Fz; free moment = Mz − x·Fy + y·Fx (statics).
 */
export function forcePlatforms(file: C3dFile, options: ForcePlatformOptions = {}): Outcome<readonly ForcePlatform[]> {
  const diagnostics: Diagnostic[] = [];
  const tell = (code: C3dCode, message: string, offset: number): void => {
    diagnostics.push(diagnose(code, message, offset));
  };
  const least = options.leastForce ?? 10;
  const factor = options.momentFactor ?? 1;
  const value = readPlatforms(file, factor, tell).map((placed) => compute(file, placed, least, factor));
  return { value, diagnostics };
}

function compute(file: C3dFile, placed: Placed, least: number, factor: number): ForcePlatform {
  const samples = file.frames * file.analog.samplesPerFrame;
  const out = {
    force: new Float64Array(3 * samples),
    moment: new Float64Array(3 * samples),
    centreOfPressure: new Float64Array(3 * samples),
    freeMoment: new Float64Array(3 * samples),
  };
  const { type, R, centre } = placed;
  const raw = new Float64Array(8);
  const wrench = new Float64Array(6);
  for (let i = 0; i < samples; i += 1) {
    for (let c = 0; c < placed.channels.length; c += 1) {
      raw[c] = file.analog.data[placed.channels[c]! * samples + i]! - placed.zero[c]!;
    }
    toWrench(wrench, raw, placed, factor);
    const [fx, fy, fz, mx, my, mz] = wrench as unknown as [number, number, number, number, number, number];
    const loaded = Math.abs(fz) >= least;
    const px = !loaded ? Number.NaN : type === 1 ? raw[3]! : -my / fz;
    const py = !loaded ? Number.NaN : type === 1 ? raw[4]! : mx / fz;
    const free = type === 1 && loaded ? raw[5]! * factor : mz - px * fy + py * fx;
    for (let axis = 0; axis < 3; axis += 1) {
      const x = R[3 * axis]!;
      const y = R[3 * axis + 1]!;
      const z = R[3 * axis + 2]!;
      const at = axis * samples + i;
      out.force[at] = x * fx + y * fy + z * fz;
      out.moment[at] = x * mx + y * my + z * mz;
      out.centreOfPressure[at] = centre[axis]! + x * px + y * py;
      out.freeMoment[at] = z * free;
    }
  }
  return { index: placed.index, type, centre, R_lab_platform: R, samples, ...out };
}

/** Force and moment about the centre of the surface, in the platform's axes. */
function toWrench(out: Float64Array, raw: Float64Array, placed: Placed, factor: number): void {
  const { type, origin, calibration } = placed;
  if (type === 1) {
    const [fx, fy, fz, px, py, free] = raw as unknown as [number, number, number, number, number, number];
    out[0] = fx;
    out[1] = fy;
    out[2] = fz;
    out[3] = py * fz;
    out[4] = -px * fz;
    out[5] = px * fy - py * fx + free * factor;
    return;
  }
  if (type === 3) {
    const [fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4] = raw as unknown as number[] & { length: 8 };
    const a = origin[0]!;
    const b = origin[1]!;
    out[0] = fx12! + fx34!;
    out[1] = fy14! + fy23!;
    out[2] = fz1! + fz2! + fz3! + fz4!;
    out[3] = b * (fz1! + fz2! - fz3! - fz4!);
    out[4] = a * (-fz1! + fz2! + fz3! - fz4!);
    out[5] = b * (fx34! - fx12!) + a * (fy14! - fy23!);
  } else if (calibration !== null) {
    for (let row = 0; row < 6; row += 1) {
      let sum = 0;
      for (let column = 0; column < 6; column += 1) sum += calibration[6 * column + row]! * raw[column]!;
      out[row] = row < 3 ? sum : sum * factor;
    }
  } else {
    for (let row = 0; row < 6; row += 1) out[row] = row < 3 ? raw[row]! : raw[row]! * factor;
  }
  const rx = type === 3 ? 0 : origin[0]!;
  const ry = type === 3 ? 0 : origin[1]!;
  const rz = origin[2]!;
  out[3] = out[3]! - (ry * out[2]! - rz * out[1]!);
  out[4] = out[4]! - (rz * out[0]! - rx * out[2]!);
  out[5] = out[5]! - (rx * out[1]! - ry * out[0]!);
}
