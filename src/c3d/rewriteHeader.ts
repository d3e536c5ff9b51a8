/** The header of a rewritten file: the stored block in the new byte order, with the new counts and the events that stay. */
import { ByteReader } from './byteReader.ts';
import { Notes } from './diagnosticCodes.ts';
import { floatBytes, wordBytes } from './encode.ts';
import { readHeaderEvents, wordAt } from './header.ts';
import type { C3dHead, Processor } from './types.ts';

export interface HeaderPlan {
  readonly processor: Processor;
  readonly points: number;
  readonly analogPerFrame: number;
  readonly samplesPerFrame: number;
  readonly firstFrame: number;
  readonly frames: number;
  readonly scale: number;
  readonly dataBlock: number;
  readonly from: number;
  readonly to: number;
  /** Whether unused words, which may hold anything, are cleared. */
  readonly clear: boolean;
}

/** The 512 bytes and the header events left out. */
export function headerBytes(file: C3dHead, plan: HeaderPlan): { bytes: Uint8Array; leftOut: string[] } {
  const { processor } = plan;
  const old = file.header.bytes ?? new Uint8Array(512);
  const bytes = old.slice();
  const word = (n: number, value: number): void => bytes.set(wordBytes([value], processor), wordAt(n));
  const float = (at: number, value: number): void => bytes.set(floatBytes([value], processor), at);
  if (plan.clear) {
    bytes.fill(0, wordAt(13), wordAt(150));
    bytes.fill(0, wordAt(235));
  }
  bytes[0] = 2;
  bytes[1] = 0x50;
  word(2, plan.points);
  word(3, plan.analogPerFrame);
  word(4, Math.min(plan.firstFrame, 65535));
  word(5, Math.min(Math.max(plan.firstFrame + plan.frames - 1, 0), 65535));
  word(6, file.header.maxGap);
  float(wordAt(7), plan.scale);
  word(9, plan.dataBlock);
  word(10, plan.samplesPerFrame);
  float(wordAt(11), file.rate_Hz ?? file.header.rate_Hz);
  // The obsolete section of labels and ranges is not read, so nothing may point to it.
  word(148, 0);
  word(149, 0);
  const reader = new ByteReader(old, 0, file.processor, '', ['header']);
  for (const n of [147, 150, 152]) {
    reader.at = wordAt(n);
    word(n, reader.u16());
  }
  return { bytes, leftOut: headerEvents(file, plan, old, bytes) };
}

function headerEvents(file: C3dHead, plan: HeaderPlan, old: Uint8Array, bytes: Uint8Array): string[] {
  const stored = readHeaderEvents(new ByteReader(old, 0, file.processor, '', ['header']), new Notes('', false));
  const whole = plan.from === 0 && plan.to >= file.frames;
  const rate = file.rate_Hz;
  const leftOut: string[] = [];
  bytes.fill(0, wordAt(153), wordAt(198));
  bytes.fill(0, wordAt(199), wordAt(235));
  let count = 0;
  stored.forEach(({ label, time_s }, i) => {
    const frame = rate === null ? plan.from : Math.round(time_s * rate);
    if (!whole && !(frame >= plan.from && frame < plan.to)) {
      leftOut.push(`${label || 'event'} of the header`);
      return;
    }
    const time = whole || rate === null ? time_s : time_s - plan.from / rate;
    bytes.set(floatBytes([time], plan.processor), wordAt(153) + 4 * count);
    bytes[wordAt(189) + count] = old[wordAt(189) + i]!;
    bytes.set(old.subarray(wordAt(199) + 4 * i, wordAt(199) + 4 * i + 4), wordAt(199) + 4 * count);
    count += 1;
  });
  bytes.set(wordBytes([count], plan.processor), wordAt(151));
  return leftOut;
}
