/** From the player frame to the axes of a file: the one place where handedness and the lab's axes enter. */
import { add, cross, scale, type Vec } from './geometry.ts';

export type Axis = '+X' | '-X' | '+Y' | '-Y' | '+Z' | '-Z';

export interface Lab {
  readonly up: Axis;
  readonly target: Axis;
  /** The file's third axis points the wrong way: a left-handed file frame. */
  readonly mirrored: boolean;
}

export const RIGHT_HANDED_LAB: Lab = { up: '+Z', target: '+X', mirrored: false };

function along(axis: Axis): Vec {
  const k = axis.startsWith('-') ? -1 : 1;
  return [axis.endsWith('X') ? k : 0, axis.endsWith('Y') ? k : 0, axis.endsWith('Z') ? k : 0];
}

/**
 * Place in G (X toward the ball, Y up, Z to the player's right) → place in the file. A right-hander's target lies toward −Z
 * of G. A left-hander is a right-hander seen in a mirror that stands along the target line.
 */
export function inFile(p: Vec, hand: 'left' | 'right', lab: Lab): Vec {
  const towardTarget = -p[2];
  // The way a right-hander faces, seen with the target ahead and up above, is to the right of the target line: target × up.
  const facing = hand === 'right' ? p[0] : -p[0];
  const target = along(lab.target);
  const up = along(lab.up);
  const third = scale(cross(target, up), lab.mirrored ? -1 : 1);
  return add(add(scale(target, towardTarget), scale(up, p[1])), scale(third, facing));
}
