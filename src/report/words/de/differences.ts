import type { SaidChange, SaidDifference } from '../en/differences.ts';

type After = 'alone' | 'position';

/** Behind what a sentence begins with the verb comes first: 'hat das Becken', otherwise 'das Becken hat'. */
const ordered = (subject: string, verb: string, after: After): string =>
  after === 'position' ? `${verb} ${subject}` : `${subject} ${verb}`;

export const DIFFERENCES = {
  subjects: {
    pelvis: 'das Becken',
    thorax: 'der Brustkorb',
    head: 'der Kopf',
    trunk: 'der Brustkorb gegen das Becken',
    neck: 'der Kopf gegen den Brustkorb',
    shoulder_line: 'die Schulterlinie',
    pelvis_line: 'die Beckenlinie',
    trunk_axis: 'der Rumpf',
    stance: 'der Stand',
    lead_shoulder: 'die vordere Schulter',
    trail_shoulder: 'die hintere Schulter',
    lead_foot: 'der vordere Fuß',
    trail_foot: 'der hintere Fuß',
    body: 'der ganze Körper',
  },
  byComponent: {
    forward_bend: ['Vorneigung', 'Rückneigung'],
    side_bend: ['Seitneigung zur hinteren Seite', 'Seitneigung zur vorderen Seite'],
    turn: ['Drehung zum Ziel', 'Drehung vom Ziel weg'],
    flexion: ['Vorbeugung', 'Hohlkreuz'],
    axial: ['Rotation zum Ziel', 'Rotation vom Ziel weg'],
    to_target: ['Verschiebung zum Ziel', 'Verschiebung vom Ziel weg'],
    to_ball: ['Bewegung zum Ball', 'Bewegung vom Ball weg'],
    to_trail: ['Neigung vom Ziel weg', 'Neigung zum Ziel'],
    rise: ['Hebung', 'Senkung'],
    inclination: ['Neigung aus dem Lot', 'Neigung aus dem Lot'],
    turn_rate: ['Drehgeschwindigkeit zum Ziel', 'Drehgeschwindigkeit vom Ziel weg'],
    alignment: ['Öffnung zum Ziel', 'Schließung zum Ziel'],
    toe_alignment: ['Öffnung der Zehenlinie zum Ziel', 'Schließung der Zehenlinie zum Ziel'],
    speed_to_target: ['Geschwindigkeit zum Ziel', 'Geschwindigkeit vom Ziel weg'],
    flare: ['Drehung der Zehen nach außen', 'Drehung der Zehen nach innen'],
  } as Readonly<Record<string, readonly [string, string]>>,
  byId: {
    'shoulder_line.tilt': {
      subject: 'die Schulterlinie',
      plus: 'Neigung mit höherer vorderer Schulter',
      minus: 'Neigung mit höherer hinterer Schulter',
    },
    'pelvis_line.tilt': {
      subject: 'die Beckenlinie',
      plus: 'Neigung mit höherer vorderer Hüfte',
      minus: 'Neigung mit höherer hinterer Hüfte',
    },
    'trunk_axis.to_ball': { subject: 'der Rumpf', plus: 'Neigung zum Ball', minus: 'Rückneigung' },
    'thorax.inclination': { subject: 'die Wirbelsäule', plus: 'Neigung aus dem Lot', minus: 'Neigung aus dem Lot' },
    'thorax.inclination_direction': {
      subject: 'die Wirbelsäule',
      plus: 'Neigung herum zum Ziel',
      minus: 'Neigung herum vom Ziel weg',
    },
    axis_tilt: { subject: 'der Rumpf', plus: 'Neigung vom Ziel weg', minus: 'Neigung zum Ziel' },
    turn_difference: {
      subject: 'der Brustkorb',
      plus: 'Drehung vor dem Becken her',
      minus: 'Drehung hinter dem Becken zurück',
    },
    'club.head_speed': { subject: 'der Schlägerkopf', plus: 'Geschwindigkeit', minus: 'Geschwindigkeit' },
    'club.attack': {
      subject: 'der Schlägerkopf',
      plus: 'Eintreffwinkel nach oben',
      minus: 'Eintreffwinkel nach unten',
    },
    'club.path': {
      subject: 'der Schlägerkopf',
      plus: 'Schwungweg von innen nach außen',
      minus: 'Schwungweg von außen nach innen',
    },
    'head_line.tilt': {
      subject: 'der Kopf',
      plus: 'Neigung mit höherem vorderem Ohr',
      minus: 'Neigung mit höherem hinterem Ohr',
    },
    'eyes_line.tilt': {
      subject: 'die Augenlinie',
      plus: 'Neigung mit höherem vorderem Auge',
      minus: 'Neigung mit höherem hinterem Auge',
    },
    'body.speed': { subject: 'der ganze Körper', plus: 'Geschwindigkeit', minus: 'Geschwindigkeit' },
    'stance.width': { subject: 'der Stand', plus: 'Breite', minus: 'Breite' },
    'ball.from_lead_ankle': {
      subject: 'der Ball',
      plus: 'Abstand vor dem vorderen Knöchel',
      minus: 'Abstand hinter dem vorderen Knöchel',
    },
  },
  clause: ({ subject, noun, amount, more, keeps }: SaidDifference, after: After): string =>
    `${ordered(subject, keeps ? 'behält' : 'hat', after)} ${amount} ${more ? 'mehr' : 'weniger'} ${noun}`,
  clauseGoingOn: ({ noun, amount, more, keeps }: SaidDifference): string | null =>
    keeps ? null : `${amount} ${more ? 'mehr' : 'weniger'} ${noun}`,
  plain: (label: string, amount: string, more: boolean, after: After): string =>
    `${ordered(label, 'ist', after)} um ${amount} ${more ? 'höher' : 'niedriger'}`,
  change: ({ subject, noun, amount, more, gains }: SaidChange): string =>
    `${gains ? 'gewinnt' : 'verliert'} ${subject} ${amount} ${more ? 'mehr' : 'weniger'} ${noun}`,
  plainChange: (label: string, amount: string, more: boolean): string =>
    `ändert sich ${label} um ${amount} ${more ? 'mehr' : 'weniger'}`,
  sinceAddress: (phrase: string): string =>
    `Von der Ansprechposition bis ${/P\d[\d.]*(?:\(arm\))?/.exec(phrase)?.[0] ?? phrase}`,
};
