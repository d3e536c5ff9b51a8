const counted = (one: string, more: string) => (count: number) => `${count} ${count === 1 ? one : more}`;

/** Clubs as players say them in German. */
const SIDES: Readonly<Record<string, string>> = {
  driver: 'Driver',
  irons: 'Eisen',
  iron: 'Eisen',
  wedges: 'Wedges',
  wedge: 'Wedge',
  woods: 'Hölzer',
  wood: 'Holz',
  hybrids: 'Hybride',
  hybrid: 'Hybrid',
  putter: 'Putter',
};

export const COMMON = {
  language: 'de',
  decimal: ',',
  list: (items: readonly string[]): string =>
    items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} und ${items[items.length - 1]}`,
  counted: {
    second: counted('Sekunde', 'Sekunden'),
    swing: counted('Schwung', 'Schwünge'),
    day: counted('Tag', 'Tage'),
    trial: counted('Aufnahme', 'Aufnahmen'),
    player: counted('Spieler', 'Spieler'),
    rule: counted('Regel', 'Regeln'),
    recording: counted('Aufnahme', 'Aufnahmen'),
    marker: counted('Marker', 'Marker'),
    frame: counted('Bild', 'Bilder'),
    fault: counted('Fehler', 'Fehler'),
    'further fault': counted('weiterer Fehler', 'weitere Fehler'),
    sensor: counted('Sensor', 'Sensoren'),
    column: counted('Spalte', 'Spalten'),
    'primary gap': counted('Hauptabstand', 'Hauptabstände'),
    'primary value': counted('Hauptwert', 'Hauptwerte'),
    'more row': counted('weitere Zeile', 'weitere Zeilen'),
  },
  side: (label: string): string => (Object.hasOwn(SIDES, label) ? SIDES[label]! : label),
  verdicts: {
    departs: 'weicht ab',
    'differs-slightly': 'etwas anders',
    matches: 'stimmt überein',
    undecided: 'noch offen',
    none: 'kein Urteil',
  },
  status: {
    used: 'verwendet',
    rejected: 'abgelehnt',
    failed: 'gescheitert',
    'left-out': 'ausgelassen',
  },
  range: '{low} bis {high}',
  more: '{n} weitere',
  against: '{group} gegen {reference}',
  sheetTitle: '{name}: {group} gegen {reference}',
  ofPlayer: '{what} von {name}',
  at: '{what} bei {position}',
  sinceP1: '{what}, seit P1',
  cautions:
    'Dies sind Messwerte, kein ärztlicher Rat. Bei Schmerzen aufhören. Bewegungen gemeinsam mit einem ausgebildeten Trainer ändern; Beschwerden an Rücken oder Gelenken gehören in fachkundige Behandlung. Nur mit freiem Raum ringsum schwingen.',
  coach: {
    source: ' (aus der Tagesdatei)',
    quoted: (text: string): string => `„${text}“`,
    practice: 'Liste des Trainers, aus der Tagesdatei: {items}',
  },
  zero: {
    notCalibrated: 'Die Sensoren wurden nicht kalibriert: kein Winkel eines Segments kann angegeben werden.',
    said: 'Nullstellung: {bends}; {turns}.',
    pose: 'Winkel gelten gegen die Kalibrierhaltung {still}, nicht anatomisch',
    anatomical:
      'Vor- und Seitneigung in der Kalibrierhaltung {still} sind aus der Standaufnahme mit Markern {trial} übernommen',
    address: 'Drehungen und die Rotation des Brustkorbs gegen das Becken zählen ab der Ansprechposition',
    together: 'Drehungen zählen ab der Ansprechposition, die aller Segmente gemeinsam',
    noPlaces:
      'Sensoren liefern Ausrichtungen, keine Orte im Raum: keine Figuren; keine Verschiebung oder Hebung von Becken, Brustkorb und Kopf; keine Linien von Schultern und Hüften, keine Achsneigung; keine Kopfgeschwindigkeit, kein Eintreffwinkel und kein Schwungweg des Schlägers.',
  },
};
