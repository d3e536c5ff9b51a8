import { createHash } from 'node:crypto';
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeAtomically } from '../../../src/disk/atomicWrite.ts';
import { BLOCK, FileError, openFile, sha256Of } from '../../../src/disk/fileSource.ts';
import { listFiles } from '../../../src/disk/listing.ts';
import { checkOutputFolder, writeOutput } from '../../../src/disk/outputFolder.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
let made = 0;

function folder(): string {
  made += 1;
  const path = join(scratch, `case ${made}`);
  mkdirSync(path);
  return path;
}

describe('a file as a source of bytes', () => {
  const path = join(scratch, 'big.bin');
  const bytes = Uint8Array.from({ length: 2 * BLOCK + 1000 }, (_, i) => (i * 31 + (i >> 8)) & 255);
  writeFileSync(path, bytes);

  it.each([
    [0, 10],
    [BLOCK - 3, 6],
    [BLOCK, BLOCK],
    [5, 2 * BLOCK],
    [0, bytes.length],
    [2 * BLOCK + 990, 10],
    [1, 2 * BLOCK + 999],
  ])('gives the bytes from %i, %i of them, whatever block they lie in', (offset, length) => {
    const source = openFile(path, 'big.bin');
    const into = new Uint8Array(length);
    expect(source.read(offset, length, into)).toBe(length);
    expect(Buffer.compare(into, bytes.subarray(offset, offset + length))).toBe(0);
    source.close();
  });
  it('gives fewer bytes at the end and none behind it', () => {
    const source = openFile(path, 'big.bin');
    const into = new Uint8Array(100);
    expect(source.size).toBe(bytes.length);
    expect(source.read(bytes.length - 7, 100, into)).toBe(7);
    expect(source.read(bytes.length + 7, 100, into)).toBe(0);
    source.close();
  });
  it('is hashed whole', () => {
    const source = openFile(path, 'big.bin');
    expect(sha256Of(source)).toBe(createHash('sha256').update(bytes).digest('hex'));
    source.close();
    const none = join(scratch, 'none.bin');
    writeFileSync(none, '');
    const empty = openFile(none, 'none.bin');
    // NIST FIPS 180-4 example values: SHA-256 of the empty message
    expect(sha256Of(empty)).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
    empty.close();
  });
  it.each([
    ['grows', (path: string) => appendFileSync(path, 'x'), 'swing.bin changed while it was read'],
    ['is removed', (path: string) => rmSync(path), 'swing.bin disappeared while it was read'],
    [
      'is replaced by another of the same size and time',
      (path: string) => {
        const { atime, mtime } = statSync(path);
        writeFileSync(`${path}.new`, 'other');
        utimesSync(`${path}.new`, atime, mtime);
        renameSync(`${path}.new`, path);
      },
      'swing.bin changed while it was read',
    ],
  ])('that %s while it is read says so', (_, change, message) => {
    const file = join(folder(), 'swing.bin');
    writeFileSync(file, 'bytes');
    const source = openFile(file, 'swing.bin');
    expect(() => source.confirm?.()).not.toThrow();
    change(file);
    expect(() => source.confirm?.()).toThrow(message);
    source.close();
  });
  it('says in words why it cannot be opened', () => {
    expect(() => openFile(join(scratch, 'nowhere'), 'nowhere')).toThrow('nowhere cannot be opened: it does not exist');
    expect(() => openFile(scratch, 'here')).toThrow('here cannot be opened: it is a folder');
  });
});

describe('the listing of a data folder', () => {
  it('has / between folders, sorted by code unit, without hidden files and without circles', () => {
    const root = folder();
    mkdirSync(join(root, 'b/.hidden'), { recursive: true });
    for (const path of ['b/2.c3d', 'B.c3d', 'b/10.c3d', '.x', 'b/.hidden/y', 'ä.c3d'])
      writeFileSync(join(root, path), '');
    try {
      symlinkSync(root, join(root, 'b', 'circle'));
    } catch {
      // a system without links has no circles
    }
    expect(listFiles(root)).toEqual(['B.c3d', 'b/10.c3d', 'b/2.c3d', 'ä.c3d']);
  });
  it('says that a folder is not there', () => {
    expect(() => listFiles(join(scratch, 'nowhere'))).toThrow('cannot be listed: it does not exist');
  });
});

