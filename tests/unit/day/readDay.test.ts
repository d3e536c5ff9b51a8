import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DayReading, readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import { DEFAULT_FILTER, NO_FILTER } from '../../../src/model/dayPlan.ts';

const LISTING = [
  'static.c3d',
  'driver/d1.c3d',
  'driver/d10.c3d',
  'driver/d2.c3d',
  'driver/notes.txt',
  'irons/i1.c3d',
  'irons/i2.c3d',
];

const GOOD = `swingbasis: 1
day: Range day
date: 2026-05-31
lab: {up: +Y, target: -Z}
players:
  - {id: emu, hand: left, height_m: 1.71}
clubs:
  - {id: dr, kind: driver, length_m: 1.14}
  - {id: i7, kind: iron, face_centre_mm: [1, 2, 3]}
trials:
  - {file: static.c3d, role: static}
  - {pattern: driver/*, club: dr, set: one}
  - {pattern: "irons/*.c3d", club: i7, up: +Z}
`;

function read(text: string, more: Partial<Parameters<typeof readDay>[1]> = {}): DayReading {
  return readDay(text, { file: 'day.yaml', listing: LISTING, ...more });
}

/** Lines as an editor shows them. */
function said(text: string, more: Partial<Parameters<typeof readDay>[1]> = {}): readonly string[] {
  const reading = read(text, more);
  expect(reading.plan).toBeNull();
  return reading.problems.map(renderProblemLine);
}

describe('a good day file', () => {
  const { plan, problems, notes } = read(GOOD);
  it('has no problems and no notes', () => {
    expect(problems).toEqual([]);
    expect(notes).toEqual([]);
  });
  it('keeps the swings of a pattern in the order of their numbers, and takes only captures', () => {
    expect(plan?.trials.map((trial) => trial.id)).toEqual([
      'static', 'driver/d1', 'driver/d2', 'driver/d10', 'irons/i1', 'irons/i2',
    ]); // biome-ignore format: one glance
    expect(plan?.trials.map((trial) => trial.order)).toEqual([0, 1, 2, 3, 4, 5]);
  });
  it('lays the facts of an entry over those of the lab', () => {
    expect(plan?.trials[4]).toMatchObject({ up: '+Z', target: '-Z', player: 'emu', hand: 'left', club: 'i7' });
    expect(plan?.trials[1]).toMatchObject({ up: '+Y', set: 'one', filter: DEFAULT_FILTER, use: true });
  });
  it('finds the only static trial by its role', () => {
    expect(plan?.players[0]?.static).toBe('static');
  });
  it('says which captures no entry names', () => {
    const text = GOOD.replace('  - {file: static.c3d, role: static}\n', '');
    expect(read(text).notes).toEqual(['1 .c3d files of the data folder are not in the day file: static.c3d']);
  });
});

