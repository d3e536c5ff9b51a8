/** Swings and players of a day as threads tell of them: what is asked for, and what was made ready, as plain data. */
import { joinBytes } from '../base/joinBytes.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import type { PlayerOutput, PlayerPart } from '../pipeline/playerOutput.ts';
import type { OutputFile } from '../pipeline/renderReport.ts';
import type { SwingOutput, SwingOutputOptions } from '../pipeline/swingOutput.ts';
import { type ElementData, elementData, elementFrom } from '../report/drawing/element.ts';
import type { IndexPart } from '../report/indexPage.ts';
import type { RecordHandle } from './recordHandles.ts';

export interface SwingTask {
  readonly outcome: DayOutcome;
  readonly handles: readonly RecordHandle[];
  readonly options: SwingOutputOptions;
  /** Whether what is made of the swing at every frame is asked for. */
  readonly hasSeries: boolean;
}

export interface PlayerTask {
  readonly part: PlayerPart;
  readonly handles: readonly RecordHandle[];
}

/** A file of which all bytes are there. */
export interface ReadyFile extends OutputFile {
  readonly text: readonly [Uint8Array];
}

interface IndexData extends Omit<IndexPart, 'overview' | 'sections'> {
  readonly overview: readonly ElementData[];
  readonly sections: readonly ElementData[];
}

export interface SwingAnswer extends SwingOutput {
  readonly files: readonly ReadyFile[];
  /** One sentence each. */
  readonly notes: readonly string[];
}

export interface PlayerAnswer extends Omit<PlayerOutput, 'index'> {
  readonly files: readonly ReadyFile[];
  readonly index: readonly IndexData[];
}

/** All text of a file as UTF-8, in memory of its own, so that it can be moved to another thread. */
export function readyFile({ path, text }: OutputFile): ReadyFile {
  return {
    path,
    text: [joinBytes([...text].map((piece) => (typeof piece === 'string' ? encoder.encode(piece) : piece)))],
  };
}

const encoder = new TextEncoder();

export function playerAnswer({ files, index, ...rest }: PlayerOutput): PlayerAnswer {
  return {
    ...rest,
    files: files.map(readyFile),
    index: index.map((part) => ({
      ...part,
      overview: part.overview.map(elementData),
      sections: part.sections.map(elementData),
    })),
  };
}

export function playerOutputFrom({ index, ...rest }: PlayerAnswer): PlayerOutput {
  return {
    ...rest,
    index: index.map((part) => ({
      ...part,
      overview: part.overview.map(elementFrom),
      sections: part.sections.map(elementFrom),
    })),
  };
}
