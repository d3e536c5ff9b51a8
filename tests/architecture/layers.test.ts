import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const ALL_PURE = [
  'base',
  'numeric',
  'c3d',
  'imu',
  'model',
  'day',
  'intake',
  'stages',
  'compare',
  'report',
  'tables',
  'pipeline',
];
const ALL_PURE_AND_DISK = [...ALL_PURE, 'disk', 'node:'];

/** The layer table of DEVELOPERS.md. A layer may import itself and what stands beside it; type-only imports count. */
const LAYERS: Readonly<Record<string, readonly string[]>> = {
  base: [],
  numeric: ['base'],
  c3d: ['base', 'numeric'],
  imu: ['base', 'numeric'],
  model: ['base', 'numeric', 'npm:zod'],
  day: ['base', 'model', 'npm:yaml', 'npm:zod', 'npm:csv-parse'],
  intake: ['base', 'numeric', 'c3d', 'imu', 'model'],
  stages: ['base', 'numeric', 'model'],
  compare: ['base', 'numeric', 'model'],
  report: ['base', 'model', 'npm:d3-'],
  tables: ['base', 'model', 'c3d', 'imu', 'npm:fflate', 'npm:hyparquet-writer', 'npm:write-excel-file'],
  pipeline: ['base', 'numeric', 'c3d', 'imu', 'model', 'day', 'intake', 'stages', 'compare', 'report', 'tables'],
  disk: ALL_PURE.concat('node:'),
  batch: ALL_PURE_AND_DISK.concat('npm:piscina'),
  archive: ALL_PURE_AND_DISK.concat('npm:@duckdb/node-api'),
  print: ALL_PURE_AND_DISK.concat('npm:playwright-core'),
  cli: [
    'base',
    'model',
    'c3d',
    'day',
    'report',
    'tables',
    'pipeline',
    'disk',
    'batch',
    'archive',
    'print',
    'node:',
    'npm:commander',
    'npm:cli-progress',
  ],
};

const ROOT = resolve(import.meta.dirname, '../..');
const SRC = join(ROOT, 'src');

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true })
    .flatMap((entry) => {
      const path = join(folder, entry.name);
      return entry.isDirectory() ? filesUnder(path) : entry.name.endsWith('.ts') ? [path] : [];
    })
    .sort();
}

interface Import {
  readonly file: string;
  readonly to: string;
}