describe('settings over settings', () => {
  it('takes a swing out of a pattern by file with use: no, keeping player and club', () => {
    const { plan } = read(`${GOOD}  - {file: driver/d2.c3d, use: no, note: mishit}\n`);
    const out = plan?.trials.find((trial) => trial.id === 'driver/d2');
    expect(out).toMatchObject({ use: false, note: 'mishit', club: 'dr', set: 'one', player: 'emu' });
    expect(plan?.trials.filter((trial) => trial.id === 'driver/d2')).toHaveLength(1);
  });
  it('turns a filter off for the day and on again for one set', () => {
    const text = `${GOOD.replace('club: dr, set', 'club: dr, filter: {trunk_Hz: 10, head_Hz: none}, set')}filter: none\n`;
    const { plan } = read(text);
    expect(plan?.trials[0]?.filter).toEqual(NO_FILTER);
    expect(plan?.trials[1]?.filter).toEqual({ ...NO_FILTER, trunk_Hz: 10 });
  });
  it('takes a rule for all groups or for one, and a trial sets a cutoff instead', () => {
    const text = `${GOOD.replace('club: dr, set', 'club: dr, filter: {trunk_Hz: 10, head_Hz: residual}, set')}filter: autocorrelation\n`;
    const { plan } = read(text);
    const all = 'autocorrelation';
    const rules = { trunk_Hz: all, head_Hz: all, legs_Hz: all, upperArm_Hz: all, forearm_Hz: all };
    expect(plan?.trials[0]?.filter).toEqual(rules);
    expect(plan?.trials[1]?.filter).toEqual({ ...rules, trunk_Hz: 10, head_Hz: 'residual' });
  });
  it('joins what is insisted on for the day and for a set', () => {
    const text = `${GOOD.replace('club: dr, set', 'club: dr, insist: [hand], trust_coordinates: yes, gaps: {longest_s: 0.2}, set')}insist: [up]\n`;
    const { plan } = read(text);
    expect(plan?.trials[1]).toMatchObject({ insist: ['up', 'hand'], trustCoordinates: true, gaps: { longest_s: 0.2 } });
    expect(plan?.trials[0]).toMatchObject({ insist: ['up'], trustCoordinates: false, gaps: { longest_s: 0.1 } });
  });
  it('reads markers by label and by number', () => {
    const { plan } = read(`${GOOD}markers: {IJ: STRN, C7: 7, T8: "#9"}\nevents: {Hit: P7}\n`);
    expect(plan?.trials[0]?.markers).toEqual({ IJ: 'STRN', C7: '#7', T8: '#9' });
    expect(plan?.trials[0]?.events).toEqual({ Hit: 'P7' });
  });
  it('lets the day file win over the lab file, key by key, and clubs by id', () => {
    const lab = {
      file: 'lab.yaml',
      text: 'lab: {up: +Z, units: mm}\nclubs:\n  - {id: DR, kind: wood, loft_deg: 10}\n  - {id: pw, kind: wedge}\nfilter: {trunk_Hz: 8}\n',
    };
    const { plan, problems } = read(GOOD, { lab });
    expect(problems).toEqual([]);
    expect(plan?.trials[0]).toMatchObject({ up: '+Y', units: 'mm' });
    expect(plan?.trials[0]?.filter.trunk_Hz).toBe(8);
    expect(plan?.clubs.map((club) => [club.id, club.kind, club.loft_deg])).toEqual([
      ['dr', 'driver', 10],
      ['i7', 'iron', null],
      ['pw', 'wedge', null],
    ]);
  });
  it('keeps ids as they are written', () => {
    const { plan } = read(GOOD.replaceAll('i7', '007'));
    expect(plan?.clubs[1]?.id).toBe('007');
    expect(plan?.trials[5]?.club).toBe('007');
  });
  it('takes the coach’s words by position and a practice list, as they are written', () => {
    const words = '{id: emu, note: one, notes: {P4: 7, P5.5: "stands up"}, practice: [slow swings, 3]}';
    const { plan, problems } = read(GOOD.replace(/\{id: emu[^}]*\}/, words));
    expect(problems).toEqual([]);
    expect(plan?.players[0]).toMatchObject({
      note: 'one',
      notes: { P4: '7', 'P5.5': 'stands up' },
      practice: ['slow swings', '3'],
    });
  });
  it('takes the units of the report from the day file, what it leaves open from the lab file', () => {
    const lab = { file: 'lab.yaml', text: 'report: {speed: mph, length: mm}\n' };
    const { plan } = read(`${GOOD}report: {length: in}\n`, { lab });
    expect(plan?.report).toEqual({ speed: 'mph', length: 'in', language: 'en' });
    expect(read(GOOD).plan?.report).toBeUndefined();
  });
  it('takes the language of the report, and names the languages there are where it does not know one', () => {
    expect(read(`${GOOD}report: {language: de}\n`).plan?.report?.language).toBe('de');
    const { plan, problems } = read(`${GOOD}report: {language: fr}\n`);
    expect(plan).toBeNull();
    expect(problems.map(({ message }) => message).join()).toMatch(/fr.*en.*de/);
  });
  it('sets the options of the comparison', () => {
    const { plan } = read(
      `${GOOD}compare: {margins: {pelvis.turn: 3}, primary: [pelvis.turn@P4], seed: 7, resamples: 500, attack_band_deg: [-1.5, 4]}\n`,
    );
    expect(plan?.compare).toEqual({
      margins: { 'pelvis.turn': 3 },
      primary: ['pelvis.turn@P4'],
      seed: 7,
      resamples: 500,
      attackBand_deg: [-1.5, 4],
    });
  });
  it('has a band of attack angles by default, another, or none', () => {
    const bandOf = (text: string) => read(`${GOOD}${text}`).plan?.compare.attackBand_deg;
    expect(bandOf('')).toEqual([-2, 3]);
    expect(bandOf('compare: {seed: 2}\n')).toEqual([-2, 3]);
    expect(bandOf('compare: {attack_band_deg: [0, 5]}\n')).toEqual([0, 5]);
    expect(bandOf('compare: {attack_band_deg: none}\n')).toBeNull();
  });
});

