import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCheckpoints } from '../../../src/day/checkpoints.ts';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import { DEFAULT_CHECKPOINTS } from '../../../src/model/checkpointDefaults.ts';

const FILE = 'rules.yaml';

/** A file with these lines as its rules, each a flow map. */
const rules = (...lines: readonly string[]): string =>
  `swingbasis: 1\ncheckpoints:\n${lines.map((line) => `  - {${line}}\n`).join('')}`;

function said(text: string): readonly string[] {
  const reading = readCheckpoints(text, FILE);
  expect(reading.set).toBeNull();
  return reading.problems.map(renderProblemLine);
}

const ATTACK = 'name: attack, quantity: club.attack, band: {low: -2, high: 3}';

describe('a file of checkpoints', () => {
  it('copied from docs/checkpoints.md is the set that ships', () => {
    const page = readFileSync(join(import.meta.dirname, '../../../docs/checkpoints.md'), 'utf8');
    const block = page
      .slice(page.indexOf('## The set that ships'))
      .split('```')[1]!
      .replace(/^yaml\n/, '');
    const reading = readCheckpoints(block, FILE);
    expect(reading.problems).toEqual([]);
    expect(reading.set).toEqual({ file: FILE, checkpoints: DEFAULT_CHECKPOINTS });
  });

  it('marks each rule that ships as common practice without a source', () => {
    for (const { source } of DEFAULT_CHECKPOINTS) expect(source).toBe('common practice, no source');
    const attack = DEFAULT_CHECKPOINTS.find(({ quantity }) => quantity === 'club.attack');
    // the numbers of the order: −2° to +3°, beyond ±5° severe
    expect(attack?.rule).toEqual({ kind: 'band', low: -2, high: 3, severeLow: -5, severeHigh: 5 });
    expect(attack?.clubs).toEqual(['driver']);
  });

  it('keeps text as written and needs no note, source or clubs', () => {
    const { set } = readCheckpoints(
      rules(
        'name: 007, quantity: pelvis.turn, position: P4, band: {high: -30.5}',
        'name: b, quantity: thorax.side_bend, change: [P4, P7], without_turn: yes, against: reference'.replace(
          'against: reference',
          'band: {low: 1}',
        ),
      ),
      FILE,
    );
    expect(set?.checkpoints).toEqual([
      {
        name: '007',
        quantity: 'pelvis.turn',
        reading: { kind: 'value', position: 'P4' },
        rule: { kind: 'band', low: null, high: -30.5, severeLow: null, severeHigh: null },
        clubs: null,
        note: '',
        source: '',
      },
      expect.objectContaining({ reading: { kind: 'change', from: 'P4', to: 'P7', withoutTurn: true } }),
    ]);
  });
});

