/** Puts the centre of mass of the whole body among the points of a motion. */

import type { Outcome } from '../base/diagnostics.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { Motion } from '../model/motion.ts';
import type { PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { bodyCentre } from './bodyCentre.ts';

/** The motion with `body_centre` (absent with its reason where the body is not whole enough), the rule behind it and the player's mass. */
export function addBodyCentre(motion: Motion, trial: PlayerTrial, player: PlayerPlan, ws: Workspace): Outcome<Motion> {
  const { value: centre, diagnostics } = bodyCentre(trial, motion.points, player.sex, ws);
  const points = new Map(motion.points);
  points.set('body_centre', centre.ok ? { ok: true, value: centre.value.track } : centre);
  const rule = centre.ok ? { massRule: centre.value.rule } : {};
  return { value: { ...motion, points, mass_kg: player.mass_kg, ...rule }, diagnostics };
}
