/** Frames that follow one another, as stretches with first and last frame. */

export type Frames = readonly [number, number];

/** Stretches of the frames for which `is` holds; those with at most `bridge` frames between them are one. */
export function stretchesOf(is: (frame: number) => boolean, from: number, to: number, bridge: number): Frames[] {
  const out: [number, number][] = [];
  for (let f = from; f < to; f++) {
    if (!is(f)) continue;
    const last = out.at(-1);
    if (last !== undefined && f - last[1] <= bridge + 1) last[1] = f;
    else out.push([f, f]);
  }
  return out;
}

/** '12–40', '7'; at most four, then how many more. */
export function framesText(stretches: readonly Frames[]): string {
  const shown = stretches.slice(0, 4).map(([a, b]) => (a === b ? `${a}` : `${a}–${b}`));
  const more = stretches.length - shown.length;
  return `frames ${shown.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}