describe('problems are told with file, line and column, what was found and what is meant', () => {
  // » stands before the place that the problem names
  it.each([
    ['an unknown quantity', 'name: a, quantity: »thorax.forwardbend, position: P4, band: {low: 1}', 'no quantity is called thorax.forwardbend; did you mean thorax.forward_bend?'],
    ['an unknown key', 'name: a, quantity: club.attack, band: {low: 1, »hgh: 2}', '"hgh" is not a key in checkpoints[1].band; did you mean high?'],
    ['a missing name', '»quantity: club.attack, band: {low: 1}', 'checkpoints[1] needs name'],
    ['a number that is none', 'name: a, quantity: club.attack, band: {low: »much}', 'checkpoints[1].band.low: "much" stands here; expected a number'],
    ['an unknown kind of club', 'name: a, quantity: club.attack, clubs: [»drivers], band: {low: 1}', 'checkpoints[1].clubs[1]: "drivers" is none of driver, wood, hybrid, iron, wedge, putter; did you mean driver?'],
    ['a position that the quantity has not', 'name: a, quantity: head.to_target, position: »P1, band: {low: 1}', 'head.to_target is given at P2, P3, P4, P4(arm), P5, P5.5, P6, P7, P8, P9, P10, not at P1'],
    ['an unknown position', 'name: a, quantity: pelvis.turn, position: »p4, band: {low: 1}', 'pelvis.turn is given at P1, P2, P3, P4, P4(arm), P5, P5.5, P6, P7, P8, P9, P10, not at p4; did you mean P4?'],
    ['a position of a quantity without', 'name: a, quantity: club.attack, position: »P7, band: {low: 1}', 'club.attack has one value per swing; leave position out'],
    ['no position', '»name: a, quantity: lead_shoulder.rise, band: {low: 1}', 'the checkpoint a needs position, change, begins_to_fall or begins_to_rise; lead_shoulder.rise is given at P2, P3'],
    ['two readings', 'name: a, quantity: pelvis.turn, position: P4, change: »[P1, P4], band: {low: 1}', 'a: position and change are given; keep one'],
    ['a change from later to earlier', 'name: a, quantity: pelvis.turn, change: »[P7, P4], band: {low: 1}', 'change goes from the earlier position to the later: [P4, P7], not [P7, P4]'],
    ['a change of one position', 'name: a, quantity: pelvis.turn, change: »[P7], band: {low: 1}', 'checkpoints[1].change: give two positions, the earlier first, as [P1, P4]'],
    ['a change of what counts from P1', 'name: a, quantity: lead_shoulder.rise, change: »[P1, P4], band: {low: 1}', 'lead_shoulder.rise is counted from P1 already; write position: P4'],
    ['a change of a direction', 'name: a, quantity: »thorax.inclination_direction, change: [P1, P4], band: {low: 1}', 'thorax.inclination_direction is a direction: its change says nothing; read it at a position'],
    ['no band', '»name: a, quantity: club.attack', 'the checkpoint a needs a band, such as {low: -2, high: 3}, or against: reference'],
    ['both rules', '»name: a, quantity: club.attack, band: {low: 1}, against: reference', 'the checkpoint a has both band and against; keep one'],
    ['an empty band', 'name: a, quantity: club.attack, band: »{severe_low: 1}', 'a band needs low, high or both'],
    ['limits out of order', 'name: a, quantity: club.attack, band: »{low: 3, high: -2}', 'the limits come in the order severe_low, low, high, severe_high; found 3, -2'],
    ['a beginning outside its stretch', 'name: a, quantity: thorax.forward_bend, begins_to_fall: [P4, P8], band: »{low: 3, high: 6}', '3 lies outside P4 to P8; limits of a beginning are numbers of positions, 5.5 for P5.5'],
    ['a beginning at a fraction', 'name: a, quantity: thorax.forward_bend, begins_to_rise: [»P5.5, P8], band: {low: 6}', 'begins_to_rise goes from one of P1, P2, P3, P4, P5, P6, P7, P8, P9 to a later one; P5.5 is none'],
    ['a beginning without a curve', 'name: a, quantity: »lead_shoulder.rise, begins_to_fall: [P4, P8], band: {low: 5}', 'lead_shoulder.rise has no curve; give a position or a change'],
    ['a beginning against the reference', 'name: a, quantity: thorax.forward_bend, begins_to_fall: [P4, P8], against: »reference', 'a beginning is not compared with the reference; give it a band'],
    ['a change against the reference', 'name: a, quantity: pelvis.turn, change: »[P4, P7], against: reference', 'the comparison knows changes since P1 only; write [P1, P7] or give a band'],
    ['against something else', 'name: a, quantity: pelvis.turn, position: P4, against: »irons', 'checkpoints[1].against: "irons" is none of reference'],
    ['a turn taken off a turn', 'name: a, quantity: pelvis.turn, change: [P1, P4], without_turn: »yes, band: {low: 1}', 'pelvis.turn is no side bend or forward bend of pelvis, chest or head'],
    ['a turn taken off a value', 'name: a, quantity: pelvis.side_bend, position: P4, without_turn: »yes, band: {low: 1}', 'without_turn belongs to a change; give change, such as [P1, P4]'],
  ])('%s', (_what, marked, message) => {
    const lines = said(rules(marked.replace('»', '')));
    // '  - {' stands before
    expect(lines).toHaveLength(1);
    const column = marked.startsWith('»') ? 5 : marked.indexOf('»') + 6;
    expect(lines[0]).toContain(`rules.yaml:3:${column}: ${message}`);
  }); // biome-ignore format: one a line

  it('all of them at once, in different rules', () => {
    const lines = said(
      rules('quantity: club.attack, band: {low: 1}', ATTACK, 'name: b, quantity: club.atack, band: {low: 1}', ATTACK),
    );
    expect(lines.map((line) => line.split(':')[1])).toEqual(['3', '5', '6']);
    expect(lines[2]).toContain('the name attack is taken in line 4');
  });

  it.each([
    ['', 'rules.yaml:1:1: the file is empty; begin it with swingbasis: 1'],
    ['- a\n', 'rules.yaml:1:1: a file of checkpoints consists of key: value lines; begin it with swingbasis: 1'],
    ['checkpoints: [{name: a', 'this is not YAML'],
    [`checkpoints:\n  - {${ATTACK}}\n`, 'the file of checkpoints needs its version: begin it with swingbasis: 1'],
    [
      'swingbasis: 1\ncheckpoints: []\n',
      'rules.yaml:2:14: checkpoints: the list is empty; at least one entry is needed',
    ],
    [
      'swingbasis: 1\nrules: []\n',
      '"rules" is not a key in a file of checkpoints; keys here are swingbasis, checkpoints',
    ],
  ])('%j', (text, message) => {
    expect(said(text).join('\n')).toContain(message);
  });

  it('whatever stands in a file, it is read or refused with places, never thrown', () => {
    const words = fc.constantFrom('name', 'quantity', 'band', 'low', 'position', 'change', 'P4', 'club.attack', '{', '}', '[', ']', ': ', ', ', '\n', '  - ', '?', '&a ', '*a', '1e999', '-2'); // biome-ignore format: one glance
    fc.assert(
      fc.property(fc.array(words, { maxLength: 40 }), (parts) => {
        const { set, problems } = readCheckpoints(`swingbasis: 1\ncheckpoints:\n  - ${parts.join('')}`, FILE);
        expect(set === null).toBe(problems.length > 0);
        for (const { line, column } of problems) expect(Math.min(line, column)).toBeGreaterThan(0);
      }),
      { seed: 6, numRuns: 400 },
    );
  });
});

