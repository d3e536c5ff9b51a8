/** Quantities whose curves the player's sheet draws, rows of three, and which are therefore tested as curves. */

/** Segments: pelvis and chest. */
export const FULL_CURVE_ROWS: readonly (readonly string[])[] = [
  ['pelvis.forward_bend', 'pelvis.side_bend', 'pelvis.turn'],
  ['thorax.forward_bend', 'thorax.side_bend', 'thorax.turn'],
];

/** Lines of joint centres, where there are no segments. */
export const REDUCED_CURVE_ROWS: readonly (readonly string[])[] = [
  ['trunk_axis.to_ball', 'trunk_axis.to_trail', 'pelvis_line.turn'],
  ['pelvis_line.tilt', 'shoulder_line.tilt', 'shoulder_line.turn'],
];
