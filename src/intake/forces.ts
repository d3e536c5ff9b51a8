/** Force platforms of a recording: from analog samples in the file's axes to one value a frame in the lab frame L. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type ForcePlatform, forcePlatforms } from '../c3d/forcePlatforms.ts';
import { numberList } from '../c3d/lookup.ts';
import type { C3dFile } from '../c3d/types.ts';
import type { ForcePlate, ForceTrial, LengthUnit } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { METRES_PER } from './detectFacts.ts';
import { intakeDiagnostic } from './diagnosticCodes.ts';
import { labAxes } from './labAxes.ts';
import type { SettledFacts } from './settleFacts.ts';

type V = readonly [number, number, number];

/** Under this normal force a platform shows no centre of pressure, N (common practice, no source). */
const LEAST_FORCE_N = 20;
/** Share of the loaded samples whose centre of pressure must lie on the platform. A choice of this program. */
const LEAST_INSIDE = 0.9;
/** How far beyond an edge still counts as on the platform, as a share of its half width: skin of the shoe, drift of the zero. */
const BEYOND_EDGE = 0.1;

/**
 * The platforms of types 1 to 4 that can be computed; undefined where there are none. Forces are taken as newtons. At each frame of the
 * markers stands the mean over the samples within half a frame on both sides (the outermost of an even number count half), so that nothing
 * is delayed, with no other filter; the centre of pressure is that of the mean load. Where it lies off the platform in every unit that its
 * moments may be in, there is none. Forces that point down are what acts on
 * the platform: all are turned round. A left-hander's are mirrored as the markers are.
 */
export function readForces(file: C3dFile, settled: SettledFacts, memory?: Workspace): Outcome<ForceTrial | undefined> {
  const none = { value: undefined, diagnostics: [] };
  if (file.analog.data.length === 0 || !file.groups.has('FORCE_PLATFORM')) return none;
  const corners = numberList(file.groups, 'FORCE_PLATFORM', 'CORNERS');
  const { platforms, hasPressure, diagnostics: told } = computed(file, corners, settled.facts.units.value);
  const diagnostics: Diagnostic[] = [...told];
  if (platforms.length === 0) return { value: undefined, diagnostics };
  const axes = labAxes(settled);
  const up = axes[1];
  const turned = platforms.reduce((sum, platform) => sum + pushOf(platform, up), 0) < 0;
  if (turned) {
    const message = 'the forces of the platforms point down, as what acts on a platform does: they were turned round';
    diagnostics.push(intakeDiagnostic('force-turned-round', message));
  }
  const scale = METRES_PER[settled.facts.units.value];
  const plates = platforms.map((platform, i): ForcePlate => {
    const own = corners.slice(12 * platform.index, 12 * platform.index + 12);
    const place = (at: number): V => {
      const p: V = [own[at]!, own[at + 1]!, own[at + 2]!];
      return [scale * dot(axes[0], p), scale * dot(axes[1], p), scale * dot(axes[2], p)];
    };
    return {
      name: `force platform ${platform.index + 1}`,
      corners_m: [place(0), place(3), place(6), place(9)],
      ...atFrames(platform, file, { axes, scale, sign: turned ? -1 : 1, hasPressure: hasPressure[i]! }, memory),
    };
  });
  return { value: { plates }, diagnostics };
}

