/** A body as lines between its joints, the lead side heavier than the trail side, with the club. */

export type Point = readonly [number, number, number];
export type Points = Readonly<Record<string, Point>>;

const LEAD = 1.5;
export const MIDDLE = 1.1;
const TRAIL = 0.6;

export const HEAD_RADIUS_M = 0.1;

const LINES: readonly (readonly [width: number, ...points: string[]])[] = [
  [TRAIL, 'trail_hip', 'trail_knee', 'trail_ankle', 'trail_toe'],
  [TRAIL, 'trail_shoulder', 'trail_elbow', 'trail_wrist'],
  [MIDDLE, 'lead_hip', 'trail_hip'],
  [MIDDLE, 'lead_shoulder', 'trail_shoulder'],
  [LEAD, 'lead_hip', 'lead_knee', 'lead_ankle', 'lead_toe'],
  [LEAD, 'lead_shoulder', 'lead_elbow', 'lead_wrist'],
];

/** A line through places in G, metres; its width in points at the size of a sheet. */
export interface BodyLine {
  readonly width: number;
  readonly path: readonly Point[];
}

/** The lines of a figure; what is missing is passed over, and a line needs two places. */
export function bodyLines(points: Points): readonly BodyLine[] {
  const lines = LINES.map(([width, ...names]) => ({
    width,
    path: names.map((name) => points[name]).filter((point) => point !== undefined),
  }));
  const more = [
    { width: MIDDLE, path: spineOf(points) },
    { width: TRAIL, path: clubOf(points) },
  ];
  return [...lines, ...more].filter(({ path }) => path.length > 1);
}

/** The shaft, straight from the head through the grip marker, which may sit well down it, to where the lead wrist is nearest. */
function clubOf(points: Points): readonly Point[] {
  const head = points['head_point'];
  const grip = points['club_grip'];
  if (head === undefined || grip === undefined) return [];
  const along: Point = [grip[0] - head[0], grip[1] - head[1], grip[2] - head[2]];
  const wrist = points['lead_wrist'] ?? grip;
  const dot = (p: Point): number =>
    (p[0] - head[0]) * along[0] + (p[1] - head[1]) * along[1] + (p[2] - head[2]) * along[2];
  const length = dot(grip);
  const end = length > 0 ? Math.max(1, dot(wrist) / length) : 1;
  return [head, [head[0] + end * along[0], head[1] + end * along[1], head[2] + end * along[2]]];
}

/** Pelvis centre, thorax centre, middle of the shoulders: the trunk as one bent line. */
function spineOf(points: Points): readonly Point[] {
  const lead = points['lead_shoulder'];
  const trail = points['trail_shoulder'];
  const neck: Point | undefined =
    lead !== undefined && trail !== undefined
      ? [(lead[0] + trail[0]) / 2, (lead[1] + trail[1]) / 2, (lead[2] + trail[2]) / 2]
      : undefined;
  return [points['pelvis_centre'], neck ?? points['thorax_centre']].filter((point) => point !== undefined);
}
