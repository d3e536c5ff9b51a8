/** The demo day: every file of samples/day and samples/truth, made in memory. */
import { createHash } from 'node:crypto';
import { type ClubSpec, DRIVER, IRON_5, IRON_7, makeClub } from './club.ts';
import { makeFaceTrial } from './clubFace.ts';
import { DEMO_PLAYERS, type DemoPlayer } from './demoPlayers.ts';
import { type Damage, makeStatic, makeSwing } from './makeSwing.ts';
import { type DemoSwing, sensorBlock, sensorFiles, sensorTrialLines } from './sensorDay.ts';
import { truthForFile } from './truthFile.ts';

/** Path below samples/, `/` separators. */
export interface MadeFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

const RATE_Hz = 240;

/** Blocks of four swings, driver and irons in turn, so that club and order can be told apart. */
const BLOCKS: readonly ClubSpec[] = [DRIVER, IRON_7, DRIVER, IRON_5];
const SWINGS_PER_BLOCK = 4;
const SENSOR_CLUBS = [DRIVER, IRON_7, IRON_5];

/** Who shows the faces of the right-handers' clubs; nobody shows those of the left-hander's. */
const FACES = { player: 'wren', clubs: [DRIVER, IRON_7, IRON_5], height_mm: 6 } as const;
const faceFile = (club: ClubSpec): string => `${FACES.player}/face-${club.id}.c3d`;

/** What went wrong at the capture of one player, by trial. */
const DAMAGE: Readonly<Record<string, Damage>> = {
  'osprey/1-driver-2': { gaps: [{ label: 'L_ASIS', from_s: -0.42, to_s: -0.36 }] },
  'osprey/1-driver-4': {
    gaps: [
      { label: 'R_PSIS', from_s: -0.2, to_s: -0.15 },
      { label: 'C7', from_s: 0.05, to_s: 0.09 },
    ],
  },
  'osprey/2-iron7-1': { gaps: [{ label: 'R_ASIS', from_s: 0.15, to_s: 0.4 }] },
  'osprey/2-iron7-3': { gaps: [{ label: 'IJ', from_s: -0.31, to_s: -0.27 }] },
  'osprey/3-driver-1': { dropped: ['R_ORBIT'] },
  'osprey/4-iron5-2': { gaps: [{ label: 'L_RS', from_s: -0.12, to_s: -0.08 }] },
};

export function* demoFiles(): Generator<MadeFile> {
  const manifest: { readonly path: string; readonly bytes: number; readonly sha256: string }[] = [];
  const entered = (file: MadeFile): MadeFile => {
    const sha256 = createHash('sha256').update(file.bytes).digest('hex');
    manifest.push({ path: file.path, bytes: file.bytes.length, sha256 });
    return file;
  };
  for (const player of DEMO_PLAYERS) for (const file of filesOf(player)) yield entered(file);
  yield entered(text('day/day.yaml', dayFile()));
  manifest.sort((a, b) => (a.path < b.path ? -1 : 1));
  yield text('truth/manifest.json', `${JSON.stringify({ files: manifest }, null, 1)}\n`);
}

function text(path: string, content: string): MadeFile {
  return { path, bytes: new TextEncoder().encode(content) };
}

function* filesOf(player: DemoPlayer): Generator<MadeFile> {
  const options = { rate_Hz: RATE_Hz, noise_mm: player.noise_mm };
  yield { path: `day/${player.id}/0-static.c3d`, bytes: makeStatic(player.seed, player, options).bytes() };
  const truth: Record<string, unknown> = {};
  const swings: DemoSwing[] = [];
  let seed = player.seed;
  for (const [block, club] of BLOCKS.entries()) {
    for (let n = 1; n <= SWINGS_PER_BLOCK; n += 1) {
      seed += 1;
      const id = `${player.id}/${block + 1}-${club.id}-${n}`;
      const damage = DAMAGE[id];
      const made = makeSwing(seed, player, club, {
        ...options,
        ...(player.events ? { event: 'Impact' } : {}),
        ...(damage ? { damage } : {}),
      });
      truth[id] = truthForFile(made.truth, made.clubTruth());
      swings.push({ name: `${block + 1}-${club.id}-${n}`, seed, swing: made.swing });
      yield { path: `day/${id}.c3d`, bytes: made.bytes() };
    }
  }
  if (player.id === FACES.player) {
    for (const [i, club] of FACES.clubs.entries()) {
      const face = { ...options, hand: player.hand, height_mm: FACES.height_mm, seconds: 1 };
      yield { path: `day/${faceFile(club)}`, bytes: makeFaceTrial(player.seed + 900 + i, club, face).bytes() };
    }
  }
  if (player.id === 'osprey') {
    const practice = makeSwing(seed + 1, player, IRON_7, { ...options, ball: false });
    yield { path: 'day/osprey/5-practice.c3d', bytes: practice.bytes() };
  }
  const rows = Object.entries(truth).map(([id, row]) => `  ${JSON.stringify(id)}: ${JSON.stringify(row)}`);
  const units = 'seconds from the first frame, degrees, millimetres, metres a second, degrees a second';
  yield text(
    `truth/${player.id}.json`,
    `{\n "units": ${JSON.stringify(units)},\n "trials": {\n${rows.join(',\n')}\n }\n}\n`,
  );
  if (!player.sensors) return;
  const worn = sensorFiles(player, SENSOR_CLUBS, swings);
  for (const { name, bytes } of worn.tables) yield { path: `day/${player.id}/sensors/${name}.csv`, bytes };
  yield text(`truth/${player.id}-sensors.json`, worn.truth);
}

