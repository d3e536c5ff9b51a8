/** The head frame zeroed at P1, where no static trial does it: head and neck angles are then changes since P1. */

import { type Avail, absent, present } from '../../model/availability.ts';
import { mul3, mulT3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { MotionView } from './motionView.ts';

/** Two views of the same samples: `head` whose head is the player frame at P1, `neck` whose head is the thorax at P1. */
export interface ZeroedHead {
  readonly head: MotionView;
  readonly neck: MotionView;
}

/** `p1` is the sample of P1 or null: then the head is absent in both views. */
export function headZeroedAtP1(view: MotionView, p1: number | null, ws: Workspace): ZeroedHead {
  const technical = view.pose('head');
  const thorax = view.pose('thorax');
  const missing = absent<never>('head-not-zeroed', 'a static trial of the player, or P1, to zero the head frame');
  const withHead = (head: Avail<Float64Array>): MotionView => ({
    ...view,
    pose: (segment) => (segment === 'head' ? head : view.pose(segment)),
  });
  if (!technical.ok) return { head: view, neck: view };
  if (p1 === null || Number.isNaN(technical.value[9 * p1])) {
    return { head: withHead(missing), neck: withHead(missing) };
  }
  const turned = (zero: Float64Array): Avail<Float64Array> => {
    const out = ws.float64(9 * view.samples);
    for (let i = 0; i < view.samples; i++) mul3(technical.value, 9 * i, zero, 0, out, 9 * i);
    return present(out);
  };
  const identity = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
  const toPlayer = new Float64Array(9);
  mulT3(technical.value, 9 * p1, identity, 0, toPlayer, 0);
  if (!thorax.ok || Number.isNaN(thorax.value[9 * p1])) {
    return { head: withHead(turned(toPlayer)), neck: withHead(thorax.ok ? missing : thorax) };
  }
  const toThorax = new Float64Array(9);
  mulT3(technical.value, 9 * p1, thorax.value, 9 * p1, toThorax, 0);
  return { head: withHead(turned(toPlayer)), neck: withHead(turned(toThorax)) };
}
