import type { ClubFigureId } from './delivery.ts';
import { isLimb } from './motion.ts';
import type { Reading } from './quantity.ts';

const TOLD_OF_CLUB: ReadonlySet<ClubFigureId> = new Set(['head-speed', 'attack', 'path']);

/**
 * What a quantity is about. 'limbs': arms, legs, forces and the speed of the whole body, which go with the length of the club and with the
 * trunk that carries them: screened in families of their own (docs/decisions/0009), counted on the sheet and told in the details.
 * 'order': the order of motion, which is described and not judged (docs/decisions/0010).
 * 'club': how the club meets the ball, which goes with its loft, lie and length: screened with the limbs, told by its own picture.
 * 'again': a share that says once more what a row in millimetres says. 'trunk': all else, pelvis, chest, head, lines, displacements, set-up,
 * head speed, attack, path and tempo.
 */
export function topicOf(
  reading: Reading | { readonly kind: 'column' },
): 'trunk' | 'limbs' | 'club' | 'order' | 'again' {
  switch (reading.kind) {
    case 'club':
      return TOLD_OF_CLUB.has(reading.figure) ? 'trunk' : 'club';
    case 'joint':
      return isLimb(reading.proximal) || isLimb(reading.distal) ? 'limbs' : 'trunk';
    case 'bend':
    case 'direction-in':
    case 'point-speed':
    case 'force':
      return 'limbs';
    case 'order-of-motion':
    case 'order-gain':
      return 'order';
    case 'ball-place':
      return reading.as === 'share' ? 'again' : 'trunk';
    case 'displacement':
      return reading.over === 'height' ? 'again' : 'trunk';
    default:
      return 'trunk';
  }
}
