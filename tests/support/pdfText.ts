import { inflateSync } from 'node:zlib';

/**
 * The text of a PDF as a browser writes it, page by page, in the order it is painted: enough of ISO 32000-1 for that and no more
 * (7.3.10 indirect objects, 7.7.3 page tree, 9.4.3 showing text, 9.10.3 ToUnicode, 14.9.4 replacement text).
 */
export interface PdfPage {
  readonly width_pt: number;
  readonly height_pt: number;
  /** Without white space: where words end is a matter of place, not of characters. */
  readonly text: string;
}

type Objects = ReadonlyMap<string, string>;

/** Bodies of the objects by number, one character a byte. */
function objectsOf(pdf: Uint8Array): Objects {
  const text = Buffer.from(pdf).toString('latin1');
  return new Map([...text.matchAll(/(?:^|\s)(\d+) 0 obj\b([\s\S]*?)\bendobj/g)].map((found) => [found[1]!, found[2]!]));
}

function streamOf(body: string): string {
  const found = /stream\r?\n([\s\S]*?)\r?\nendstream/.exec(body);
  if (found === null) return '';
  const bytes = Buffer.from(found[1]!, 'latin1');
  return body.includes('/FlateDecode') ? inflateSync(bytes).toString('latin1') : found[1]!;
}

/** The object that an entry refers to, or the entry itself where it stands in place. */
function entry(objects: Objects, body: string, name: string): string {
  const reference = new RegExp(`/${name}\\s+(\\d+) 0 R`).exec(body);
  if (reference !== null) return objects.get(reference[1]!) ?? '';
  const at = body.search(new RegExp(`/${name}\\b`));
  return at < 0 ? '' : body.slice(at);
}

const unicodeOf = (hex: string): string => Buffer.from(hex, 'hex').swap16().toString('utf16le');

/** Characters by glyph code. */
function glyphsOf(objects: Objects, font: string): ReadonlyMap<number, string> {
  const glyphs = new Map<number, string>();
  const map = streamOf(entry(objects, font, 'ToUnicode'));
  for (const [, block] of map.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
    for (const [, code, to] of block!.matchAll(/<(\w+)>\s*<(\w+)>/g))
      glyphs.set(Number.parseInt(code!, 16), unicodeOf(to!));
  }
  for (const [, block] of map.matchAll(/beginbfrange([\s\S]*?)endbfrange/g)) {
    for (const [, from, to, first] of block!.matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g)) {
      const start = Number.parseInt(from!, 16);
      for (let code = start; code <= Number.parseInt(to!, 16); code++) {
        glyphs.set(code, String.fromCodePoint(unicodeOf(first!).codePointAt(0)! + code - start));
      }
    }
  }
  return glyphs;
}

function shownText(objects: Objects, resources: string, content: string): string {
  const fonts = new Map(
    [...entry(objects, resources, 'Font').matchAll(/\/(F\d+)\s+(\d+) 0 R/g)].map((found) => [
      found[1]!,
      glyphsOf(objects, objects.get(found[2]!) ?? ''),
    ]),
  );
  let glyphs: ReadonlyMap<number, string> = new Map();
  let text = '';
  let isReplaced = false;
  const words = /\/(F\d+)\s+[\d.]+\s+Tf|\/ActualText\s*<(?:FEFF)?([0-9A-Fa-f]*)>|\b(EMC)\b|<([0-9A-Fa-f]+)>/g;
  for (const [, font, actual, end, hex] of content.matchAll(words)) {
    if (font !== undefined) glyphs = fonts.get(font) ?? new Map();
    else if (actual !== undefined) {
      text += unicodeOf(actual);
      isReplaced = true;
    } else if (end !== undefined) isReplaced = false;
    else if (!isReplaced)
      for (const code of hex!.match(/.{4}/g) ?? []) text += glyphs.get(Number.parseInt(code, 16)) ?? '\ufffd';
  }
  return text;
}

export function pdfPages(pdf: Uint8Array): readonly PdfPage[] {
  const objects = objectsOf(pdf);
  return [...objects.values()]
    .filter((body) => /\/Type\s*\/Page\b/.test(body))
    .map((body) => {
      const box = /\/MediaBox\s*\[([^\]]*)\]/.exec(body)![1]!.trim().split(/\s+/).map(Number);
      const text = shownText(objects, entry(objects, body, 'Resources'), streamOf(entry(objects, body, 'Contents')));
      return { width_pt: box[2]! - box[0]!, height_pt: box[3]! - box[1]!, text: squeezed(text) };
    });
}

/** Without white space, ligatures as letters. */
export function squeezed(text: string): string {
  return text.normalize('NFKC').replace(/\s+/g, '');
}
