/** The header: the first 512 bytes of the file. */
import type { ByteReader } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import { decodeText } from './text.ts';
import type { C3dHeader } from './types.ts';

export interface HeaderEvent {
  readonly label: string;
  readonly time_s: number;
  readonly offset: number;
}

/** Byte offset of a header word, numbered from 1 as the format does. */
export function wordAt(word: number): number {
  return 2 * (word - 1);
}

/** Words 1 to 12. Source: C3D user guide, header section; words read back from open files. */
export function readHeader(reader: ByteReader): C3dHeader {
  reader.at = 0;
  const parameterBlock = reader.u8();
  const word = (name: string): number => reader.within(name, () => reader.u16());
  reader.at = 0;
  const bytes = reader.bytes(Math.min(reader.length, 512)).slice();
  reader.at = 2;
  return {
    bytes,
    parameterBlock,
    points: word('points'),
    analogPerFrame: word('analog values per frame'),
    firstFrame: word('first frame'),
    lastFrame: word('last frame'),
    maxGap: word('maximum gap'),
    scale: reader.within('scale', () => reader.f32()),
    dataBlock: word('data block'),
    analogSamplesPerFrame: word('analog samples per frame'),
    rate_Hz: reader.within('rate', () => reader.f32()),
  };
}

/** Words 151, 153–188 and 199–234: at most 18 events, times from the first stored frame. */
export function readHeaderEvents(reader: ByteReader, notes: Notes): readonly HeaderEvent[] {
  reader.at = wordAt(151);
  let count = reader.u16();
  if (count > 18) {
    notes.add('header-events-too-many', `the header declares ${count} events`, wordAt(151));
    count = 18;
  }
  const out: HeaderEvent[] = [];
  for (let i = 0; i < count; i += 1) {
    const offset = wordAt(153) + 4 * i;
    reader.at = offset;
    const time_s = reader.f32();
    reader.at = wordAt(199) + 4 * i;
    out.push({ label: decodeText(reader.bytes(4)).text, time_s, offset });
  }
  return out;
}
