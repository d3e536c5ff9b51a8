/** Series of numbers as short text: 16-bit signed numbers, low byte first, in base64. */

/** Stands for a missing number; none that is known comes to it. */
const MISSING = -32768;
const MOST = 32767;

/** Numbers rounded to whole steps, `stepsPerUnit` of them a unit. What is not finite or beyond 32,767 steps is missing. */
export function pack16(values: Iterable<number>, stepsPerUnit: number | ((index: number) => number)): string {
  let bytes = '';
  let i = 0;
  for (const value of values) {
    const steps = Math.round(value * (typeof stepsPerUnit === 'number' ? stepsPerUnit : stepsPerUnit(i)));
    const stored = Math.abs(steps) <= MOST ? steps : MISSING;
    bytes += String.fromCharCode(stored & 0xff, (stored >> 8) & 0xff);
    i += 1;
  }
  return btoa(bytes);
}

/** The numbers of `pack16`, NaN where missing. Throws where the text is no base64. */
export function unpack16(text: string, stepsPerUnit: number | ((index: number) => number)): Float64Array {
  const bytes = atob(text);
  const values = new Float64Array(bytes.length >> 1);
  for (let i = 0; i < values.length; i++) {
    const stored = ((bytes.charCodeAt(2 * i) | (bytes.charCodeAt(2 * i + 1) << 8)) << 16) >> 16;
    const steps = typeof stepsPerUnit === 'number' ? stepsPerUnit : stepsPerUnit(i);
    values[i] = stored === MISSING ? Number.NaN : stored / steps;
  }
  return values;
}
