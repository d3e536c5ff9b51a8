import { axisVector } from './detectFacts.ts';
import type { SettledFacts } from './settleFacts.ts';

type V = readonly [number, number, number];

/**
 * Axes of the lab frame L as vectors in the file's axes: X toward the target, Y up, Z = X × Y in a right-handed frame. A left-handed file
 * frame and a left-handed player each reverse Z (definitions 1): the one reflection of places and forces; names are exchanged elsewhere.
 */
export function labAxes({ facts, targetDirection: t }: SettledFacts): readonly [V, V, V] {
  const u = axisVector(facts.up.value);
  const reverse = facts.mirrored.value !== (facts.hand.value === 'left') ? -1 : 1;
  return [
    t,
    u,
    [
      reverse * (t[1] * u[2] - t[2] * u[1]),
      reverse * (t[2] * u[0] - t[0] * u[2]),
      reverse * (t[0] * u[1] - t[1] * u[0]),
    ],
  ];
}
