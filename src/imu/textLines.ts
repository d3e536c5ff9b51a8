/** Lines and cells of the beginning of a table, as text: for finding its form, not for reading its numbers. */

import { fail } from './diagnosticCodes.ts';
import { fileOffset, sliceText, type TextBytes } from './textBytes.ts';

export interface Line {
  readonly from: number;
  /** First byte of the line end. */
  readonly to: number;
  /** Counted from 1. */
  readonly number: number;
  readonly text: string;
}

/** Longer lines are no rows of sensors. */
const LONGEST_LINE = 1_000_000;

/** First byte of the line end at or after `at`. */
export function lineEnd(bytes: Uint8Array, at: number): number {
  let end = at;
  while (end < bytes.length && bytes[end] !== 10 && bytes[end] !== 13) end += 1;
  return end;
}

/** First byte after the line end at `at`; carriage return and line feed together are one. */
export function afterLineEnd(bytes: Uint8Array, at: number): number {
  return bytes[at] === 13 && bytes[at + 1] === 10 ? at + 2 : at + 1;
}

export function isComment(text: string): boolean {
  return text.trimStart().startsWith('#');
}

/** Lines that are not blank up to the `count`-th that is no comment. @throws FormatError on a line of more than a million bytes */
export function headLines(text: TextBytes, count: number, file: string): Line[] {
  const { bytes } = text;
  const out: Line[] = [];
  let number = 0;
  let plain = 0;
  for (let at = 0; at < bytes.length && plain < count; ) {
    const to = lineEnd(bytes, at);
    number += 1;
    if (to - at > LONGEST_LINE) {
      const found = `line ${number} has ${to - at} bytes`;
      fail(file, 'table-not-text', found, `at most ${LONGEST_LINE}`, [`line ${number}`], fileOffset(text, at));
    }
    const line = sliceText(bytes, at, to);
    if (line.trim() !== '') {
      out.push({ from: at, to, number, text: line });
      if (!isComment(line)) plain += 1;
    }
    at = afterLineEnd(bytes, to);
  }
  return out;
}

/** Text of lines from evenly spread places behind `from`, without comments. */
export function spreadLines(bytes: Uint8Array, from: number, count: number): string[] {
  const out: string[] = [];
  const step = (bytes.length - from) / count;
  let last = from;
  for (let i = 0; i < count; i++) {
    let at = lineEnd(bytes, Math.max(last, Math.floor(from + i * step)));
    at = afterLineEnd(bytes, at);
    if (at >= bytes.length) break;
    const to = lineEnd(bytes, at);
    if (to - at <= LONGEST_LINE) {
      const text = sliceText(bytes, at, to);
      if (text.trim() !== '' && !isComment(text)) out.push(text);
    }
    last = to;
  }
  return out;
}

export const TAB = 9;
export const SEMICOLON = 59;
export const COMMA = 44;
/** Runs of blanks and tabs. */
export const BLANKS = 32;

/** Trimmed cells, quotes taken off. A delimiter at the end makes an empty last cell. */
export function splitCells(line: string, delimiter: number): string[] {
  const cells: string[] = [];
  let at = 0;
  const n = line.length;
  const isDelimiter = (i: number): boolean => {
    const code = line.charCodeAt(i);
    return delimiter === BLANKS ? code === 32 || code === 9 : code === delimiter;
  };
  if (delimiter === BLANKS) while (at < n && isDelimiter(at)) at += 1;
  for (;;) {
    let start = at;
    while (start < n && line[start] === ' ') start += 1;
    let text = '';
    let to = at;
    if (line[start] === '"') {
      to = start + 1;
      for (; to < n; to++) {
        if (line[to] === '"') {
          if (line[to + 1] !== '"') break;
          to += 1;
        }
        text += line[to];
      }
      while (to < n && !isDelimiter(to)) to += 1;
    } else {
      while (to < n && !isDelimiter(to)) to += 1;
      text = line.slice(at, to);
    }
    cells.push(text.trim());
    if (to >= n) return cells;
    at = to + 1;
    if (delimiter === BLANKS) {
      while (at < n && isDelimiter(at)) at += 1;
      if (at >= n) return cells;
    }
  }
}

const NUMBER = /^[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?$/;
const COMMA_NUMBER = /^[+-]?(?:[0-9]+(?:,[0-9]*)?|,[0-9]+)(?:[eE][+-]?[0-9]+)?$/;

/** Whether a trimmed cell is a number with this decimal mark. */
export function isNumberText(text: string, decimal: number): boolean {
  return (decimal === COMMA ? COMMA_NUMBER : NUMBER).test(text);
}

/** Cells that say that there is no value. */
export function isMissingText(text: string): boolean {
  return text === '' || /^(?:[+-]?nan|n\/?a|null)$/i.test(text);
}