/** Every module named in an import, export … from, or import() of a file; resolved to 'layer/file', 'node:x' or 'npm:x'. */
function importsOf(path: string): Import[] {
  const source = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.ES2023, true);
  const found: Import[] = [];
  const add = (specifier: string): void => {
    const to = specifier.startsWith('.')
      ? relative(SRC, resolve(dirname(path), specifier)).replaceAll('\\', '/')
      : specifier.startsWith('node:')
        ? specifier
        : `npm:${specifier}`;
    found.push({ file: relative(SRC, path).replaceAll('\\', '/'), to });
  };
  const visit = (node: ts.Node): void => {
    if (
      (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) &&
      node.moduleSpecifier &&
      ts.isStringLiteral(node.moduleSpecifier)
    ) {
      add(node.moduleSpecifier.text);
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const argument = node.arguments[0];
      if (argument && ts.isStringLiteral(argument)) add(argument.text);
    } else if (
      ts.isImportTypeNode(node) &&
      ts.isLiteralTypeNode(node.argument) &&
      ts.isStringLiteral(node.argument.literal)
    ) {
      add(node.argument.literal.text);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const layerOf = (path: string): string => path.split('/')[0]!;
const FILES = filesUnder(SRC);
const IMPORTS = FILES.flatMap(importsOf);

describe('data flows one way', () => {
  it('reads a real number of files and imports', () => {
    expect(FILES.length).toBeGreaterThan(60);
    expect(IMPORTS.length).toBeGreaterThan(150);
  });

  it('knows every folder of src', () => {
    const folders = new Set(
      FILES.map((path) => relative(SRC, path).replaceAll('\\', '/'))
        .filter((path) => path.includes('/'))
        .map(layerOf),
    );
    expect([...folders].filter((folder) => !(folder in LAYERS))).toEqual([]);
  });

  it('no file imports what its layer may not', () => {
    const broken = IMPORTS.filter(({ file, to }) => {
      if (!file.includes('/')) return false; // src/index.ts, the public entry
      const layer = layerOf(file);
      if (!to.includes(':') && layerOf(to) === layer) return false;
      return !LAYERS[layer]!.some((allowed) =>
        allowed.includes(':') ? to.startsWith(allowed) : layerOf(to) === allowed,
      );
    });
    expect(broken).toEqual([]);
  });

  it('a stage imports no other stage: files at the top of src/stages meet only in the pipeline', () => {
    const stages = new Set(
      FILES.map((path) => relative(SRC, path).replaceAll('\\', '/')).filter((path) => /^stages\/[^/]+\.ts$/.test(path)),
    );
    const runs = (path: string): boolean =>
      /export function \w+\([^)]*\bws: Workspace\b/s.test(readFileSync(join(SRC, path), 'utf8'));
    const broken = IMPORTS.filter(({ file, to }) => stages.has(file) && stages.has(to) && runs(file) && runs(to));
    expect(broken).toEqual([]);
  });

  it('a report is made of elements of its own: no document object model is loaded', () => {
    expect(IMPORTS.filter(({ to }) => /^npm:(jsdom|linkedom|happy-dom)/.test(to))).toEqual([]);
  });

  it('the sample generator imports nothing of the program but the C3D writer', () => {
    const generator = filesUnder(join(ROOT, 'samples/generator'));
    expect(generator.length).toBeGreaterThan(3);
    const fromSrc = generator
      .flatMap(importsOf)
      .map(({ to }) => to)
      .filter((to) => !to.includes(':') && !to.startsWith('../samples'));
    expect([...new Set(fromSrc)]).toEqual(['c3d/writeC3d.ts']);
  });
});

describe('same input, same bytes', () => {
  /** Every identifier, property access and operator of a file as text; comments and strings may name what code must not use. */
  function code(path: string): string {
    const source = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.ES2023, true);
    const parts: string[] = [];
    const visit = (node: ts.Node): void => {
      if (ts.isPropertyAccessExpression(node)) parts.push(node.getText(source).replace(/\s+/g, ''));
      else if (ts.isIdentifier(node)) parts.push(node.text);
      else if (
        node.kind === ts.SyntaxKind.AsteriskAsteriskToken ||
        node.kind === ts.SyntaxKind.AsteriskAsteriskEqualsToken
      )
        parts.push('**');
      ts.forEachChild(node, visit);
    };
    visit(source);
    return parts.join('\n');
  }
  const PURE = FILES.filter((path) => !/\/src\/(cli|disk|batch|archive|print)\//.test(path.replaceAll('\\', '/')));

  it('sees what it looks for', () => {
    expect(code(import.meta.filename)).toMatch(/^process\.|^Date|forEachChild/m);
  });

  it.each([
    ['powers that differ between Node versions', /^Math\.pow|^\*\*$/m],
    ['unseeded randomness', /^Math\.random/m],
    ['a clock', /^Date$|^performance\.now/m],
    ['the locale', /toLocale|localeCompare|^Intl$/m],
    ['the environment', /^process\./m],
    ['the console', /^console\./m],
  ])('no pure layer uses %s', (_, pattern) => {
    const generator = filesUnder(join(ROOT, 'samples/generator')).filter((path) => !path.endsWith('main.ts'));
    expect(
      [...PURE, ...generator].filter((path) => pattern.test(code(path))).map((path) => relative(ROOT, path)),
    ).toEqual([]);
  });
});