interface Computed {
  readonly platforms: readonly ForcePlatform[];
  readonly hasPressure: readonly boolean[];
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * The platforms with moments in the largest unit that puts the centres of pressure on them: too small a unit draws them all to the middle.
 * Moments in N·m beside millimetres are believed only where the file says so, those in N·mm beside metres also where it does not.
 */
function computed(file: C3dFile, corners: readonly number[], unit: LengthUnit): Computed {
  const at = (momentFactor: number): Computed => {
    const { value: platforms, diagnostics } = forcePlatforms(file, { leastForce: LEAST_FORCE_N, momentFactor });
    return { platforms, hasPressure: platforms.map((platform) => isInside(platform, corners)), diagnostics };
  };
  const fits = ({ hasPressure }: Computed): boolean => hasPressure.every((inside) => inside);
  const scaled = (factor: number): Computed => {
    const found = at(factor);
    const message = `the centres of pressure lie on the platforms with moments ${factor} times those stored`;
    return { ...found, diagnostics: [...found.diagnostics, intakeDiagnostic('force-moment-unit', message)] };
  };
  const stored = at(1);
  if (unit === 'mm' && stored.diagnostics.some(({ code }) => code === 'force-plate-units')) {
    const metres = scaled(1000);
    if (fits(metres)) return metres;
  }
  if (fits(stored)) return stored;
  if (unit === 'm') {
    const millimetres = scaled(0.001);
    if (fits(millimetres)) return millimetres;
  }
  const off = stored.platforms.filter((_, i) => !stored.hasPressure[i]).map(({ index }) => index + 1);
  const message = `force platform ${off.join(', ')}: the centre of pressure lies off the platform`;
  return { ...stored, diagnostics: [...stored.diagnostics, intakeDiagnostic('force-pressure-outside', message)] };
}

/** Whether the centre of pressure lies on the platform in nine of ten loaded samples; without load it is not in doubt. */
function isInside(
  { index, centre, R_lab_platform: R, samples, centreOfPressure }: ForcePlatform,
  all: readonly number[],
) {
  const half = [0, 1].map((axis) => {
    let most = 0;
    for (let corner = 0; corner < 4; corner += 1) {
      const at = 12 * index + 3 * corner;
      const along = [0, 1, 2].reduce((sum, c) => sum + R[3 * c + axis]! * (all[at + c]! - centre[c]!), 0);
      most = Math.max(most, Math.abs(along));
    }
    return (1 + BEYOND_EDGE) * most;
  });
  let loaded = 0;
  let inside = 0;
  for (let i = 0; i < samples; i += 1) {
    if (Number.isNaN(centreOfPressure[i]!)) continue;
    loaded += 1;
    let x = 0;
    let y = 0;
    for (let c = 0; c < 3; c += 1) {
      const away = centreOfPressure[c * samples + i]! - centre[c]!;
      x += R[3 * c]! * away;
      y += R[3 * c + 1]! * away;
    }
    if (Math.abs(x) <= half[0]! && Math.abs(y) <= half[1]!) inside += 1;
  }
  return inside >= LEAST_INSIDE * loaded;
}

/** Sum of the vertical force over the samples in which the platform is loaded. */
function pushOf({ samples, force, centreOfPressure }: ForcePlatform, up: V): number {
  let sum = 0;
  for (let i = 0; i < samples; i += 1) {
    if (Number.isNaN(centreOfPressure[i]!)) continue;
    sum += up[0] * force[i]! + up[1] * force[samples + i]! + up[2] * force[2 * samples + i]!;
  }
  return sum;
}

interface ToLab {
  readonly axes: readonly [V, V, V];
  /** Metres per unit of the file. */
  readonly scale: number;
  readonly sign: 1 | -1;
  readonly hasPressure: boolean;
}

/** Mean load around each frame, in L. */
function atFrames(
  { samples, force, centreOfPressure, R_lab_platform: R }: ForcePlatform,
  { frames, analog }: C3dFile,
  { axes, scale, sign, hasPressure }: ToLab,
  memory: Workspace | undefined,
): Pick<ForcePlate, 'force_N' | 'pressure_m'> {
  const lend = (n: number): Float64Array => memory?.float64(n) ?? new Float64Array(n);
  const force_N = lend(3 * frames);
  const pressure_m = lend(3 * frames);
  const per = analog.samplesPerFrame;
  for (let f = 0; f < frames; f += 1) {
    const at = f * per;
    const half = Math.min(Math.floor(per / 2), at, samples - 1 - at);
    // The outermost samples of an even number lie half in this frame and half in the next.
    const ends = per % 2 === 0 && half > 0 ? 0.5 : 1;
    let weights = 0;
    let [fx, fy, fz, load, px, py, pz] = [0, 0, 0, 0, 0, 0, 0];
    for (let i = at - half; i <= at + half; i += 1) {
      const w = i === at - half || i === at + half ? ends : 1;
      const [x, y, z] = [force[i]!, force[samples + i]!, force[2 * samples + i]!];
      weights += w;
      fx += w * x;
      fy += w * y;
      fz += w * z;
      if (Number.isNaN(centreOfPressure[i]!)) continue;
      // Pressed against the platform: its own z points into it.
      const n = w * (R[2]! * x + R[5]! * y + R[8]! * z);
      load += n;
      px += n * centreOfPressure[i]!;
      py += n * centreOfPressure[samples + i]!;
      pz += n * centreOfPressure[2 * samples + i]!;
    }
    const isLoaded = hasPressure && Math.abs(load) >= LEAST_FORCE_N * weights;
    for (let c = 0; c < 3; c += 1) {
      const [a, b, d] = axes[c]!;
      force_N[c * frames + f] = (sign * (a * fx + b * fy + d * fz)) / weights + 0;
      pressure_m[c * frames + f] = isLoaded ? (scale * (a * px + b * py + d * pz)) / load + 0 : Number.NaN;
    }
  }
  return { force_N, pressure_m };
}

function dot(a: V, b: V): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