const three = (value: number): string => (Math.round(value * 1000) / 1000).toFixed(3);

function dayFile(): string {
  const lines = [
    '# An invented day: four players, eight swings with the driver and eight with irons each. Made by npm run samples.',
    'swingbasis: 1',
    'day: Bird day',
    'date: 2026-05-16',
    '',
    'lab:',
    '  up: "+Z"',
    '  target: "+X"',
    '  units: mm',
    '',
    'players:',
  ];
  for (const player of DEMO_PLAYERS) {
    lines.push(
      `  - id: ${player.id}`,
      `    hand: ${player.hand}`,
      `    sex: ${player.sex}`,
      `    height_m: ${player.height_m}`,
      `    mass_kg: ${player.mass_kg}`,
      `    static: ${player.id}/0-static`,
      ...(player.sensors ? [`    still: ${player.id}/sensors/still`] : []),
      `    note: ${player.note}`,
    );
  }
  lines.push(
    '',
    '# face_centre_mm: face centre in the frame of the three markers on the head, as it lies in the files: origin CLUB_HEAD_1,',
    '# x toward CLUB_HEAD_2, z = x × (CLUB_HEAD_3 − CLUB_HEAD_1), y = z × x. A left-hander’s club is a mirror image, so its z has',
    '# the other sign. The directions of the right-handers’ faces come from recordings of the clubs with markers on the face.',
    'clubs:',
  );
  for (const hand of ['right', 'left'] as const) {
    for (const club of [DRIVER, IRON_7, IRON_5]) {
      const [x, y, z] = makeClub(club).face_mm;
      lines.push(
        `  - id: ${clubId(club, hand)}`,
        `    kind: ${club.kind}`,
        `    length_m: ${club.length_m}`,
        `    loft_deg: ${club.loft_deg}`,
        `    lie_deg: ${club.lie_deg}`,
        `    face_centre_mm: [${three(x)}, ${three(y)}, ${three(hand === 'left' ? -z : z)}]`,
        ...(hand === 'right' ? [`    face_marker_height_mm: ${FACES.height_mm}`] : []),
      );
    }
  }
  for (const player of DEMO_PLAYERS) if (player.sensors) lines.push('', ...sensorBlock(player));
  lines.push(
    '',
    'events:',
    '  Impact: P7',
    '',
    '# In the order of the day: blocks of driver and irons in turn.',
    'trials:',
  );
  for (const player of DEMO_PLAYERS) {
    lines.push(`  - { file: ${player.id}/0-static.c3d, player: ${player.id}, role: static }`);
    for (const [block, club] of BLOCKS.entries()) {
      const pattern = `${player.id}/${block + 1}-${club.id}-*.c3d`;
      lines.push(`  - { pattern: ${pattern}, player: ${player.id}, club: ${clubId(club, player.hand)} }`);
    }
    if (player.id === FACES.player) {
      for (const club of FACES.clubs) {
        const file = `file: ${faceFile(club)}`;
        lines.push(`  - { ${file}, player: ${player.id}, club: ${clubId(club, player.hand)}, role: calibration }`);
      }
    }
    if (player.sensors) {
      const patterns = BLOCKS.map((club, block) => ({
        pattern: `${block + 1}-${club.id}-*`,
        club: clubId(club, player.hand),
      }));
      lines.push(...sensorTrialLines(player, SENSOR_CLUBS, patterns, (club) => clubId(club, player.hand)));
    }
    if (player.id === 'osprey') {
      lines.push(
        '  - file: osprey/5-practice.c3d',
        '    player: osprey',
        '    club: iron7',
        '    use: no',
        '    note: practice swing without a ball',
      );
    }
  }
  return `${lines.join('\n')}\n`;
}

const clubId = (club: ClubSpec, hand: 'left' | 'right'): string => (hand === 'left' ? `${club.id}-left` : club.id);
