import { existsSync, linkSync, mkdtempSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { buildC3d, floats, text, texts } from '../../support/c3dBuilder.ts';
import { cli } from '../../support/cli.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
let folder = '';
let input = '';
let stored: Uint8Array;

beforeEach(() => {
  folder = mkdtempSync(join(scratch, 'rewrite-'));
  input = join(folder, 'in.c3d');
  stored = buildC3d({
    points: 3,
    frames: 20,
    fields: {
      'SUBJECTS:NAMES': texts(['Somebody']),
      'MANUFACTURER:COMPANY': text('Some maker'),
      'TRIAL:OPERATOR': text('Somebody else'),
      'POINT:LABELS': texts(['Somebody:ONE', 'TWO', 'THREE']),
      'EVENT:USED': { type: 'int16', dims: [], values: [2] },
      'EVENT:LABELS': texts(['EARLY', 'LATE']),
      'EVENT:CONTEXTS': texts(['', '']),
      'EVENT:TIMES': { type: 'float', dims: [2, 2], values: [0, 0.02, 0, 0.12] },
      'ELSE:KEPT': floats(1.5),
    },
  });
  writeFileSync(input, stored);
});

function open(path: string) {
  return readC3d(bytesSource(readFileSync(path)));
}

describe('rewrite', () => {
  it('has an example in its help', async () => {
    const { code, stdout } = await cli('rewrite', '--help');
    expect([code, stdout.includes('$ swingbasis rewrite')]).toEqual([0, true]);
  });

  it('changes the encoding, says so, and leaves the input and no temporary file', async () => {
    const out = join(folder, 'out.c3d');
    const { code, stdout, stderr } = await cli('rewrite', input, out, '--encoding', 'mips', '--form', 'integer');
    expect([code, stderr]).toEqual([0, '']);
    expect(stdout).toContain('encoding: intel float -> mips integer');
    expect(stdout).toContain('integer step of the coordinates:');
    expect([open(out).processor, open(out).form]).toEqual(['mips', 'integer']);
    expect(readFileSync(input)).toEqual(Buffer.from(stored));
    expect(readdirSync(folder).sort()).toEqual(['in.c3d', 'out.c3d']);
  });

  it('cuts frames, leaves points and events out, and names them', async () => {
    const out = join(folder, 'out.c3d');
    const { code, stdout } = await cli('rewrite', input, out, '--frames', '10-14', '--drop', 'TWO');
    expect(code).toBe(0);
    const [was, is] = [open(input), open(out)];
    expect([is.frames, is.firstFrame, is.labels]).toEqual([5, 11, ['Somebody:ONE', 'THREE']]);
    expect([...is.xyz.subarray(15, 20)]).toEqual([...was.xyz.subarray(6 * 20 + 10, 6 * 20 + 15)]);
    expect(is.events.map((e) => [e.label, e.frame])).toEqual([['LATE', 2]]);
    expect(stdout).toContain('points left out: TWO');
    expect(stdout).toContain('events left out: EARLY at 0.020 s');
  });

  it('--without-names leaves no name behind and lists parameters, never their content', async () => {
    const out = join(folder, 'out.c3d');
    const { code, stdout } = await cli('rewrite', input, out, '--without-names');
    expect(code).toBe(0);
    expect(stdout).toMatch(/names removed: .*SUBJECTS/);
    for (const name of ['MANUFACTURER', 'TRIAL:OPERATOR', 'POINT:LABELS']) expect(stdout).toContain(name);
    expect(stdout).not.toMatch(/Some/);
    expect(readFileSync(out).toString('latin1')).not.toMatch(/Some/);
    expect(open(out).labels).toEqual(['ONE', 'TWO', 'THREE']);
    expect(open(out).groups.get('ELSE')?.parameters.get('KEPT')?.numbers).toEqual([1.5]);
  });

  it('--without-names names the groups that the format does not define, and --drop-groups leaves them out', async () => {
    const out = join(folder, 'out.c3d');
    const { stdout } = await cli('rewrite', input, out, '--without-names');
    expect(stdout).toContain('groups kept that the format does not define (see --drop-groups): ELSE');
    const again = await cli('rewrite', input, out, '--replace', '--without-names', '--drop-groups', 'else');
    expect([again.code, again.stdout.includes('groups left out: ELSE')]).toEqual([0, true]);
    expect(again.stdout).not.toContain('does not define');
    expect([...open(out).groups.keys()]).toEqual(['POINT', 'TRIAL', 'EVENT']);
  });

  it('--strict refuses a file that departs from the format; without it the departure is told and the file written', async () => {
    const out = join(folder, 'out.c3d');
    writeFileSync(input, buildC3d({ points: 1, frames: 40, cut: 20 }));
    const strict = await cli('rewrite', input, out, '--strict');
    expect([strict.code, existsSync(out), strict.stderr.includes('38 of 40 frames')]).toEqual([2, false, true]);
    const { code, stderr } = await cli('rewrite', input, out);
    expect([code, stderr, open(out).frames]).toEqual([
      0,
      'error frames-missing: 38 of 40 frames are there, 2 are missing\n',
      38,
    ]);
  });

  it('rotation matrices go along through every encoding', async () => {
    writeFileSync(input, buildC3d({ points: 1, frames: 9, rotations: 2 }));
    const out = join(folder, 'out.c3d');
    const { code, stdout } = await cli(
      'rewrite',
      input,
      out,
      '--encoding',
      'dec',
      '--form',
      'integer',
      '--frames',
      '2-5',
    );
    expect([code, stdout.includes('rotations: 2')]).toEqual([0, true]);
    expect(open(out).rotationData!.translations.subarray(0, 12)).toEqual(
      open(input).rotationData!.translations.subarray(6, 18),
    );
  });

  it('refuses the input as output, also through links, with and without --replace', async () => {
    const soft = join(folder, 'soft.c3d');
    const hard = join(folder, 'hard.c3d');
    symlinkSync(input, soft);
    linkSync(input, hard);
    for (const out of [input, soft, hard]) {
      for (const more of [[], ['--replace']]) {
        const { code, stderr } = await cli('rewrite', input, out, ...more);
        expect([code, stderr.includes('is the file that is read')]).toEqual([2, true]);
      }
    }
    expect(readFileSync(input)).toEqual(Buffer.from(stored));
  });

  it('overwrites a file only with --replace', async () => {
    const out = join(folder, 'out.c3d');
    writeFileSync(out, 'something');
    expect((await cli('rewrite', input, out)).code).toBe(2);
    expect(readFileSync(out, 'utf8')).toBe('something');
    expect((await cli('rewrite', input, out, '--replace')).code).toBe(0);
    expect(open(out).points).toBe(3);
  });

  it.each([
    [['--encoding', 'vax'], '--encoding: "vax" is none of intel, dec, mips'],
    [['--form', 'text'], '--form: "text" is none of float, integer'],
    [['--frames', '5'], 'is not FROM-TO'],
    [['--frames', '5-20'], 'is no range of the 20 frames'],
    [['--frames', '5-4'], 'is no range of the 20 frames'],
    [['--keep', 'THRE'], 'no point is named "THRE"; did you mean THREE?'],
    [['--drop-groups', 'ELSES'], 'no group is named "ELSES"; did you mean ELSE?'],
    [['--drop-groups', 'POINT'], 'POINT cannot be left out'],
  ])('%j cannot run: exit code 2, nothing written', async (args, message) => {
    const out = join(folder, 'out.c3d');
    const { code, stderr } = await cli('rewrite', input, out, ...args);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(existsSync(out)).toBe(false);
  });

  it('a file that is no C3D, and one that is not there, cannot run: exit code 2', async () => {
    writeFileSync(join(folder, 'bad.c3d'), 'no C3D'.repeat(200));
    for (const name of ['bad.c3d', 'nowhere.c3d']) {
      const { code } = await cli('rewrite', join(folder, name), join(folder, 'out.c3d'));
      expect(code).toBe(2);
    }
    expect(existsSync(join(folder, 'out.c3d'))).toBe(false);
  });

  it('values that the new form lacks are named: exit code 1, the file is written', async () => {
    writeFileSync(input, buildC3d({ points: 1, frames: 3, point: (_, f) => [f === 1 ? Number.NaN : 5, 6, 7, 0] }));
    const out = join(folder, 'out.c3d');
    const { code, stderr } = await cli('rewrite', input, out, '--encoding', 'dec');
    expect(code).toBe(1);
    expect(stderr).toContain('sample-not-held: point 1 "P1", frame 1 counted from 0: NaN');
    expect([...open(out).word4]).toEqual([0, -1, 0]);
  });
});
