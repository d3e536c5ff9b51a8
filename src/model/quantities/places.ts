import type { PointId } from '../motion.ts';
import type { Quantity } from '../quantity.ts';
import { ALL_POSITIONS } from './orientation.ts';

const MOVED = {
  unit: 'mm',
  order: null,
  at: ALL_POSITIONS.filter((position) => position !== 'P1'),
  margin: { kind: 'absolute', value: 10 },
  decimals: 0,
  change: false,
  form: 'any',
  needsTarget: false,
  curve: true,
} as const;

/** Displacement of a segment's centre from its own place at P1 (definitions 4). */
function displacement(segment: string, label: string, point: PointId, centre: string): readonly Quantity[] {
  const definition = `Displacement of ${centre} from its own place at P1 (definitions 4).`;
  return [
    {
      ...MOVED,
      id: `${segment}.to_target`,
      label: `${label} shift`,
      term: `${segment} centre along the target line`,
      plus: 'moved toward the target',
      minus: 'moved away from the target',
      definition,
      reading: { kind: 'displacement', point, axis: 'target' },
      usesTarget: true,
    },
    {
      ...MOVED,
      id: `${segment}.to_ball`,
      label: `${label} thrust`,
      term: `${segment} centre across the target line`,
      plus: 'moved toward the ball',
      minus: 'moved away from the ball',
      definition,
      reading: { kind: 'displacement', point, axis: 'ball' },
      usesTarget: true,
    },
    {
      ...MOVED,
      id: `${segment}.rise`,
      label: `${label} rise`,
      term: `${segment} centre, vertical`,
      plus: 'risen',
      minus: 'dropped',
      definition,
      reading: { kind: 'displacement', point, axis: 'rise' },
      usesTarget: false,
    },
  ];
}

const LINE = {
  unit: 'deg',
  order: null,
  at: ALL_POSITIONS,
  margin: { kind: 'absolute', value: 2 },
  decimals: 1,
  change: true,
  needsTarget: false,
  curve: true,
} as const;

export const PLACE_QUANTITIES: readonly Quantity[] = [
  ...displacement('pelvis', 'pelvis', 'pelvis_centre', 'the midpoint of the hip joint centres'),
  ...displacement('thorax', 'chest', 'thorax_centre', 'the midpoint of mid(IJ, C7) and mid(PX, T8)'),
  ...displacement('head', 'head', 'head_centre', 'the mean of the ear points or of the head cluster'),
  {
    ...LINE,
    id: 'shoulder_line.tilt',
    label: 'shoulder line tilt',
    term: 'elevation of the line of shoulder centres',
    plus: 'lead shoulder higher',
    minus: 'trail shoulder higher',
    definition: 'Joint-centre line, lead to trail, to the horizontal (definitions 4).',
    reading: { kind: 'line-tilt', line: 'shoulder_line' },
    form: 'any',
    usesTarget: false,
  },
  {
    ...LINE,
    id: 'pelvis_line.tilt',
    label: 'pelvis line tilt',
    term: 'elevation of the line of hip centres',
    plus: 'lead hip higher',
    minus: 'trail hip higher',
    definition: 'Joint-centre line, lead to trail, to the horizontal (definitions 4).',
    reading: { kind: 'line-tilt', line: 'pelvis_line' },
    form: 'any',
    usesTarget: false,
  },
  {
    ...LINE,
    id: 'axis_tilt',
    label: 'axis tilt',
    term: 'pelvis centre to thorax centre seen from the front',
    plus: 'leans away from the target',
    minus: 'leans toward the target',
    definition:
      'Direction pelvis centre → thorax centre in the plane of the target line and the vertical (definitions 4).',
    reading: { kind: 'axis-tilt' },
    form: 'any',
    usesTarget: true,
  },
  {
    ...LINE,
    id: 'shoulder_line.turn',
    label: 'shoulder line turn',
    term: 'horizontal direction of the line of shoulder centres',
    plus: 'opened toward the target',
    minus: 'turned away from the target',
    definition:
      'Heading of the joint-centre line; given where no thorax frame can be built. Not the thorax turn (Wheat and others 2007).',
    reading: { kind: 'line-turn', line: 'shoulder_line' },
    form: 'reduced',
    usesTarget: true,
  },
  {
    ...LINE,
    id: 'pelvis_line.turn',
    label: 'pelvis line turn',
    term: 'horizontal direction of the line of hip centres',
    plus: 'opened toward the target',
    minus: 'turned away from the target',
    definition: 'Heading of the joint-centre line; given where no pelvis frame can be built.',
    reading: { kind: 'line-turn', line: 'pelvis_line' },
    form: 'reduced',
    usesTarget: true,
  },
  {
    ...LINE,
    id: 'trunk_axis.to_ball',
    label: 'trunk lean toward the ball',
    term: 'trunk axis in the plane across the target line',
    plus: 'leans toward the ball',
    minus: 'leans back',
    definition: 'Mid-hip → mid-shoulder, in the plane of X and Y of G; given where no thorax frame can be built.',
    reading: { kind: 'line-lean', line: 'trunk_axis', toward: 'ball' },
    form: 'reduced',
    usesTarget: true,
  },
  {
    ...LINE,
    id: 'trunk_axis.to_trail',
    label: 'trunk lean to the trail side',
    term: 'trunk axis in the plane of the target line',
    plus: 'leans away from the target',
    minus: 'leans toward the target',
    definition: 'Mid-hip → mid-shoulder, in the plane of Z and Y of G; given where no thorax frame can be built.',
    reading: { kind: 'line-lean', line: 'trunk_axis', toward: 'trail' },
    form: 'reduced',
    usesTarget: true,
  },
];
