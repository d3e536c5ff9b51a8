/** Delimited text as spreadsheets and programs write it: comma, semicolon or tab, any common encoding, quoted fields. */
import { parse } from 'csv-parse/sync';
import { decodeText } from './decodeText.ts';

const SEPARATORS = [
  { character: ',', name: 'commas' },
  { character: ';', name: 'semicolons' },
  { character: '\t', name: 'tabs' },
] as const;

export interface DelimitedRow {
  /** 1-based, of the row's end. */
  readonly line: number;
  readonly fields: readonly string[];
}

export type DelimitedText =
  | {
      readonly ok: true;
      /** Trimmed; null where the text holds no line. */
      readonly header: { readonly line: number; readonly names: readonly string[] } | null;
      /** Without rows whose fields are all empty. */
      readonly rows: readonly DelimitedRow[];
      /** 'commas' */
      readonly separator: string;
      /** 'UTF-8, commas, CRLF line ends' */
      readonly recognised: string;
    }
  | { readonly ok: false; readonly line: number; readonly message: string };

/** Rows of a delimited text; the separator is that under which most of the known names are columns. */
export function readDelimited(bytes: Uint8Array, known: readonly string[]): DelimitedText {
  const decoded = decodeText(bytes);
  const sep = /^sep=(.)\r?\n/i.exec(decoded.text);
  const text = sep === null ? decoded.text : decoded.text.slice(sep[0].length);
  const firstLine = sep === null ? 0 : 1;
  const headerLine = text.split(/\r\n|\r|\n/, 64).find((line) => line.trim() !== '') ?? '';
  const separator = recogniseSeparator(headerLine, known);
  let parsed: readonly { readonly record: readonly string[]; readonly info: { readonly lines: number } }[];
  try {
    parsed = parse(text, {
      delimiter: separator.character,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      relax_quotes: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      trim: separator.character !== '\t',
    }) as unknown as typeof parsed;
  } catch (error) {
    const lines = (error as { lines?: number }).lines ?? 1;
    return { ok: false, line: lines + firstLine, message: (error as Error).message };
  }
  const rows = parsed.map(({ record, info }) => ({ line: info.lines + firstLine, fields: record }));
  const ends = text.includes('\r\n') ? 'CRLF' : text.includes('\n') ? 'LF' : text.includes('\r') ? 'CR' : 'no';
  const [head, ...rest] = rows;
  return {
    ok: true,
    header: head === undefined ? null : { line: head.line, names: head.fields.map((name) => name.trim()) },
    rows: rest.filter(({ fields }) => fields.some((field) => field.trim() !== '')),
    separator: separator.name,
    recognised: `${decoded.encoding}, ${separator.name}, ${ends} line ends`,
  };
}

/** The separator under which most fields of the header are known; of equally good ones the most frequent. */
function recogniseSeparator(header: string, known: readonly string[]): (typeof SEPARATORS)[number] {
  const scored = SEPARATORS.map((separator) => {
    const fields = header.split(separator.character).map((field) => field.trim().replace(/^"(.*)"$/, '$1'));
    return { separator, known: fields.filter((field) => known.includes(field)).length, fields: fields.length };
  });
  scored.sort((a, b) => b.known - a.known || b.fields - a.fields);
  return scored[0]!.separator;
}