describe('every problem has its line and column', () => {
  const BAND = 'give two angles in degrees, the lower first, as [-2, 3], or none';
  const cases: readonly (readonly [string, string, readonly string[]])[] = [
    ['an unknown key', GOOD.replace('set: one', 'sett: one'), ['day.yaml:12:35: "sett" is not a key in trials[2]; did you mean set?']],
    ['an unknown key at the top', `${GOOD}filtr: none\n`, ['day.yaml:14:1: "filtr" is not a key in a day file; did you mean filter?']],
    ['a note at no position', GOOD.replace(/\{id: emu[^}]*\}/, '{id: emu, notes: {P11: x}}'), ['day.yaml:6:23: "P11" is not a key in players[1].notes; did you mean P1?']],
    ['an unknown rule', `${GOOD}filter: {trunk_Hz: best}\n`, ['day.yaml:14:20: filter.trunk_Hz: "best": give a frequency in Hz, a rule (residual, autocorrelation, cross-validation), or none']],
    ['an unknown cutoff', `${GOOD}filter: {trunk_hz: 3}\n`, ['day.yaml:14:10: "trunk_hz" is not a key in filter; did you mean trunk_Hz?']],
    ['a band upside down', `${GOOD}compare: {attack_band_deg: [3, -2]}\n`, [`day.yaml:14:28: compare.attack_band_deg: ${BAND}`]],
    ['a band of one number', `${GOOD}compare: {attack_band_deg: [1]}\n`, [`day.yaml:14:28: compare.attack_band_deg: ${BAND}`]],
    ['a word for a band', `${GOOD}compare: {attack_band_deg: wide}\n`, [`day.yaml:14:28: compare.attack_band_deg: "wide": ${BAND}`]],
    ['a band past the vertical', `${GOOD}compare: {attack_band_deg: [-2, 95]}\n`, ['day.yaml:14:33: compare.attack_band_deg[2]: 95 is too large; expected at most 90']],
    ['an unknown landmark', `${GOOD}markers: {L_ASI: x}\n`, ['day.yaml:14:11: "L_ASI" is not a key in markers; did you mean L_ASIS?']],
    ['an unknown player', GOOD.replace('{file: static.c3d,', '{file: static.c3d, player: emmu,'), ['day.yaml:11:32: no player has the id emmu; did you mean emu?']],
    ['an unknown club', GOOD.replace('club: dr', 'club: dx'), ['day.yaml:12:31: no club has the id dx; did you mean dr?']],
    ['a pattern that matches nothing', GOOD.replace('driver/*', 'drivers/*'), ['day.yaml:12:15: the pattern drivers/* matches no file; the data folder holds static.c3d, for example']],
    ['a pattern in the wrong case', GOOD.replace('driver/*', 'Driver/*'), ['day.yaml:12:15: the pattern Driver/* matches no file; letters count as written, capital and small']],
    ['a file that is not there', GOOD.replace('static.c3d', 'statik.c3d'), ['day.yaml:11:12: statik.c3d is not in the data folder; did you mean static.c3d?']],
    ['one file named twice', `${GOOD}  - {file: irons/i1.c3d, club: i7}\n`, ['day.yaml:14:12: irons/i1.c3d is already named in line 13; a file belongs to one entry']],
    ['a path that leaves the folder', GOOD.replace('static.c3d', '../static.c3d'), ['day.yaml:11:12: ../static.c3d: a path may not leave the data folder; say --data FOLDER to start higher up']],
    ['an absolute path', GOOD.replace('static.c3d', '/tmp/static.c3d'), ['day.yaml:11:12: /tmp/static.c3d: paths start in the data folder: leave out the part before it, or say --data FOLDER']],
    ['backslashes', GOOD.replace('driver/*', 'driver\\*'), ['day.yaml:12:15: driver\\*: write / between folders: driver/*']],
    ['a bad id', GOOD.replace('id: emu', 'id: em u'), ['day.yaml:6:10: players[1].id: "em u": an id is 1 to 40 letters, digits, "_" or "-" (A-Z, a-z, 0-9)']],
    ['a reserved device name', GOOD.replace('id: emu', 'id: Com1'), ['day.yaml:6:10: players[1].id: "Com1": this name is reserved for a device on Windows; choose another']],
    ['equal ids', GOOD.replace('id: i7', 'id: DR').replace('club: i7', 'club: DR'), ['day.yaml:9:10: clubs: the id DR is taken in line 8 (letter case does not count)']],
    ['equal trial ids', `${GOOD.replace('role: static}', 'role: static, id: x}')}`.replace('"irons/*.c3d"', 'irons/i1.c3d, id: X').replace('{pattern: irons', '{file: irons'), ['day.yaml:13:30: the trial id X is that of static.c3d too (letter case does not count); give it an id of its own']],
    ['an unknown fact', GOOD.replace('hand: left', 'hand: ?'), ['day.yaml:6:21: players[1].hand is still unknown (?): write its value, or remove the line where it may stay unknown']],
    ['an unknown fact in quotes', GOOD.replace('kind: iron', 'kind: "?"'), ['day.yaml:9:20: clubs[2].kind is still unknown (?): write its value, or remove the line where it may stay unknown']],
    ['a word that is none of the choices', GOOD.replace('kind: iron', 'kind: irn'), ['day.yaml:9:20: clubs[2].kind: "irn" is none of driver, wood, hybrid, iron, wedge, putter; did you mean iron?']],
    ['an axis without a sign', GOOD.replace('up: +Y', 'up: Y'), ['day.yaml:4:11: lab.up: "Y" is none of +X, -X, +Y, -Y, +Z, -Z; did you mean +Y?']],
    ['a length in another unit', GOOD.replace('1.71', '171'), ['day.yaml:6:37: players[1].height_m: 171 is too large; expected at most 3']],
    ['text for a number', GOOD.replace('1.71', 'tall'), ['day.yaml:6:37: players[1].height_m: "tall" stands here; expected a number']],
    ['an impossible date', GOOD.replace('05-31', '06-31'), ['day.yaml:3:7: date: "2026-06-31": write the date as 2026-05-31']],
    ['a vector of two', GOOD.replace('[1, 2, 3]', '[1, 2]'), ['day.yaml:9:42: clubs[2].face_centre_mm: give three numbers, as [x, y, z]']],
    ['another version', GOOD.replace('swingbasis: 1', 'swingbasis: 2'), ['day.yaml:1:13: swingbasis: 2: the first line is swingbasis: 1 (the version of this format)']],
    ['no version', GOOD.replace('swingbasis: 1\n', ''), ['day.yaml:1:1: the day file needs its version: begin it with swingbasis: 1']],
    ['neither file nor pattern', `${GOOD}  - {club: dr}\n`, ['day.yaml:14:5: trials[4]: a trial needs either file or pattern']],
    ['no list of trials', GOOD.slice(0, GOOD.indexOf('trials:')), ['day.yaml:1:1: the day file needs trials (a list) or trials_csv (a table)']],
    ['two static trials', `${GOOD.replace('"irons/*.c3d"', 'irons/i2.c3d')}  - {file: irons/i1.c3d, role: static}\n`.replace('{pattern: irons', '{file: irons'), ['day.yaml:6:5: emu has 2 static trials (static, irons/i1); name one under static']],
    ['a static trial that is none', GOOD.replace('hand: left', 'static: stat'), ['day.yaml:6:23: no trial of emu has the id or file stat; did you mean static?']],
    ['an unknown quantity', `${GOOD}compare: {margins: {pelvis.trun: 3}}\n`, ['day.yaml:14:21: no quantity is called pelvis.trun; did you mean pelvis.turn?']],
    ['a primary comparison of no position', `${GOOD}compare: {primary: [pelvis.turn]}\n`, ['day.yaml:14:21: write quantity@position, such as pelvis.forward_bend@P4, not pelvis.turn']],
    ['a comment taken for a marker number', `${GOOD}markers:\n  IJ: #7\n`, ['day.yaml:15:3: markers.IJ: give the label in the file, its description, or the number of the marker (7 or "#7"; a bare #7 is a comment in YAML)']],
    ['an event that is no position', `${GOOD}events: {Hit: Impact}\n`, ['day.yaml:14:15: events.Hit: "Impact": name a position: P1 to P10, or a fraction such as P5.5']],
    ['a key twice', `${GOOD}date: 2026-01-01\n`, ['day.yaml:14:1: this key stands there twice']],
    ['a list where a day file should be', '- 1\n', ['day.yaml:1:1: a day file consists of key: value lines; begin it with swingbasis: 1']],
    ['an empty file', '# nothing\n', ['day.yaml:1:1: the file is empty; begin it with swingbasis: 1']],
  ]; // biome-ignore format: one case a line
  it.each(cases)('%s', (_, text, lines) => {
    expect(said(text)).toEqual(lines);
  });

  it('what is no YAML is said at its place', () => {
    expect(said('swingbasis: 1\nplayers: [\nday: x\n')[0]).toMatch(/^day\.yaml:3:1: this is not YAML: /);
  });

  it('a slip of the schema hides no cross check: unknown keys, wrong values, unknown players and double ids in one round', () => {
    const lines = said(
      GOOD.replace('height_m: 1.71', 'height_m: tall, hieght: 2')
        .replace('- {id: i7, kind: iron', '- {id: DR, kind: irn')
        .replace('club: dr, set: one', 'club: drv, set: one'),
    );
    expect(lines.some((line) => /height_m/.test(line))).toBe(true);
    expect(lines.some((line) => /"hieght" is not a key/.test(line))).toBe(true);
    expect(lines.some((line) => /irn/.test(line))).toBe(true);
    expect(lines.some((line) => /drv/.test(line))).toBe(true);
    expect(lines.some((line) => /letter case|twice|same id/i.test(line))).toBe(true);
  });
  it('all problems are said at once, in the order of the lines', () => {
    const text = GOOD.replace('hand: left', 'hand: ?').replace('club: dr', 'club: dx').replace('date:', 'dates:');
    expect(said(`${text}insist: [upp]\n`)).toEqual([
      'day.yaml:3:1: "dates" is not a key in a day file; did you mean date?',
      'day.yaml:6:21: players[1].hand is still unknown (?): write its value, or remove the line where it may stay unknown',
      'day.yaml:12:31: no club has the id dx; did you mean dr?',
      'day.yaml:14:10: insist[1]: "upp" is none of up, units, target, hand, rate; did you mean up?',
    ]);
  });

  it('names of players and clubs are checked where the files are missing too', () => {
    const lines = said(GOOD.replace('{pattern: driver/*, club: dr', '{pattern: woods/*, player: owl, club: dv'));
    expect(lines.filter((line) => /no player has the id owl|no club has the id dv|woods/.test(line))).toHaveLength(3);
  });

  it('a problem of the lab file names the lab file', () => {
    const lab = { file: 'lab.yaml', text: '\nlab: {unit: mm}\n' };
    expect(said(GOOD, { lab })).toEqual(['lab.yaml:2:7: "unit" is not a key in lab; did you mean units?']);
  });

  it('two players whose pictures would share a file are refused', () => {
    const text = GOOD.replace('height_m: 1.71}', 'height_m: 1.71}\n  - {id: emu-details}').replaceAll(
      '{pattern',
      '{player: emu, pattern',
    );
    expect(said(text.replace('{file', '{player: emu, file'))).toEqual([
      'day.yaml:7:10: the id emu-details would share a file with the details of another player; choose another',
    ]);
  });

  it('a trial needs its player where there are two', () => {
    const text = GOOD.replace('height_m: 1.71}', 'height_m: 1.71}\n  - {id: owl}').replaceAll(
      '{pattern',
      '{player: emu, pattern',
    );
    expect(said(text)).toEqual(['day.yaml:12:5: this trial needs player: one of emu, owl']);
  });

  it('a file name that some systems cannot hold needs an id', () => {
    const text = GOOD.replace('static.c3d', 'con.c3d');
    expect(said(text, { listing: [...LISTING, 'con.c3d'] })).toEqual([
      'day.yaml:11:12: "con" cannot be a file name on every system; give it an id of its own',
    ]);
  });

  it('aliases that multiply are refused, not expanded', () => {
    const bomb = ['a: &a [1,1,1,1,1,1,1,1,1,1]'];
    for (let i = 1; i < 9; i++) {
      const before = String.fromCharCode(96 + i);
      const name = String.fromCharCode(97 + i);
      bomb.push(`${name}: &${name} [${Array(10).fill(`*${before}`).join(',')}]`);
    }
    expect(said(bomb.join('\n'))).toEqual(['day.yaml:1:1: aliases or nesting make the file too large']);
  });
});

describe('whatever is written in a day file', () => {
  it('it is read or refused with places inside the file, never with an exception', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        '?',
        ':',
        '- ',
        '{',
        '}',
        '[',
        ']',
        '*',
        '&a ',
        '*a',
        '#',
        '"',
        "'",
        '|',
        '\n',
        '\n  ',
        '\t',
        '<<: ',
        '!!x ',
        '%',
        '\uFEFF',
      ),
      fc.string({ maxLength: 5 }),
    );
    const change = fc.tuple(fc.nat(GOOD.length), fc.nat(12), piece);
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        let text = GOOD;
        for (const [at, gone, put] of changes) text = text.slice(0, at) + put + text.slice(at + gone);
        const { plan, problems } = read(text);
        expect(plan === null).toBe(problems.length > 0);
        const lines = text.split(/\r\n|\r|\n/).length;
        for (const { line, column } of problems) {
          expect(line).toBeGreaterThanOrEqual(1);
          expect(line).toBeLessThanOrEqual(lines);
          expect(column).toBeGreaterThanOrEqual(1);
        }
      }),
      { seed: 7, numRuns: 500 },
    );
  });
});
