/** Series of numbers as short text: 16-bit signed numbers, low byte first, in base64. */

/** Stands for a missing number; none that is known comes to it. */
const MISSING = -32768;
const MOST = 32767;
/** Bytes that are made a text at once: as many arguments as any engine takes. */
const CHUNK = 1024;

/** Numbers rounded to whole steps, `stepsPerUnit` of them a unit. What is not finite or beyond 32,767 steps is missing. */
export function pack16(values: Iterable<number>, stepsPerUnit: number | ((index: number) => number)): string {
  const numbers = values instanceof Float64Array ? values : Float64Array.from(values);
  const bytes = new Uint8Array(2 * numbers.length);
  for (let i = 0; i < numbers.length; i++) {
    const steps = Math.round(numbers[i]! * (typeof stepsPerUnit === 'number' ? stepsPerUnit : stepsPerUnit(i)));
    const stored = Math.abs(steps) <= MOST ? steps : MISSING;
    bytes[2 * i] = stored & 0xff;
    bytes[2 * i + 1] = (stored >> 8) & 0xff;
  }
  let text = '';
  for (let at = 0; at < bytes.length; at += CHUNK) {
    // applied, since spreading walks an iterator: four times as long
    text += String.fromCharCode.apply(null, bytes.subarray(at, at + CHUNK) as unknown as number[]);
  }
  return btoa(text);
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
