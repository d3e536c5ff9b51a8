import { quantityById } from '../../../model/catalogue.ts';
import { LINKS, type Link } from '../../../model/orderOfMotion.ts';
import type { QuantityWords } from '../en/quantities.ts';
import { LIMB_QUANTITIES } from './limbQuantities.ts';
import { ORDER } from './order.ts';

type Own = readonly [label: string, plus: string, minus: string];

const TO_TARGET = ['zum Ziel hin', 'vom Ziel weg'] as const;
const OPEN = ['offen zum Ziel', 'geschlossen zum Ziel'] as const;
const TIME = ['früher', 'später'] as const;
const PATH = ['vom Spieler weg', 'zum Spieler hin'] as const;
const STEEP = ['steiler', 'flacher'] as const;
const LOW = ['hinter dem Ball', 'vor dem Ball'] as const;
const FASTER = ['schneller', 'langsamer'] as const;

/** What has a quantity, as it stands behind the name of it. */
const OF: Readonly<Record<string, string>> = {
  pelvis: 'des Beckens',
  thorax: 'des Brustkorbs',
  head: 'des Kopfes',
  body: 'des Körpers',
  trunk: 'Brustkorb gegen Becken',
  neck: 'Kopf gegen Brustkorb',
  shoulder_line: 'der Schulterlinie',
  pelvis_line: 'der Beckenlinie',
  head_line: 'der Kopflinie',
  eyes_line: 'der Augenlinie',
  trunk_axis: 'des Rumpfs',
  lead_shoulder: 'der vorderen Schulter',
  trail_shoulder: 'der hinteren Schulter',
  lead_foot: 'des vorderen Fußes',
  trail_foot: 'des hinteren Fußes',
};

const COMPONENTS: Readonly<Record<string, Own>> = {
  turn: ['Drehung', 'zum Ziel geöffnet', 'vom Ziel weggedreht'],
  side_bend: ['Seitneigung', 'zur hinteren Seite geneigt', 'zur vorderen Seite geneigt'],
  forward_bend: ['Vorneigung', 'neigt sich zum Ball', 'neigt sich zurück'],
  flexion: ['Beugung', 'nach vorn gebeugt', 'nach hinten gestreckt'],
  axial: ['Rotation', 'zum Ziel gedreht', 'vom Ziel weggedreht'],
  turn_rate: ['Drehgeschwindigkeit', ...TO_TARGET],
  to_target: ['Verschiebung', ...TO_TARGET],
  to_ball: ['Vorschub', 'zum Ball hin', 'vom Ball weg'],
  rise: ['Hebung', 'gehoben', 'gesenkt'],
  rise_share: ['Hebung nach Körpergröße', 'gehoben', 'gesenkt'],
  inclination: ['Neigung', 'weiter aus dem Lot', 'aufrechter'],
  alignment: ['Ausrichtung', ...OPEN],
  flare: ['Außendrehung', 'Zehen nach außen', 'Zehen nach innen'],
  speed: ['Geschwindigkeit', ...FASTER],
  speed_to_target: ['Geschwindigkeit zum Ziel', ...TO_TARGET],
};

