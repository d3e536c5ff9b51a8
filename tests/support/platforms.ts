/** Force platforms under an invented swing: known loads of each foot as the channels of a file, and what should be read from them. */
import { add, cross, dot, scale, sub, unit, type Vec } from '../../samples/generator/geometry.ts';
import type { Lab } from '../../samples/generator/lab.ts';
import { inFile, RIGHT_HANDED_LAB } from '../../samples/generator/lab.ts';
import type { C3dContent, C3dParameterContent } from '../../src/c3d/writeC3d.ts';

/** In G, metres and newtons: what acts on the player, where on the ground. */
export interface Load {
  readonly force: Vec;
  readonly place: Vec;
}

/** A platform in G: middle of its surface, half its edges along X and Z, and the load on it by the time of the file. */
export interface MadePlatform {
  readonly centre: Vec;
  readonly half: readonly [number, number];
  readonly load: (time_s: number) => Load;
}

export interface PlatformOptions {
  readonly hand: 'left' | 'right';
  readonly lab?: Lab;
  readonly samplesPerFrame?: number;
  /** Channels hold what acts on the platform. */
  readonly reversed?: boolean;
  /** What moments are divided by, such as 1000 for N·m beside millimetres. */
  readonly momentsOver?: number;
  readonly type?: 2 | 4;
}

const ORIGIN_mm: Vec = [1.5, -2.5, -40];

/** The content with FORCE_PLATFORM and six channels a platform; statics in the file's own axes: M about O = (P − O) × F. */
export function onPlatforms(content: C3dContent, made: readonly MadePlatform[], options: PlatformOptions): C3dContent {
  const { hand, lab = RIGHT_HANDED_LAB, samplesPerFrame = 5, reversed = false, momentsOver = 1, type = 2 } = options;
  const direction = (v: Vec): Vec => inFile(v, hand, lab);
  const place = (p: Vec): Vec => scale(direction(p), 1000);
  const samples = content.frames * samplesPerFrame;
  const data = new Float64Array(6 * made.length * samples);
  const corners: number[] = [];
  made.forEach(({ centre, half, load }, k) => {
    const corner = (sx: number, sz: number): Vec => place(add(centre, [sx * half[0], 0, sz * half[1]]));
    // Round the surface so that x × (from 3, 4 to 1, 2) points into it, whatever the file's axes.
    const four = [corner(1, 1), corner(-1, 1), corner(-1, -1), corner(1, -1)] as const;
    const x = unit(sub(four[0], four[1]));
    const across = unit(sub(four[0], four[3]));
    const down = direction([0, -1, 0]);
    const isRight = dot(cross(x, across), down) > 0;
    const ordered = isRight ? four : ([four[3], four[2], four[1], four[0]] as const);
    corners.push(...ordered.flat());
    const own = unit(add(sub(ordered[0], ordered[1]), sub(ordered[3], ordered[2])));
    const axes = [own, cross(down, own), down] as const;
    const inPlate = (v: Vec): Vec => [dot(axes[0], v), dot(axes[1], v), dot(axes[2], v)];
    const middle = place(centre);
    const origin = axes.reduce<Vec>((sum, axis, i) => sub(sum, scale(axis, ORIGIN_mm[i]!)), middle);
    for (let i = 0; i < samples; i += 1) {
      const acting = load(i / (content.rate_Hz * samplesPerFrame));
      const force = scale(direction(acting.force), reversed ? -1 : 1);
      const moment = scale(cross(sub(place(acting.place), origin), force), 1 / momentsOver);
      [...inPlate(force), ...inPlate(moment)].forEach((value, c) => {
        data[(6 * k + c) * samples + i] = value;
      });
    }
  });
  const n = made.length;
  const identity = Array.from({ length: 36 }, (_, i) => (i % 7 === 0 ? 1 : 0));
  const group = 'FORCE_PLATFORM';
  const parameters: C3dParameterContent[] = [
    { group, name: 'USED', type: 'int16', numbers: [n], dimensions: [] },
    { group, name: 'TYPE', type: 'int16', numbers: made.map(() => type), dimensions: [n] },
    { group, name: 'ZERO', type: 'int16', numbers: [1, 0], dimensions: [2] },
    { group, name: 'CORNERS', type: 'float', numbers: corners, dimensions: [3, 4, n] },
    { group, name: 'ORIGIN', type: 'float', numbers: made.flatMap(() => [...ORIGIN_mm]), dimensions: [3, n] },
    {
      group,
      name: 'CHANNEL',
      type: 'int16',
      numbers: Array.from({ length: 6 * n }, (_, i) => i + 1),
      dimensions: [6, n],
    },
    { group, name: 'CAL_MATRIX', type: 'float', numbers: made.flatMap(() => identity), dimensions: [6, 6, n] },
  ];
  const names = ['Fx', 'Fy', 'Fz', 'Mx', 'My', 'Mz'];
  const labels = made.flatMap((_, k) => names.map((name) => `${name}${k + 1}`));
  const units = made.flatMap(() =>
    names.map((name) => (name.startsWith('F') ? 'N' : momentsOver === 1 ? 'Nmm' : 'Nm')),
  );
  return {
    ...content,
    analog: { labels, units, samplesPerFrame, data },
    parameters: [...(content.parameters ?? []), ...parameters],
  };
}
