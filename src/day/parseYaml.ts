import { LineCounter, parseDocument } from 'yaml';
import { type DayNode, type LocatedProblem, markUnknowns, nodesOf } from './nodes.ts';

/** Text to nodes whose root is a map; null where it is none, or no YAML at all. `kind`: 'day file', in sentences. */
export function parseYaml(text: string, file: string, kind: string, problems: LocatedProblem[]): DayNode | null {
  const lines = new LineCounter();
  const document = parseDocument(markUnknowns(text.replace(/^\uFEFF/, '')), {
    lineCounter: lines,
    prettyErrors: false,
    strict: true,
  });
  for (const error of document.errors) {
    const at = lines.linePos(error.pos[0]);
    const duplicate = error.code === 'DUPLICATE_KEY';
    const message = duplicate ? 'this key stands there twice' : `this is not YAML: ${error.message}`;
    problems.push({ file, line: at.line, column: at.col, code: duplicate ? 'duplicate-key' : 'not-yaml', message });
  }
  if (document.errors.some((error) => error.code !== 'DUPLICATE_KEY')) return null;
  if (document.contents === null) {
    problems.push({
      file,
      line: 1,
      column: 1,
      code: 'empty-file',
      message: 'the file is empty; begin it with swingbasis: 1',
    });
    return null;
  }
  try {
    const node = nodesOf(document, lines, file);
    if (node.kind === 'map') return node;
    const message = `a ${kind} consists of key: value lines; begin it with swingbasis: 1`;
    problems.push({ ...node.place, code: 'bad-value', message });
  } catch (error) {
    if (!(error instanceof RangeError || error instanceof ReferenceError)) throw error;
    problems.push({ file, line: 1, column: 1, code: 'not-yaml', message: error.message });
  }
  return null;
}
