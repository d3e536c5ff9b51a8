import type { C3dFile } from '../../src/c3d/types.ts';

type Place = (frame: number) => readonly [number, number, number] | null;

export interface FakeOptions {
  readonly frames?: number;
  readonly rate_Hz?: number | null;
  readonly units?: readonly string[];
  readonly descriptions?: readonly string[];
  readonly events?: C3dFile['events'];
  readonly screen?: C3dFile['screen'];
  readonly typeGroups?: C3dFile['typeGroups'];
  /** Every fourth word −1, as some exporters write. */
  readonly allInvalid?: boolean;
}

/** A C3dFile in memory from a function per label; null = a sample marked invalid. */
export function fakeC3d(points: readonly (readonly [string, Place])[], options: FakeOptions = {}): C3dFile {
  const frames = options.frames ?? 24;
  const xyz = new Float64Array(3 * points.length * frames);
  const word4 = new Int16Array(points.length * frames);
  points.forEach(([, place], index) => {
    for (let frame = 0; frame < frames; frame += 1) {
      const p = place(frame);
      if (p === null || options.allInvalid === true) word4[index * frames + frame] = -1;
      if (p === null) continue;
      for (let axis = 0; axis < 3; axis += 1) xyz[(3 * index + axis) * frames + frame] = p[axis]!;
    }
  });
  const rate_Hz = options.rate_Hz === undefined ? 240 : options.rate_Hz;
  return {
    processor: 'intel',
    form: 'float',
    header: {
      parameterBlock: 2,
      points: points.length,
      analogPerFrame: 0,
      firstFrame: 1,
      lastFrame: frames,
      maxGap: 0,
      scale: -1,
      dataBlock: 3,
      analogSamplesPerFrame: 0,
      rate_Hz: rate_Hz ?? 0,
    },
    groups: new Map(),
    labels: points.map(([label]) => label),
    descriptions: options.descriptions ?? [],
    units: options.units ?? ['mm'],
    points: points.length,
    frames,
    firstFrame: 1,
    rate_Hz,
    xyz,
    word4,
    residualScale: 1,
    analog: { channels: 0, samplesPerFrame: 0, labels: [], units: [], data: new Float64Array(0) },
    events: options.events ?? [],
    typeGroups: options.typeGroups ?? new Map(),
    screen: options.screen ?? null,
    rotations: 0,
    rotationData: null,
    diagnostics: [],
  };
}