describe('a file is written whole or not at all', () => {
  it('a writer that fails half way leaves the old file and nothing else', () => {
    const root = folder();
    const path = join(root, 'deep/er/t.csv');
    expect(writeAtomically(path, ['old ', 'ü'])).toBe(6);
    function* broken(): Generator<string> {
      yield 'new';
      throw new RangeError('half way');
    }
    expect(() => writeAtomically(path, broken())).toThrow('half way');
    expect(readFileSync(path, 'utf8')).toBe('old ü');
    expect(readdirSync(join(root, 'deep/er'))).toEqual(['t.csv']);
  });
  it('a folder in the way is an error in words', () => {
    const root = folder();
    writeFileSync(join(root, 'a'), '');
    expect(() => writeAtomically(join(root, 'a', 'b'), ['x'])).toThrow(FileError);
  });
  it('what must not be overwritten is not', () => {
    const path = join(folder(), 'day.yaml');
    writeFileSync(path, 'mine');
    expect(() => writeAtomically(path, ['x'], { exclusive: true })).toThrow('already exists; it is never overwritten');
    expect(readFileSync(path, 'utf8')).toBe('mine');
  });
});

const RUN = '{"program":"swingbasis"}\n';

async function* files(...all: readonly (readonly [string, string])[]) {
  for (const [path, text] of all) yield { path, text: [text] };
}

const go = async () => {};

describe('the output folder', () => {
  it('may be new, empty or hold an earlier run', async () => {
    const root = folder();
    expect(() => checkOutputFolder(join(root, 'new'))).not.toThrow();
    expect(() => checkOutputFolder(root)).not.toThrow();
    await writeOutput(root, files(['tables/a.csv', '1'], ['run.json', RUN]), go);
    expect(() => checkOutputFolder(root)).not.toThrow();
  });
  it('with anything else in it is refused, and so is the run record of another program', () => {
    const root = folder();
    writeFileSync(join(root, 'thesis.doc'), '');
    expect(() => checkOutputFolder(root)).toThrow('is not empty and holds no earlier run of this program');
    writeFileSync(join(root, 'run.json'), '{"program":"other"}');
    expect(() => checkOutputFolder(root)).toThrow('is not empty');
    writeFileSync(join(root, 'run.json'), 'no json');
    expect(() => checkOutputFolder(root)).toThrow('is not empty');
    expect(() => checkOutputFolder(join(root, 'thesis.doc'))).toThrow('is a file; --out names a folder');
  });
  it('loses what an earlier run made and this one does not, and nothing else', async () => {
    const root = folder();
    await writeOutput(root, files(['trials/old/1.json', '1'], ['trials/2.json', '2'], ['run.json', RUN]), go);
    writeFileSync(join(root, 'trials', 'mine.json'), 'mine');
    await writeOutput(root, files(['trials/2.json', 'two'], ['run.json', RUN]), go);
    expect([...contentsOf(root).keys()]).toEqual([
      '.store/files.json',
      'run.json',
      'trials/2.json',
      'trials/mine.json',
    ]);
    expect(existsSync(join(root, 'trials/old'))).toBe(false);
    expect(readFileSync(join(root, 'trials/2.json'), 'utf8')).toBe('two');
  });
  it('never removes what a tampered list names outside of it', async () => {
    const root = folder();
    const outside = join(scratch, 'outside.txt');
    writeFileSync(outside, 'mine');
    await writeOutput(root, files(['run.json', RUN]), go);
    writeFileSync(
      join(root, '.store/files.json'),
      JSON.stringify(['../outside.txt', outside, 'x/../../outside.txt', 7]),
    );
    await writeOutput(root, files(['run.json', RUN]), go);
    expect(readFileSync(outside, 'utf8')).toBe('mine');
  });
  it('of an interrupted run has no run record, is taken up again, and ends as if never interrupted', async () => {
    const root = folder();
    await writeOutput(root, files(['a.csv', '1'], ['gone.csv', '1'], ['run.json', RUN]), go);
    let calls = 0;
    const interrupt = async () => {
      calls += 1;
      if (calls > 1) throw new Error('stop');
    };
    await expect(
      writeOutput(root, files(['a.csv', '2'], ['b.csv', '2'], ['run.json', RUN]), interrupt),
    ).rejects.toThrow('stop');
    expect(existsSync(join(root, 'run.json'))).toBe(false);
    expect(readdirSync(root).filter((name) => name.includes('unfinished'))).toEqual([]);
    await writeOutput(root, files(['a.csv', '3'], ['b.csv', '3'], ['run.json', RUN]), go);
    expect([...contentsOf(root).keys()]).toEqual(['.store/files.json', 'a.csv', 'b.csv', 'run.json']);
  });
});
