type Own = readonly [label: string, plus: string, minus: string];

const IN_OUT = ['nach innen gedreht', 'nach außen gedreht'] as const;
const BEND = ['gebeugt', 'überstreckt'] as const;

/** Of one side: how its parts are called there, by gender. */
interface Side {
  /** 'vorderer': before a masculine name. */
  readonly m: string;
  readonly f: string;
  readonly n: string;
}

const SIDES: Readonly<Record<'lead' | 'trail', Side>> = {
  lead: { m: 'vorderer', f: 'vordere', n: 'vorderes' },
  trail: { m: 'hinterer', f: 'hintere', n: 'hinteres' },
};

function limbsOf(id: 'lead' | 'trail'): readonly (readonly [string, Own])[] {
  const { m, f, n } = SIDES[id];
  return [
    [
      `${id}_shoulder.plane`,
      [`${m} Arm: Ebene des Hebens`, 'vor der Brust (90) und darüber', 'hinter der Seite der Brust (0 = zur Seite)'],
    ],
    [`${id}_shoulder.elevation`, [`${m} Arm: Hebung`, 'vom Rumpf abgehoben', 'am Rumpf (nie unter 0)']],
    [`${id}_shoulder.rotation`, [`${m} Oberarm: Rotation`, ...IN_OUT]],
    [`${id}_elbow.flexion`, [`${m} Ellbogen: Beugung`, ...BEND]],
    [
      `${id}_elbow.pronation`,
      [`${m} Unterarm: Rotation`, 'Handfläche nach unten (proniert)', 'Handfläche nach oben (supiniert)'],
    ],
    [`${id}_wrist.flexion`, [`${n} Handgelenk: Beugung`, 'zur Handfläche (bowed)', 'zum Handrücken (cupped)']],
    [
      `${id}_wrist.ulnar_deviation`,
      [`${n} Handgelenk: Winkelung`, 'zum kleinen Finger (entwinkelt)', 'zum Daumen (gewinkelt)'],
    ],
    [`${id}_arm.elevation`, [`${m} Arm zur Brust: Höhe`, 'über Schulterhöhe', 'unter Schulterhöhe']],
    [
      `${id}_arm.heading`,
      [`${m} Arm zur Brust: quer`, 'über die Brust zur hinteren Seite', 'zur vorderen Seite hinaus'],
    ],
    [`${id}_hip.flexion`, [`${f} Hüfte: Beugung`, 'Oberschenkel und Becken vorn geschlossen', 'Hüfte gestreckt']],
    [`${id}_hip.adduction`, [`${f} Hüfte: Adduktion`, 'Oberschenkel zur Körpermitte', 'Oberschenkel zur Seite']],
    [`${id}_hip.rotation`, [`${f} Hüfte: Rotation`, ...IN_OUT]],
    [`${id}_knee.flexion`, [`${n} Knie: Beugung`, ...BEND]],
    [`${id}_knee.rotation`, [`${n} Knie: Rotation`, ...IN_OUT]],
    [`${id}_ankle.dorsiflexion`, [`${n} Sprunggelenk: Beugung`, 'Zehen zum Schienbein', 'Zehen vom Schienbein weg']],
    [`${id}_ankle.inversion`, [`${m} Fuß: Kippung`, 'Sohle nach innen', 'Sohle nach außen']],
    [`${id}_elbow.bend`, [`${m} Ellbogen: Beugung (Gelenkmitten)`, 'gebeugt, gleich wohin', 'nie unter 0, gestreckt']],
    [`${id}_knee.bend`, [`${n} Knie: Beugung (Gelenkmitten)`, 'gebeugt, gleich wohin', 'nie unter 0, gestreckt']],
  ];
}

/** Angles of arms and legs, by their quantity. */
export const LIMB_QUANTITIES: Readonly<Record<string, Own>> = Object.fromEntries([
  ...limbsOf('lead'),
  ...limbsOf('trail'),
]);
