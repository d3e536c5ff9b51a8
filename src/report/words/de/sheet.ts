export const SHEET = {
  side: '{label}, {swings}{clubs}',
  sideClubs: ' ({clubs})',
  figureSide: '{label}, n = {n}',
  foot: {
    intervals: 'Striche und Intervalle: 95 % · Bänder: Mittel ± 1 und ± 2 SD von {reference}',
    differ: ' · Balken unter der Achse: die Kurven weichen dort ab',
    figures: ' · Figuren: kräftigere Linien sind die vordere Seite',
    target: 'Die Ziellinie ist aus den Füßen genommen: Drehungen gelten gegen sie, ein Schwungweg wird nicht angegeben',
    targetInSome:
      'Die Ziellinie ist in {n} von {swings} aus den Füßen genommen: dort gelten Drehungen gegen sie, ein Schwungweg wird nicht angegeben',
    sets: 'Sätze {sets} zusammen',
    noName: 'ohne Namen',
    used: '{trials} verwendet',
    usedNot: '{trials} verwendet, {n} nicht (Gründe in den Details)',
    review: '{n} zu prüfen',
    outlying: '{n} abseits',
    doubts: '{doubts} (Details)',
    confounded: 'Schläger und Reihenfolge sind nicht zu trennen: alle Schwünge des einen kamen vor denen des anderen',
    reduced: 'reduzierte Form: nur Gelenkmitten',
  },
  figures: {
    at: 'Figuren bei {position}, {name}',
    front: 'vorn',
    line: 'entlang der Linie',
    lineFirst: 'entlang der Ziellinie',
    frontRight: 'von vorn, Ziel →',
    frontLeft: 'von vorn, ← Ziel',
    none: 'Keine Figuren: Orte der Gelenke beider Gruppen werden bei P1, P4, P5.5 oder P7 gebraucht.',
    noStart: 'Keine Figuren: sie werden am Becken bei P1 ausgerichtet, und P1 fehlt in allen Schwüngen von {groups}.',
    segments: { pelvis: 'Becken', thorax: 'Brustkorb', trunk: 'Rumpf' },
    arc: '{segment} {difference}',
  },
  curves: {
    of: 'Kurve: {quantity}, von P1 bis P9{differs}',
    missing: 'aus diesen Aufnahmen nicht verfügbar',
    differs: '; die Kurven weichen {stretches} voneinander ab',
    stretch: (name: string): string => {
      const said = name
        .replaceAll('half-way', 'halbwegs')
        .replaceAll('shortly before', 'kurz vor')
        .replaceAll('shortly after', 'kurz nach');
      if (name.includes(' to ')) return `von ${said.replace(' to ', ' bis ')}`;
      return name.startsWith('P') ? `bei ${said}` : said;
    },
  },
  impact: {
    heading: 'Im Treffmoment',
    eachSwing: '{title} jedes Schwungs',
    band: 'vom Tee {low} bis {high}: {source}',
    common: 'gängige Praxis, ohne Quelle',
    set: 'in der Tagesdatei gesetzt',
    elsewhere: 'In den Details: {figures}.',
    none: 'Keine Schlägerwerte: {cause}.',
    needs:
      'sie brauchen zwei Schaftmarker oder mehr und einen Kopfpunkt, der für alle verglichenen Schläger derselbe ist',
    absent: 'Kein Wert für {figures}: {cause}.',
    both: '{figure}: {group} {groupMean}, {reference} {referenceMean}{band}',
  },
  nothing: {
    used: 'Verwendet: {group} {groupSwings}, {reference} {referenceSwings}. Ein Urteil braucht je 5; je 8 klären weit mehr.',
    trial: '{trial}: {status}, {reason}',
    more: 'und {n} weitere (Details)',
    swingsOf: 'Einzelne Schwünge: {label}, {swings}',
    firstSwingsOf: 'Einzelne Schwünge: {label}, die ersten {n} von {swings}',
    allClubs: 'alle Schläger',
    caption: 'Eine Spalte je Schwung, in der Reihenfolge des Tages. – fehlt. Alle Werte in tables/angles.csv.',
    marker:
      'Kopfgeschwindigkeit, Eintreffwinkel und Schwungweg sind die eines Markers am Kopf: nie zwischen Schlägern verglichen.',
  },
  panels: {
    description:
      '{day}. Striche und Intervalle: 95 %. Bänder: Mittel ± 1 und ± 2 SD von {reference}. Die Zahlen stehen in {name}.csv.',
    title: '{sheet}: {panel}',
    positions: 'Figuren an den Positionen',
    curve: 'Kurve: {quantity}',
    order: 'Bewegungsfolge, {method}',
    table: 'Hauptgrößen an den Positionen',
  },
};
