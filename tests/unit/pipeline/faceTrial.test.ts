// A small day with clubs whose faces are shown by trials of their own; everything in memory.
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, it } from 'vitest';
import { DRIVER, IRON_7 } from '../../../samples/generator/club.ts';
import { makeFaceTrial } from '../../../samples/generator/clubFace.ts';
import { makeStatic, makeSwing, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { type C3dContent, writeC3d } from '../../../src/c3d/writeC3d.ts';
import { readDay } from '../../../src/day/readDay.ts';
import { analyseDay, type DayResult } from '../../../src/pipeline/analyseDay.ts';
import { cellsOf } from '../../support/userDay.ts';

const OPTIONS = { rate_Hz: 240, noise_mm: 0 };
const HANDS = ['right', 'left'] as const;
/** A tenth of a degree would be seen; the files hold hundredths of a millimetre, which on 20 mm of face are 0.03°. */
const SAME_deg = 0.05;
const DEGREES = 180 / Math.PI;

const SWINGS = HANDS.map((hand, i) =>
  makeSwing(11 + i, seededPlayer(11 + i), i === 0 ? DRIVER : IRON_7, { ...OPTIONS, hand }),
);
const RECORDED = new Map<string, Uint8Array>(
  HANDS.flatMap((hand, i) => [
    [`${hand}-static.c3d`, makeStatic(11 + i, seededPlayer(11 + i), { ...OPTIONS, hand }).bytes()],
    [`${hand}-swing.c3d`, SWINGS[i]!.bytes()],
    [`${hand}-face.c3d`, makeFaceTrial(11 + i, i === 0 ? DRIVER : IRON_7, { ...OPTIONS, hand, height_mm: 5 }).bytes()],
  ]),
);

interface Changes {
  /** Keys of both clubs, as ', face_normal: [0, 0, 1]'. */
  readonly club?: (hand: 'right' | 'left') => string;
  readonly trials?: readonly string[];
  readonly files?: Readonly<Record<string, Uint8Array>>;
  readonly strict?: boolean;
}

async function dayOf({ club, trials, files, strict }: Changes): Promise<DayResult> {
  const all = new Map([...RECORDED, ...Object.entries(files ?? {})]);
  const clubs = HANDS.map(
    (hand) => `{id: ${hand}, kind: ${hand === 'right' ? 'driver' : 'iron'}${club?.(hand) ?? ''}}`,
  );
  const rows =
    trials ?? HANDS.map((hand) => `{file: ${hand}-face.c3d, player: ${hand}, club: ${hand}, role: calibration}`);
  const text = `swingbasis: 1
day: faces
lab: {up: +Z, target: +X}
players: [${HANDS.map((hand) => `{id: ${hand}, hand: ${hand}, static: ${hand}-static}`).join(', ')}]
clubs: [${clubs.join(', ')}]
trials:
${HANDS.map((hand) => `  - {file: ${hand}-static.c3d, player: ${hand}, role: static}\n  - {file: ${hand}-swing.c3d, player: ${hand}, club: ${hand}}`).join('\n')}
${rows.map((row) => `  - ${row}`).join('\n')}
`;
  const reading = readDay(text, { file: 'day.yaml', listing: [...all.keys()] });
  if (reading.plan === null) throw new Error(reading.problems.map(({ message }) => message).join('\n'));
  const io = {
    open: (path: string) => ({ ...bytesSource(all.get(path)!), close: () => {} }),
    sha256: (source: { size: number; read(o: number, l: number, into: Uint8Array): number }) => {
      const bytes = new Uint8Array(source.size);
      source.read(0, source.size, bytes);
      return createHash('sha256').update(bytes).digest('hex');
    },
    pause: async () => {},
    program: { name: 'swingbasis', version: '0' },
    libraries: {},
  };
  return analyseDay(reading.plan, io, { orders: [], strict: strict ?? false });
}

const HEIGHT = (): string => ', face_marker_height_mm: 5';

const outcomeOf = (result: DayResult, trial: string) => result.outcomes.find((one) => one.trial === trial)!;
const cellAt = (result: DayResult, hand: string, id: string) => cellsOf(result).get(`${hand}-swing ${id}@swing`)!;

/** The content of a file with the columns of one label changed. */
function changed(path: string, label: string, change: (column: number, value: number) => number): Uint8Array {
  const file = readC3d(bytesSource(RECORDED.get(path)!));
  const content: C3dContent = {
    labels: [...file.labels],
    units: 'mm',
    rate_Hz: file.rate_Hz!,
    frames: file.frames,
    xyz: Float64Array.from(file.xyz),
    word4: null,
  };
  const at = file.labels.indexOf(label);
  for (let c = 0; c < 3; c++) {
    for (let f = 0; f < file.frames; f++) {
      const i = (3 * at + c) * file.frames + f;
      content.xyz[i] = change(c, content.xyz[i]!);
    }
  }
  return writeC3d(content);
}

describe('clubs of a right- and a left-hander, each with a trial of its face', () => {
  let result: DayResult;
  beforeAll(async () => {
    result = await dayOf({ club: HEIGHT });
  });

  it.each(HANDS)('%s: the face is found, and said with its numbers', (hand) => {
    const { status, reason, record, diagnostics } = outcomeOf(result, `${hand}-face`);
    expect([status, reason, record]).toEqual(['used', '', null]);
    const said = diagnostics.find(({ code }) => code === 'face-calibrated')!.message;
    expect(said).toMatch(/^centre \[.*\] mm, normal \[.*\] ± 0\.0\d?° from 120 frames, markers scatter by 0 mm$/);
  });

  it.each([0, 1] as const)('face figures are those of the known motion (hand %i)', (i) => {
    const known = { ...SWINGS[i]!.clubTruth(), ...SWINGS[i]!.truth.swing };
    for (const id of [
      'club.face',
      'club.loft',
      'club.face_to_path',
      'club.face_to_velocity',
      'club.path',
      'club.attack',
    ]) {
      // Rounded files add less than the accuracy of noise-free data, 0.1° (definitions 9).
      expect(Math.abs(cellAt(result, HANDS[i]!, id).value! - known[id]!) * DEGREES, id).toBeLessThan(0.15);
    }
    expect(cellAt(result, HANDS[i]!, 'club.path').flags).not.toContain('of-that-marker');
  });

  it('the day file says the same in its own frame: centre and normal stated there give the same figures', async () => {
    const stated = await dayOf({
      trials: [],
      club: (hand) => {
        const { faceCentre_mm, faceNormal } = SWINGS[HANDS.indexOf(hand)]!;
        return `, face_centre_mm: [${faceCentre_mm.join(', ')}], face_normal: [${faceNormal.join(', ')}]`;
      },
    });
    for (const hand of HANDS) {
      for (const id of ['club.face', 'club.loft', 'club.attack', 'club.path']) {
        const apart = cellAt(stated, hand, id).value! - cellAt(result, hand, id).value!;
        expect(Math.abs(apart) * DEGREES, `${hand} ${id}`).toBeLessThan(SAME_deg);
      }
    }
  });
});

describe('what the day file states holds', () => {
  it('a face normal 20° away is used, and the difference is told', async () => {
    const result = await dayOf({ club: () => ', face_marker_height_mm: 5, face_normal: [0.2, 0.5, 0.8]' });
    const { diagnostics, status } = outcomeOf(result, 'right-face');
    expect(status).toBe('used');
    const said = diagnostics.find(({ code }) => code === 'face-differs')!;
    expect([said.severity, said.message]).toEqual([
      'warning',
      expect.stringMatching(/^the face is turned by \d+° from face_normal; what the day file states is used$/),
    ]);
    const plain = await dayOf({ club: HEIGHT });
    const apart = cellAt(result, 'right', 'club.face').value! - cellAt(plain, 'right', 'club.face').value!;
    expect(Math.abs(apart) * DEGREES).toBeGreaterThan(5);
    expect(cellAt(result, 'right', 'club.path').value).toBe(cellAt(plain, 'right', 'club.path').value);
  });

  it('with --strict such a difference refuses the trial, and the swings say so', async () => {
    const club = () => ', face_centre_mm: [0, 0, 0]';
    const result = await dayOf({ club, strict: true });
    expect(outcomeOf(result, 'right-face')).toMatchObject({
      status: 'rejected',
      reason: expect.stringMatching(/face centre is \d+ mm from face_centre_mm/),
    });
    expect(cellAt(result, 'right', 'club.loft').why!.needed).toMatch(
      /^the face of the club: right-face could not be used \(refused with --strict/,
    );
  });
});

describe('a trial that gives no face', () => {
  it('without a marker on the face is left out with its reason, and the swings name it', async () => {
    const result = await dayOf({
      trials: ['{file: other.c3d, player: right, club: right, role: calibration}'],
      files: { 'other.c3d': RECORDED.get('right-swing.c3d')! },
    });
    const reason =
      'none of its markers is on the face (CLUB_FACE, CLUB_FACE_1, CLUB_FACE_2, CLUB_FACE_3): name them in the day file under markers of the club';
    expect(outcomeOf(result, 'other')).toMatchObject({ status: 'left-out', reason });
    expect(cellAt(result, 'right', 'club.face').why!.needed).toBe(
      `the face of the club: other could not be used (${reason})`,
    );
    expect(cellAt(result, 'left', 'club.face').why!.needed).toMatch(
      /^face_normal of the club in the day file, or a calibration trial/,
    );
  });

  it('with two markers on the face is rejected with what it needs; the other club and all else go on', async () => {
    const result = await dayOf({ files: { 'right-face.c3d': changed('right-face.c3d', 'CLUB_FACE_2', () => 0) } });
    expect(outcomeOf(result, 'right-face')).toMatchObject({
      status: 'rejected',
      reason: expect.stringMatching(/^three markers on the face/),
    });
    expect(outcomeOf(result, 'right-swing').status).toBe('used');
    expect(cellAt(result, 'right', 'club.path').flags).toContain('of-that-marker');
    expect(cellAt(result, 'left', 'club.face').value).not.toBeNull();
  });

  it('a second one of the same club is rejected and names the first', async () => {
    const row = (file: string) => `{file: ${file}.c3d, player: right, club: right, role: calibration}`;
    const result = await dayOf({
      trials: [row('right-face'), row('again')],
      files: { 'again.c3d': RECORDED.get('right-face.c3d')! },
    });
    expect(outcomeOf(result, 'again')).toMatchObject({
      status: 'rejected',
      reason: 'one face-calibration trial for each club: right has right-face; leave one out with use: no',
    });
    expect(cellAt(result, 'right', 'club.face').value).not.toBeNull();
  });

  it('left out in the day file: the swings say that it was', async () => {
    const result = await dayOf({
      trials: ['{file: right-face.c3d, player: right, club: right, role: calibration, use: no, note: wrong club}'],
    });
    expect(cellAt(result, 'right', 'club.face').why!.needed).toBe(
      'the face of the club: right-face could not be used (left out in the day file: wrong club)',
    );
  });
});

it('head markers that were put on again since: no face, no face centre, and why', async () => {
  const moved = changed('right-swing.c3d', 'CLUB_HEAD_3', (c, value) => (c === 2 ? value + 12 : value));
  const result = await dayOf({ club: HEIGHT, files: { 'right-swing.c3d': moved } });
  const why = cellAt(result, 'right', 'club.loft').why!.needed;
  expect(why).toMatch(
    /^head markers where they were in the calibration trial of the face: \d–3 lie [\d.]+ mm apart, there [\d.]+ mm$/,
  );
  expect(cellAt(result, 'right', 'club.path').flags).toContain('of-that-marker');
  expect(outcomeOf(result, 'right-swing').diagnostics.map(({ code }) => code)).toContain('head-markers-moved');
  expect(outcomeOf(result, 'left-swing').diagnostics.map(({ code }) => code)).not.toContain('head-markers-moved');
});