const SINGLE: Readonly<Record<string, Own>> = {
  turn_difference: [
    'Drehung Brustkorb minus Becken',
    'Brustkorb offener als das Becken',
    'Brustkorb weiter weggedreht',
  ],
  axis_tilt: ['Achsneigung', 'neigt sich vom Ziel weg', 'neigt sich zum Ziel'],
  'thorax.inclination': ['Neigung der Wirbelsäule', 'weiter aus dem Lot', 'aufrechter'],
  'thorax.inclination_direction': [
    'Richtung der Wirbelsäulenneigung',
    'vom Ball herum zum Ziel',
    'vom Ball herum vom Ziel weg',
  ],
  'shoulder_line.tilt': ['Neigung der Schulterlinie', 'vordere Schulter höher', 'hintere Schulter höher'],
  'pelvis_line.tilt': ['Neigung der Beckenlinie', 'vordere Hüfte höher', 'hintere Hüfte höher'],
  'head_line.tilt': ['Neigung der Kopflinie', 'vorderes Ohr höher', 'hinteres Ohr höher'],
  'eyes_line.tilt': ['Neigung der Augenlinie', 'vorderes Auge höher', 'hinteres Auge höher'],
  'trunk_axis.to_ball': ['Rumpfneigung zum Ball', 'neigt sich zum Ball', 'neigt sich zurück'],
  'trunk_axis.to_trail': ['Rumpfneigung zur hinteren Seite', 'neigt sich vom Ziel weg', 'neigt sich zum Ziel'],
  'pelvis_line.alignment': ['Ausrichtung des Beckens', ...OPEN],
  'shoulder_line.alignment': ['Ausrichtung der Schultern', ...OPEN],
  'stance.width': ['Standbreite', 'breiter', 'schmaler'],
  'stance.alignment': ['Ausrichtung des Stands', ...OPEN],
  'stance.toe_alignment': ['Ausrichtung der Zehenlinie', ...OPEN],
  'ball.from_lead_ankle': ['Ball ab vorderem Knöchel', 'näher am Ziel als der Knöchel', 'hinter dem Knöchel'],
  'ball.stance_share': ['Ball im Stand', 'näher am vorderen Fuß', 'näher am hinteren Fuß'],
  'force.vertical': ['senkrechte Kraft', 'drückt stärker', 'drückt schwächer'],
  'force.vertical_share': ['senkrechte Kraft nach Gewicht', 'drückt stärker', 'drückt schwächer'],
  'force.lead_share': ['Last auf dem vorderen Fuß', 'mehr auf dem vorderen Fuß', 'mehr auf dem hinteren Fuß'],
  'force.pressure_along': ['Druckpunkt zum Ziel', ...TO_TARGET],
  'force.pressure_across': ['Druckpunkt zu den Zehen', 'zum Ball hin', 'zu den Fersen'],
  'club.head_speed': ['Kopfgeschwindigkeit', ...FASTER],
  'club.attack': ['Eintreffwinkel', 'nach oben', 'nach unten'],
  'club.path': ['Schwungweg', 'vom Spieler weg (innen nach außen)', 'zum Spieler hin (außen nach innen)'],
  'club.face': ['Schlagfläche zum Ziel', ...PATH],
  'club.face_to_path': ['Fläche zum Schwungweg', ...PATH],
  'club.face_to_velocity': ['Schlagfläche zur Bewegung', 'weiter', 'enger'],
  'club.face_rate': ['Drehrate der Schlagfläche', 'schließt', 'öffnet'],
  'club.loft': ['Loft im Treffmoment', 'schaut höher', 'schaut tiefer'],
  'club.lie': ['Lie im Treffmoment', 'aufrechter', 'flacher'],
  'club.shaft_lean': ['Schaftneigung', 'Hände zum Ziel', 'Hände vom Ziel weg'],
  'club.plane_slope': ['Neigung der Ebene', ...STEEP],
  'club.plane_direction': ['Richtung der Ebene', ...PATH],
  'club.plane_disagreement': ['Schwungweg gegen Ebene', ...PATH],
  'club.late_plane_slope': ['Neigung der späten Ebene', ...STEEP],
  'club.late_plane_direction': ['Richtung der späten Ebene', ...PATH],
  'club.late_plane_disagreement': ['Schwungweg gegen späte Ebene', ...PATH],
  'club.plane_after_slope': ['Neigung der Ebene danach', ...STEEP],
  'club.plane_after_direction': ['Richtung der Ebene danach', ...PATH],
  'club.low_point': ['tiefster Punkt', ...LOW],
  'club.low_point_after': ['tiefster Punkt danach', ...LOW],
  'tempo.backswing': ['Dauer des Rückschwungs', 'länger', 'kürzer'],
  'tempo.downswing': ['Dauer des Abschwungs', 'länger', 'kürzer'],
  'tempo.ratio': ['Tempoverhältnis', 'zurück langsamer als hinunter', 'zurück schneller bei gleichem Abschwung'],
};

/** 'order.pelvis.magnitude.time': when and how fast a link turns fastest. */
function orderQuantity(id: string): Own | null {
  const [topic, link = '', method, kind] = id.split('.');
  if (topic !== 'order' || !(LINKS as readonly string[]).includes(link)) return null;
  const name = ORDER.links[link as Link];
  if (method === 'gain') return [`${name}, Zuwachs über das Glied davor`, 'gewinnt mehr', 'gewinnt weniger'];
  const how = method === 'long_axis' || method === 'swing_plane' ? `, ${ORDER.methods[method]}` : '';
  return kind === 'time'
    ? [`${name} am schnellsten vor dem Treffen${how}`, ...TIME]
    : [`${name}, höchste Drehgeschwindigkeit${how}`, ...FASTER];
}

/** 'time.p2_to_p7' */
function timeQuantity(id: string): Own | null {
  const found = /^time\.(p\d+(?:_\d)?)_to_p7$/.exec(id);
  return found === null ? null : [`${found[1]!.toUpperCase().replace('_', '.')} vor dem Treffen`, ...TIME];
}

function composed(id: string): Own | null {
  const [segment = '', component = ''] = id.split('.');
  const [of, own] = [OF[segment], COMPONENTS[component]];
  return of === undefined || own === undefined ? null : [`${own[0]} ${of}`, own[1], own[2]];
}

export const QUANTITIES = {
  of: (id: string): QuantityWords => {
    const own = SINGLE[id] ?? LIMB_QUANTITIES[id] ?? orderQuantity(id) ?? timeQuantity(id) ?? composed(id);
    return own === null ? quantityById(id) : { label: own[0], plus: own[1], minus: own[2] };
  },
  plusAtMarks: {
    'club.path': 'innen nach außen',
    'club.face': 'offen',
    'club.face_to_path': 'offen',
    'club.plane_direction': 'innen nach außen',
    'club.late_plane_direction': 'innen nach außen',
    'club.plane_after_direction': 'innen nach außen',
  } as Readonly<Record<string, string>>,
};