describe('the day file names the file', () => {
  const DAY = 'swingbasis: 1\nday: d\nplayers: [{id: emu}]\ntrials: [{file: a.c3d}]\n';
  const read = (text: string, files: Readonly<Record<string, string>>, lab?: string) => {
    const asked: string[] = [];
    const reading = readDay(text, {
      file: 'folder/day.yaml',
      listing: ['a.c3d'],
      lab: lab === undefined ? undefined : { text: lab, file: 'labs/lab.yaml' },
      checkpoints: (path, namedIn) => {
        asked.push(`${path} in ${namedIn}`);
        const file = files[path];
        if (file === undefined) throw new Error('there is no such file');
        return new TextEncoder().encode(file);
      },
    });
    return { ...reading, asked };
  };

  it('and it lies beside the file that names it, be it the lab file', () => {
    const own = `${DAY}compare: {checkpoints: rules.yaml}\n`;
    const lab = 'compare: {checkpoints: of-the-lab.yaml}\n';
    const files = { 'rules.yaml': rules(ATTACK), 'of-the-lab.yaml': rules(ATTACK, ATTACK.replace('attack', 'b')) };
    const first = read(own, files, lab);
    expect(first.asked).toEqual(['rules.yaml in folder/day.yaml']);
    expect(first.plan?.compare.checkpoints).toMatchObject({ file: 'rules.yaml', checkpoints: [{ name: 'attack' }] });
    const second = read(DAY, files, lab);
    expect(second.asked).toEqual(['of-the-lab.yaml in labs/lab.yaml']);
    expect(second.plan?.compare.checkpoints?.checkpoints).toHaveLength(2);
    expect(read(DAY, files).plan?.compare.checkpoints).toBeUndefined();
  });

  it.each([
    ['none.yaml', {}, 'folder/day.yaml:5:24: compare.checkpoints: none.yaml cannot be read: there is no such file; it lies beside the file that names it'],
    ['../rules.yaml', {}, 'folder/day.yaml:5:24: compare.checkpoints: '],
    ['rules.yaml', { 'rules.yaml': rules('name: a') }, 'rules.yaml:3:5: checkpoints[1] needs quantity'],
  ])('%s', (path, files, message) => {
    const { plan, problems } = read(`${DAY}compare: {checkpoints: ${path}}\n`, files);
    expect(plan).toBeNull();
    expect(problems.map(renderProblemLine).join('\n')).toContain(message);
  }); // biome-ignore format: one a line
});
