import type { Point, Points } from '../../drawing/bodyLines.ts';

/** Where the figure is seen from. Radians: `turn` 0 from the front, a quarter turn along the target line; `height` 0 level, a quarter turn from above. */
export interface Camera {
  readonly turn: number;
  readonly height: number;
}

const QUARTER = Math.PI / 2;

export const CAMERAS: Readonly<Record<'front' | 'line' | 'above', Camera>> = {
  front: { turn: 0, height: 0 },
  line: { turn: QUARTER, height: 0 },
  above: { turn: 0, height: QUARTER },
};

/** Turned further, from a little below the level to straight above. */
export function turned({ turn, height }: Camera, by: Camera): Camera {
  return { turn: turn + by.turn, height: Math.min(QUARTER, Math.max(-0.2, height + by.height)) };
}

/** Metres in G to metres on the screen: x to the right, y up, without perspective. */
export type Lens = (point: Point) => readonly [x: number, y: number];

/** A left-hander's places are reflected in G; the screen's x reflects them back. */
export function lensOf({ turn, height }: Camera, hand: 'left' | 'right'): Lens {
  const [s, c] = [Math.sin(turn), Math.cos(turn)];
  const [sh, ch] = [Math.sin(height), Math.cos(height)];
  const side = hand === 'right' ? 1 : -1;
  return ([x, y, z]) => {
    const toViewer = c * x + s * z;
    return [side * (s * x - c * z), ch * y - sh * toViewer];
  };
}

/** Rectangle on the screen, metres. */
export interface Extent {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** What holds all figures of a film with `pad` around them; null where there is no place at all. */
export function extentOf(figures: Iterable<Points>, lens: Lens, pad: number): Extent | null {
  let [left, bottom] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  let [right, top] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const points of figures) {
    for (const point of Object.values(points)) {
      const [x, y] = lens(point);
      left = Math.min(left, x);
      right = Math.max(right, x);
      bottom = Math.min(bottom, y);
      top = Math.max(top, y);
    }
  }
  return left > right ? null : { left: left - pad, right: right + pad, bottom: bottom - pad, top: top + pad };
}
