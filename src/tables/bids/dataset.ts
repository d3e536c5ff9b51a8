/** What belongs to a Motion-BIDS data set as a whole (Brain Imaging Data Structure 1.9.0, derivatives). */
import { compareCodeUnits } from '../../base/text.ts';
import type { PlayerPlan } from '../../model/dayPlan.ts';
import { jsonText } from '../storedRecord.ts';
import { FRAME } from './channels.ts';
import { type BidsName, tsvLine } from './labels.ts';
import type { BidsFile } from './recording.ts';

export interface BidsDay {
  readonly day: string;
  readonly players: readonly PlayerPlan[];
  readonly program: { readonly name: string; readonly version: string };
}

/** Of side-cars that hold for every swing, by the standard's inheritance. */
const ALL = 'task-swing_desc-filtered';

/** The files of the set beside its recordings; `names` of the swings that were written. */
export function datasetFiles(day: BidsDay, names: readonly BidsName[]): readonly BidsFile[] {
  const json = (path: string, value: object): BidsFile => ({ path, text: [`${jsonText(value)}\n`] });
  return [
    json('dataset_description.json', {
      Name: day.day,
      BIDSVersion: '1.9.0',
      DatasetType: 'derivative',
      GeneratedBy: [{ Name: day.program.name, Version: day.program.version }],
    }),
    { path: 'README', text: [README] },
    { path: 'participants.tsv', text: participants(day.players, names) },
    json('participants.json', PARTICIPANTS),
    json(`${ALL}_channels.json`, CHANNELS),
    json(`${ALL}_events.json`, EVENTS),
    ...scans(names),
    json('scans.json', SCANS),
  ];
}

const README = `Swings of one capture day in Motion-BIDS, made by swingbasis.

POS: places of markers (L_ASIS: left and right of the body) and of joint centres (lead_hip: lead and trail of the swing), metres, gaps
filled, the body smoothed, club and ball as measured. JNTANG: angles between two parts of the body; MISC: angles against the player
frame; degrees, named, signed and ordered as in the tables of the day. Events: positions of the swing. scans.tsv names the trial of
each file.
`;

const CHANNELS = {
  reference_frame: {
    Description: 'Frame of the places.',
    Levels: {
      [FRAME]: {
        Description:
          'X the way a player square to the target line faces, Y up, Z to the right of the player; fixed in space; the origin is that of the recording.',
        SpatialAxes: 'ASR',
        RotationRule: 'right-hand',
      },
    },
  },
};

const EVENTS = {
  onset: { Description: 'Time from the first sample.', Units: 's' },
  duration: { Description: 'Positions are moments: n/a.', Units: 's' },
  trial_type: {
    Description: 'Position of the swing: P1 address, P4 top, P7 impact, P10 finish; docs/definitions.md has all.',
  },
  plus_minus: { Description: 'Half-width of the 95 % interval of the onset.', Units: 's' },
  method: { Description: 'How the position was found.' },
};

const PARTICIPANTS = {
  sex: { Description: 'As in the day file.', Levels: { male: 'male', female: 'female' } },
  handedness: { Description: 'Which way the player swings.', Levels: { left: 'left-handed', right: 'right-handed' } },
  player: { Description: 'Id of the player in the day file.' },
};

const SCANS = {
  trial: { Description: 'Id of the trial in the day file.' },
  club: { Description: 'Id of the club.' },
  kind: { Description: 'Kind of the club.' },
  set: { Description: 'Set the swing belongs to.' },
  source: { Description: 'File of the recording, as the day file names it.' },
};

/** The subjects of the set by code unit, each with its swings. */
function bySubject(names: readonly BidsName[]): readonly (readonly [string, readonly BidsName[]])[] {
  const groups = new Map<string, BidsName[]>();
  for (const name of names) groups.set(name.subject, [...(groups.get(name.subject) ?? []), name]);
  return [...groups].sort(([a], [b]) => compareCodeUnits(a, b));
}

function participants(players: readonly PlayerPlan[], names: readonly BidsName[]): string[] {
  const rows = bySubject(names).map(([subject, [first]]) => {
    const id = first!.head.player;
    const player = players.find((one) => one.id === id);
    return tsvLine([subject, player?.sex ?? '', first!.head.facts.hand.value, id]);
  });
  return [tsvLine(['participant_id', 'sex', 'handedness', 'player']), ...rows];
}

function scans(names: readonly BidsName[]): readonly BidsFile[] {
  return bySubject(names).map(([subject, own]) => ({
    path: `${subject}/${subject}_scans.tsv`,
    text: [
      tsvLine(['filename', 'trial', 'club', 'kind', 'set', 'source']),
      ...own.map(({ stem, head }) =>
        tsvLine([`motion/${stem}_motion.tsv`, head.trial, head.club ?? '', head.kind ?? '', head.set, head.file]),
      ),
    ],
  }));
}
