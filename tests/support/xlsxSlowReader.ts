/** A plain reader of workbooks for tests: archive by the library, XML by jsdom, cells by the words of ECMA-376 part 1, 18.3 and 18.4. */
import { unzipSync } from 'fflate';
import { JSDOM } from 'jsdom';

export interface ReadSheet {
  readonly name: string;
  /** Rows from the first; null where there is no cell. */
  readonly rows: readonly (readonly (string | number | null)[])[];
  /** Rows that stay in view. */
  readonly frozenRows: number;
  readonly formulas: number;
}

export function readWorkbook(bytes: Uint8Array): readonly ReadSheet[] {
  const files = unzipSync(bytes);
  const xml = (path: string): Document => {
    const text = new TextDecoder().decode(files[path]!);
    return new new JSDOM('').window.DOMParser().parseFromString(text, 'application/xml');
  };
  const all = (node: ParentNode, name: string): Element[] => [...node.querySelectorAll(name)];
  const shared = files['xl/sharedStrings.xml'] === undefined ? [] : all(xml('xl/sharedStrings.xml'), 'si');
  const strings = shared.map((item) => unescaped(all(item, 't').map(textOf).join('')));
  const targets = new Map(
    all(xml('xl/_rels/workbook.xml.rels'), 'Relationship').map((one) => [
      one.getAttribute('Id'),
      one.getAttribute('Target'),
    ]),
  );
  return all(xml('xl/workbook.xml'), 'sheet').map((sheet) => {
    const part = xml(`xl/${targets.get(sheet.getAttribute('r:id'))!.replace(/^\/?(xl\/)?/, '')}`);
    const rows = all(part, 'row').map((row) => {
      const cells: (string | number | null)[] = [];
      for (const cell of all(row, 'c')) cells[columnOf(cell.getAttribute('r')!)] = cellOf(cell, strings);
      return Array.from(cells, (value) => value ?? null);
    });
    const frozenRows = Number(part.querySelector('pane[state="frozen"]')?.getAttribute('ySplit') ?? 0);
    return { name: sheet.getAttribute('name')!, rows, frozenRows, formulas: all(part, 'f').length };
  });
}

const textOf = (node: Element): string => node.textContent ?? '';

function cellOf(cell: Element, strings: readonly string[]): string | number | null {
  const value = cell.querySelector('v');
  if (cell.getAttribute('t') === 'inlineStr') return unescaped(textOf(cell));
  if (value === null) return null;
  if (cell.getAttribute('t') === 's') return strings[Number(textOf(value))]!;
  return cell.getAttribute('t') === 'str' ? unescaped(textOf(value)) : Number(textOf(value));
}

/** 'AB12' → 27. */
function columnOf(reference: string): number {
  let column = 0;
  for (const letter of reference.replace(/\d/g, '')) column = 26 * column + letter.charCodeAt(0) - 64;
  return column - 1;
}

/** Characters written as _xHHHH_ (22.9.2.19). */
function unescaped(text: string): string {
  return text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));
}
